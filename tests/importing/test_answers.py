"""Answers of a person: what is understood, what is refused with the word, and that no answer breaks the folder."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
import sys
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
import typer
from appointment_book import ENGLISH, book, csv_text, table
from asking import Answer, Ask
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from kitdocs.command.import_answer import sayer
from kitdocs.command.import_questions import BACK
from kitdocs.importing.bringing import bring, known_of
from kitdocs.importing.choosing import chosen, shown_choice
from kitdocs.importing.found import About, BroughtRecord, Found, Known, as_about
from kitdocs.importing.into_folder import answers_kept, import_lists
from kitdocs.importing.needs_written import WrittenNeeds, with_word
from kitdocs.importing.question_sheet import YES, answers_in
from kitdocs.practice.problems import PracticeError, Problem
from kitdocs.practice.reading.folder import read_folder
from kitdocs.practice.reading.undesigned import read_undesigned
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.shipped import shipped_languages

#: A list of an office with a name, a count and a length that must be asked about.
_INVENTORY: list[list[object]] = [
    ["Instrument", "Qty", "Length"],
    ["Mirror #5", 12, "165 mm"],
    ["explorer", 8, "160 mm"],
    ["cheek retractors", 14, None],
    ["boone gauge", 8, "150 mm"],
    ["HP slow spd", "31 (2 loose)", None],
    ["Howe plier", 3, "5 in"],
    ["howe plier", 2, "8 in"],
    ["blue thing", 1, None],
]


def _lists(folder: Path) -> tuple[Path, Path]:
    made = openpyxl.Workbook()
    for row in _INVENTORY:
        made.worksheets[0].append(row)
    made.save(folder / "inventory.xlsx")
    (folder / "appts.csv").write_text(csv_text(table(book(weeks=2), ENGLISH)), "utf-8")
    return folder / "inventory.xlsx", folder / "appts.csv"


@pytest.fixture(scope="module")
def lists(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    return _lists(tmp_path_factory.mktemp("lists"))


def _written(*more: tuple[str, str, str], answers: dict[About, str] | None = None) -> WrittenNeeds:
    """The needs of a practice with a mirror, an explorer, a plier and a gauge, and more: id, drawing, name."""
    usual = [
        ("mouth-mirror-5", "mouth-mirror", "Mouth mirror, no. 5"),
        ("explorer", "explorer", "Explorer"),
        ("howe-plier", "howe-plier", "Howe plier"),
        ("bracket-height-gauge", "bracket-height-gauge", "Bracket height gauge"),
        ("handpiece", "handpiece", "Handpiece"),
        ("cheek-retractor", "cheek-retractor", "Cheek retractor"),
    ]
    records = tuple(
        BroughtRecord(stem="instruments", id=id_, fields={"drawing": drawing, "name": name})
        for id_, drawing, name in (*usual, *more)
    )
    return WrittenNeeds(Found(records=records), Known(answers=answers or {}))


MAPPED: dict[About, str] = {("names", "boone gauge"): "bracket-height-gauge", ("names", "hp slow spd"): "handpiece"}


@pytest.mark.parametrize(
    ("typed", "needs"),
    [
        ("2 mirrors, explorer", {"mouth-mirror-5": 2, "explorer": "always"}),
        ("cheek-retractor: 2", {"cheek-retractor": 2}),
        ("cheek-retractor 2", {"cheek-retractor": 2}),
        ("2 x cheek retractors", {"cheek-retractor": 2}),
        ("cheek retractors (2)", {"cheek-retractor": 2}),
        ("2 mirrors 50%", {"mouth-mirror-5": "2 at 50%"}),
        ("handpiece: 2 at 50%", {"handpiece": "2 at 50%"}),
        ("explorer 50 percent", {"explorer": "50%"}),
        ("explorer 12,5 %; howe", {"explorer": "12.5%", "howe-plier": "always"}),
        ("1 mirror", {"mouth-mirror-5": "always"}),
        ("mouth mirror #5", {"mouth-mirror-5": "always"}),
        ("boone gauge, HP slow spd 20%", {"bracket-height-gauge": "always", "handpiece": "20%"}),
        ("Boone gauges", {"bracket-height-gauge": "always"}),
    ],
)
def test_needs_as_people_write_them(typed: str, needs: dict[str, object]) -> None:
    assert _written(answers=MAPPED).read(typed) == (needs, ())


def test_a_number_is_a_number_and_a_share_is_none() -> None:
    """``"2"`` in quotes is refused by the reader, and its remedy, 2 %, would mean something else."""
    needs, _ = _written().read("2 mirrors")
    assert type(needs["mouth-mirror-5"]) is int


@pytest.mark.parametrize(
    ("typed", "words", "near"),
    [
        ("mirror, gizmo, explorer", ["gizmo"], [""]),
        ("boone gauge, explorer 12%", ["boone gauge"], ["bracket-height-gauge"]),
        ("mirror 120%", ["mirror 120%"], [""]),
        ("explorer never", ["explorer never"], [""]),
        ("mirror, expl0rer thing", ["expl0rer thing"], ["explorer"]),
    ],
)
def test_a_word_that_is_not_understood_is_named_with_what_may_be_meant(
    typed: str, words: list[str], near: list[str]
) -> None:
    refused = _written().check(typed)
    assert refused is not None
    assert [word.word for word in refused.words] == words
    assert [word.near for word in refused.words] == near
    assert all(word.word in str(word.why) and word.near in str(word.why) for word in refused.words)


def test_another_word_takes_the_place_of_one_and_the_rest_stays() -> None:
    assert with_word("mirror, gizmo 12%, explorer", "gizmo", "howe plier") == "mirror, howe plier 12%, explorer"
    assert with_word("mirror, gizmo 12%, explorer", "gizmo", "") == "mirror, explorer"


def test_one_name_of_two_instruments_means_neither() -> None:
    two = _written(("plier-a", "other-plier", "Fancy plier"), ("plier-b", "other-plier", "Pliers, fancy"))
    assert two.id_of("fancy pliers") == "" and two.id_of("Fancy plier") == "plier-a"


# at a terminal ---------------------------------------------------------------------------------


#: Ctrl-D, or Ctrl-C.
STOPS = "\x04"


@pytest.fixture
def at_a_terminal(ask: Ask, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Answer]:
    """Run a command as a person who types these lines; what is left untyped is Enter."""

    def run(*arguments: object, typed: list[str], confirm: bool = False) -> Answer:
        left = iter(typed)

        def prompt(text: str, default: str = "", **how: object) -> str:
            if (line := next(left, "")) == STOPS:
                raise typer.Abort
            return line or default

        monkeypatch.setattr(sys.stdin, "isatty", lambda: True)
        monkeypatch.setattr(typer, "prompt", prompt)
        monkeypatch.setattr(typer, "confirm", lambda *args, **how: confirm)
        return ask(*arguments)

    return run


def _visits(folder: Path, label: str = "ADJ") -> Path:
    rows = [["Date", "Time", "Length", "Room", "Type"]]
    rows += [
        [f"2026-03-{day:02d}", f"{hour}:00", "30", f"OP {n}", label]
        for day in (2, 3, 4, 5, 9, 10, 11, 12, 16, 17)
        for hour in (9, 10)
        for n in (1, 2)
    ]
    (folder / "visits.csv").write_text(csv_text(rows), "utf-8")
    return folder / "visits.csv"


def test_only_the_word_that_was_not_understood_is_typed_again(
    at_a_terminal: Callable[..., Answer], lists: tuple[Path, Path], tmp_path: Path
) -> None:
    import_lists([lists[0]], tmp_path / "ours", answers={("names", "boone gauge"): "bracket-height-gauge"})
    typed = ["new", "", "2 mirrors, gizmo 12%, boone gauge", "thingummy", "explorer"]
    answer = at_a_terminal("import", _visits(tmp_path), tmp_path / "ours", typed=typed)
    said = " ".join(answer.err.split())
    assert "“gizmo” is in none of your lists" in said and "In place of “gizmo”" in said
    assert "“thingummy” is in none of your lists" in said and "“boone gauge” is" not in said
    procedures = read_folder(tmp_path / "ours").files["procedures"].data
    assert procedures["adj"]["needs"] == {"mouth-mirror-5": 2, "explorer": "12%", "bracket-height-gauge": "always"}


def test_back_leads_to_the_question_before_also_to_one_of_an_earlier_round(
    at_a_terminal: Callable[..., Answer], lists: tuple[Path, Path], tmp_path: Path
) -> None:
    import_lists([lists[0]], tmp_path / "ours")
    typed = [
        "new",
        "busiest",
        "back",
        "back",
        "",
        "figures",
        "explorer, blue gizmo",
        "back",
        "back",
        "",
        "",
        "explorer",
    ]
    answer = at_a_terminal("import", _visits(tmp_path), tmp_path / "ours", typed=typed)
    assert "“back” returns to the question before" in " ".join(answer.err.split())
    assert answer.err.count("Which procedure is “ADJ”") == 3 and answer.err.count("Shall schedule.csv") == 5
    assert read_folder(tmp_path / "ours").files["procedures"].data["adj"]["needs"] == {"explorer": "always"}
    assert not (tmp_path / "ours" / "schedule.csv").exists()


def test_a_count_that_is_none_is_told_at_once_and_asked_again(
    at_a_terminal: Callable[..., Answer], lists: tuple[Path, Path], tmp_path: Path
) -> None:
    names: dict[About, str] = {
        ("names", "hp slow spd"): "handpiece",
        ("names", "blue thing"): "-",
        ("practice", "name"): "Ours",
    }
    import_lists([lists[0]], tmp_path / "ours", answers=names)
    typed = ["", "31 or so", "many", "31"]
    answer = at_a_terminal("import", lists[0], tmp_path / "ours", typed=typed)
    assert answer.err.count("This is no count of pieces") == 2
    assert read_folder(tmp_path / "ours").files["stock"].data["handpiece"]["on_hand"] == 31


@pytest.mark.parametrize(("typed", "counted"), [("nine", 9), ("Doce", 12), ("none", 0), ("7", 7)])
def test_a_count_may_be_written_out(
    at_a_terminal: Callable[..., Answer], lists: tuple[Path, Path], tmp_path: Path, typed: str, counted: int
) -> None:
    names: dict[About, str] = {("names", "hp slow spd"): "handpiece", ("names", "blue thing"): "-"}
    import_lists([lists[0]], tmp_path / "ours", answers=names)
    at_a_terminal("import", lists[0], tmp_path / "ours", typed=["", typed])
    assert read_folder(tmp_path / "ours").files["stock"].data["handpiece"]["on_hand"] == counted


def test_a_name_that_is_only_near_gets_the_one_that_may_be_meant(lists: tuple[Path, Path], tmp_path: Path) -> None:
    doubts = bring(lists, known_of(tmp_path / "none", {})).found.doubts
    doubt = next(doubt for doubt in doubts if doubt.about == ("names", "blue thing"))
    for answer, said in (
        ("mixing spatula", "Do you mean Cement spatula? Then type cement-spatula."),
        ("gizmo", "No instrument is known by this name."),
    ):
        refused = doubt.refuses(answer)
        assert refused and said in sayer("en")(refused.why[0])
    assert doubt.refuses("cement-spatula") is None and doubt.refuses("own") is None


# what a menu shows -------------------------------------------------------------------------------


def test_whatever_a_menu_shows_can_be_typed_as_it_is_shown(
    at_a_terminal: Callable[..., Answer], lists: tuple[Path, Path], tmp_path: Path
) -> None:
    """In both languages, for every choice of every question that lists of an office raise."""
    for language in ("en", "es"):
        tell = sayer(language)
        doubts = bring(lists, known_of(tmp_path / "none", {}, language)).found.doubts
        with_choices = [doubt for doubt in doubts if doubt.choices]
        assert len(with_choices) > 8
        for doubt in with_choices:
            meanings = {value: tell(meaning) for value, meaning in doubt.choices.items()}
            for value, meaning in meanings.items():
                for typed in (value, meaning, meaning.upper(), shown_choice(value, meaning)):
                    assert chosen(typed, meanings, whole=doubt.any_text) == value, (doubt.about, typed)


def test_the_beginning_of_an_answer_will_do_where_nothing_else_begins_so() -> None:
    meanings = {"once": "count it once", "both": "count both", "-": "leave it out"}
    assert [chosen(typed, meanings, whole=False) for typed in ("o", "l", "count", "count b", "x")] == [
        "once",
        "-",
        "",
        "both",
        "",
    ]
    own = {"own": "an instrument of its own, under this name; no drawing", "-": "leave it out"}
    assert chosen("an instrument of its own", own, whole=True) == "own"
    assert chosen("an instrument", own, whole=True) == "" == chosen("l", own, whole=True)


def test_enter_without_a_suggestion_says_what_is_wanted_and_once_more_leaves_it_open(
    at_a_terminal: Callable[..., Answer], lists: tuple[Path, Path], tmp_path: Path
) -> None:
    names: dict[About, str] = {("names", "hp slow spd"): "handpiece", ("names", "blue thing"): "-"}
    import_lists([lists[0]], tmp_path / "ours", answers={**names, ("practice", "name"): "Ours"})
    first = at_a_terminal("import", lists[0], tmp_path / "ours", typed=["", "", "31"])
    said = " ".join(first.err.split())
    assert "Write a whole number, as in 31" in said and "Nothing is suggested here. Enter once more leaves" in said
    assert read_folder(tmp_path / "ours").files["stock"].data["handpiece"]["on_hand"] == 31
    shutil.rmtree(tmp_path / "ours")
    import_lists([lists[0]], tmp_path / "ours", answers={**names, ("practice", "name"): "Ours"})
    second = at_a_terminal("import", lists[0], tmp_path / "ours", typed=["", "", ""])
    assert second.status == 5 and "1 question is open" in second.out


def test_who_stops_finds_the_answers_again_in_a_new_folder_and_in_an_old_one(
    at_a_terminal: Callable[..., Answer], ask: Ask, lists: tuple[Path, Path], tmp_path: Path
) -> None:
    ours = tmp_path / "ours"
    typed = ["", "handpiece", "leave it out", STOPS]
    first = at_a_terminal("import", lists[0], ours, typed=typed)
    assert first.status == 5 and [path.name for path in ours.iterdir()] == ["import.yaml"]
    kept = f"Stopped. Your 3 answers are kept in {ours / 'import.yaml'}, and nothing else is written."
    assert kept in " ".join(first.err.split())
    assert read_yaml_names(ours) == {
        "boone gauge": "bracket-height-gauge",
        "hp slow spd": "handpiece",
        "blue thing": "-",
    }
    second = at_a_terminal("import", lists[0], ours, typed=["31", STOPS])
    assert "What is “HP slow spd”" not in second.err and "Your 1 answer is kept" in " ".join(second.err.split())
    third = at_a_terminal("import", lists[0], ours, typed=["two", "Ours"])
    assert third.status == 0 and "What is “blue thing”" not in third.err, third.err
    assert read_folder(ours).files["stock"].data["handpiece"]["on_hand"] == 31
    before = {path.name: path.read_bytes() for path in ours.glob("*.*")}
    fourth = at_a_terminal("import", _visits(tmp_path), ours, typed=["new", STOPS])
    after = {path.name: path.read_bytes() for path in ours.glob("*.*")}
    assert {name for name, data in after.items() if data != before.get(name)} == {"import.yaml"}
    assert fourth.status == 5 and b"adj: new" in after["import.yaml"]


def test_who_stops_at_once_or_tries_only_leaves_nothing(
    at_a_terminal: Callable[..., Answer], lists: tuple[Path, Path], tmp_path: Path
) -> None:
    for more, typed in (((), [STOPS]), (("--dry-run",), ["", "handpiece", STOPS])):
        answer = at_a_terminal("import", lists[0], tmp_path / "ours", *more, typed=typed)
        assert answer.status == 5 and "Stopped. Nothing was written." in answer.err
        assert not (tmp_path / "ours").exists()


def read_yaml_names(folder: Path) -> dict[str, str]:
    return {about[1]: answer for about, answer in answers_kept(folder).items() if about[0] == "names"}


# on a sheet ------------------------------------------------------------------------------------


def _fill(sheet: Path, answers: dict[str, str]) -> None:
    rows = list(csv.reader(io.StringIO(sheet.read_text("utf-8-sig"))))
    for row in rows[1:]:
        row[-1] = answers.get(row[0], row[-1] or "y")
    sheet.write_text(csv_text(rows), "utf-8")


def test_a_refused_answer_stays_in_the_sheet_with_the_reason(
    ask: Ask, lists: tuple[Path, Path], tmp_path: Path
) -> None:
    sheet, ours = tmp_path / "q.csv", tmp_path / "ours"
    ask("import", *lists, ours, "--ask", sheet)
    line = "mirror, explorer, gizmo"
    about = '["needs", "bond-u-l"]'
    _fill(sheet, {about: line, '["counts", "hp slow spd", "31 (2 loose)"]': "31 or so"})
    answer = ask("import", *lists, ours, "--ask", sheet)
    rows = {row[0]: row for row in csv.reader(io.StringIO(sheet.read_text("utf-8-sig")))}
    assert rows[about][-1] == line and "“gizmo” is in none of your lists" in rows[about][1]
    assert rows['["counts", "hp slow spd", "31 (2 loose)"]'][-1] == "31 or so"
    assert answer.status == 5 and "“gizmo” is in none of your lists" in " ".join(answer.out.split())


def test_a_choice_may_be_written_by_what_it_means_in_the_sheet_too(
    ask: Ask, lists: tuple[Path, Path], tmp_path: Path
) -> None:
    for sheet in (tmp_path / "q.csv", tmp_path / "q.xlsx"):
        ask("import", lists[0], tmp_path / "ours", "--ask", sheet)
        about, said = ("names", "blue thing"), "leave it out"
        if sheet.suffix == ".csv":
            _fill(sheet, {json.dumps(about): said})
        else:
            made = openpyxl.load_workbook(sheet)
            for row in made.worksheets[0].iter_rows(min_row=2):
                row[5].value = said if row[0].value == json.dumps(about) else None
            made.save(sheet)
        assert answers_in(sheet).answers[about] == "-"


def test_a_spoilt_line_of_the_sheet_is_told_and_its_question_asked_again(
    ask: Ask, lists: tuple[Path, Path], tmp_path: Path
) -> None:
    sheet, ours = tmp_path / "q.csv", tmp_path / "ours"
    ask("import", lists[0], ours, "--ask", sheet)
    rows = list(csv.reader(io.StringIO(sheet.read_text("utf-8-sig"))))
    n = next(n for n, row in enumerate(rows) if row[0] == '["names", "blue thing"]')
    rows[n][0], rows[n][-1] = "blue thing", "-"
    sheet.write_text(csv_text(rows), "utf-8")
    for quiet in ((), ("--quiet",)):
        answer = ask("import", lists[0], ours, "--ask", sheet, *quiet)
        assert f"q.csv, {n + 1}: the answer was not taken" in " ".join(answer.out.split())
        assert (
            '["names", "blue thing"]' in {row[0] for row in csv.reader(io.StringIO(sheet.read_text("utf-8-sig")))}
            and answer.status == 5
        )
        sheet.write_text(csv_text(rows), "utf-8")


def test_quiet_says_where_the_sheet_is(ask: Ask, lists: tuple[Path, Path], tmp_path: Path) -> None:
    answer = ask("import", lists[0], tmp_path / "ours", "--ask", tmp_path / "q.csv", "--quiet")
    said = " ".join(answer.out.split())
    assert said.startswith(f"Wrote {tmp_path / 'q.csv'} with 6 questions.") and len(answer.out.splitlines()) <= 2


def test_a_type_answered_with_words_is_a_procedure_of_that_name(
    ask: Ask, lists: tuple[Path, Path], tmp_path: Path
) -> None:
    brought = import_lists([lists[1]], tmp_path / "ours", answers={("types", "adj l"): "Short adjustment!"})
    assert "short-adjustment" in {record.id for record in brought.found.records}
    again = import_lists([lists[1]], tmp_path / "ours")
    assert again.known.of("procedures")["short-adjustment"]["name"] == "Short adjustment!"
    assert {"short-adjustment"} == {r.id for r in again.found.records if r.id.startswith("short")}


# whatever is answered --------------------------------------------------------------------------

_WORDS = [
    "2 mirrors",
    "mirror",
    "HP slow spd",
    "boone gauge 12%",
    "short adjustment",
    "new",
    "own",
    "-",
    "1",
    "²",
    "on",
]
_ANY = st.one_of(
    st.sampled_from(_WORDS),
    st.lists(st.sampled_from(_WORDS), min_size=1, max_size=4).map(", ".join),
    st.text(max_size=80),
    st.text(st.characters(codec="ascii"), min_size=1, max_size=70),
)
#: What is only told of what is not there yet.
_LACKING = ("missing", "no-file", "empty-file", "needs-wanted")


@settings(phases=(Phase.explicit, Phase.reuse, Phase.generate))  # a smaller example would take minutes to look for
@given(st.data())
def test_whatever_is_answered_the_reader_takes_what_import_writes(
    lists: tuple[Path, Path], tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    folder = tmp_path_factory.mktemp("any") / "ours"
    doubts = bring(lists, known_of(folder, {})).found.doubts
    answers = {}
    for doubt in doubts:
        taken = st.just(doubt.suggested) if doubt.suggested else st.nothing()
        answers[as_about(*doubt.about)] = data.draw(st.one_of(_ANY, taken, st.sampled_from([*doubt.choices, "new"])))
    import_lists(lists, folder, answers=answers)
    if not folder.exists():
        return
    problems: list[Problem] = []
    try:
        read_undesigned(folder)
    except PracticeError as error:
        problems += error.problems
    assert not [str(p) for p in problems if p.severity == "error" and not p.rule.startswith(_LACKING)]


@pytest.mark.parametrize("language", shipped_languages())
def test_the_answers_that_a_language_names_are_understood(language: str) -> None:
    said = shipped_sentences(language)
    back = re.search(r"[“«„]\s*(\w+)\s*[”»“]", said["import.told.how-to-answer"])
    yes = re.search(r"\((\w+)\s*:", said["import.sheet.answer"])
    assert back and back[1] in BACK
    assert yes and yes[1] in YES
