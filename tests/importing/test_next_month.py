"""Next month: a type of visit that is new finds its set, a slip is taken back, and what to do next is true."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import openpyxl
import pytest
import typer
from appointment_book import csv_text
from asking import Answer, Ask

from kitdocs.importing.bringing import bring, known_of
from kitdocs.importing.found import About, BroughtRecord, Found, Known
from kitdocs.importing.into_folder import import_lists
from kitdocs.importing.memory import remembered
from kitdocs.importing.sets_asked import with_sets
from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.folder import read_folder
from kitdocs.practice.reading.reader import read_practice
from kitdocs.starter import start

DAYS = (2, 3, 4, 5, 9, 10, 11, 12, 16, 17)


def visits(folder: Path, label: str = "ALIGNER DEL") -> Path:
    """Two weeks of one type of visit, at chairs that the starter has."""
    rows = [["Date", "Time", "Length", "Room", "Type"]]
    rows += [
        [f"2026-03-{day:02d}", f"{hour}:00", "30", f"Chair {n}", label]
        for day in DAYS
        for hour in (9, 10)
        for n in (1, 2)
    ]
    (folder / "visits.csv").write_text(csv_text(rows), "utf-8")
    return folder / "visits.csv"


@pytest.fixture
def started(tmp_path: Path) -> Path:
    start(tmp_path / "ours")
    return tmp_path / "ours"


def held(folder: Path, set_id: str) -> list[str]:
    """The instruments of a set of the folder, as its own reader reads them."""
    return list(read_practice(folder).sets[set_id].contents)


def test_a_new_type_of_visit_is_asked_for_its_set_and_the_one_that_holds_its_needs_is_proposed(
    started: Path, tmp_path: Path
) -> None:
    practice = read_practice(started)
    for id_, kit in practice.sets.items():
        file = visits(tmp_path)
        needs = ", ".join(dict.fromkeys(kit.contents))
        answers: dict[About, str] = {("types", "aligner del"): "new", ("needs", "aligner-del"): needs}
        found = bring([file], known_of(started, answers)).found
        question = next(doubt for doubt in found.doubts if doubt.about[0] == "set")
        assert question.needed and list(question.choices) == list(practice.sets)
        chosen = practice.sets[question.suggested].contents
        assert set(kit.contents) <= set(chosen) and len(chosen) <= len(kit.contents), id_


def test_with_the_answer_the_folder_is_whole_again(ask: Ask, started: Path, tmp_path: Path) -> None:
    kit = next(iter(read_practice(started).sets))
    answers: dict[About, str] = {
        ("types", "aligner del"): "new",
        ("needs", "aligner-del"): ", ".join(dict.fromkeys(held(started, kit))),
        ("days", "schedule"): "figures",
    }
    import_lists([visits(tmp_path)], started, answers=answers)
    with pytest.raises(PracticeError) as told:
        read_practice(started)
    missing = next(problem for problem in told.value.problems if problem.rule == "missing")
    assert missing.path == "procedures.aligner-del.set"
    assert f"as in 'set: {kit}'" in str(missing.remedy) and all(
        id_ in str(missing.remedy) for id_ in held_sets(started)
    )
    answer = ask("import", visits(tmp_path), started)
    assert answer.status == 5 and "Which set does a visit “ALIGNER DEL” use?" in answer.out
    import_lists([visits(tmp_path)], started, answers={**answers, ("set", "aligner-del"): kit})
    assert read_practice(started).procedures["aligner-del"].set == kit


def held_sets(folder: Path) -> list[str]:
    return list(read_folder(folder).files["sets"].data)


def test_what_a_set_lacks_is_said_beside_it() -> None:
    sets = {
        "a": {"name": "Set A", "contents": ["mirror", {"holder": 1}]},
        "b": {"name": "Set B", "contents": ["2 mirror"]},
    }
    instruments = {id_: {"name": id_.title(), "drawing": "other-instrument"} for id_ in ("mirror", "holder")}
    there = {"name": "New", "needs": {"mirror": 2, "holder": "5%"}}
    known = Known(records={"sets": sets, "instruments": instruments, "procedures": {"new": there}})
    record = BroughtRecord(stem="procedures", id="new", fields={})
    (question,) = with_sets(Found(records=(record,)), known).doubts
    assert question.suggested == "b"
    assert [str(meaning) for meaning in question.choices.values()] == ["Set A: without Mirror", "Set B: without Holder"]


def test_a_new_chair_has_in_its_drawer_what_lies_at_every_other() -> None:
    chairs = {"a": {"drawer": {"bands": 2, "seps": "auto"}}, "b": {"drawer": {"seps": 1}}}
    known = Known(records={"sets": {"s": {"contents": ["mirror"]}}, "chairs": chairs})
    records = [BroughtRecord(stem="chairs", id=id_, fields={"name": id_}) for id_ in ("b", "c")]
    done = with_sets(Found(records=tuple(records)), known).records
    assert [dict(record.fields) for record in done] == [{"name": "b"}, {"name": "c", "drawer": {"seps": "auto"}}]


# what to do next -------------------------------------------------------------------------------


def commands(answer: Answer) -> list[list[str]]:
    """The commands that the last line of an answer names."""
    line = " ".join(answer.out.split()).rpartition("Next: ")[2]
    found = re.findall(r"kitdocs ((?:check|propose|handbook|changes) [^\s;]+(?: --to [^\s;]+)?)", line)
    return [command.split() for command in found]


def small_inventory(folder: Path) -> Path:
    made = openpyxl.Workbook()
    for row in (["Instrument", "Qty"], ["mirror", 40], ["explorer", 30], ["weingarts", "31 (2 loose)"]):
        made.worksheets[0].append(row)
    made.save(folder / "inventory.xlsx")
    return folder / "inventory.xlsx"


ANSWERS: dict[About, str] = {
    ("types", "aligner del"): "new",
    ("needs", "aligner-del"): "mirror, explorer, 2 weingarts",
    ("counts", "weingarts", "31 (2 loose)"): "31",
    ("days", "schedule"): "figures",
    ("practice", "name"): "Ours",
}


def test_with_questions_open_nothing_else_is_advised(ask: Ask, tmp_path: Path) -> None:
    answer = ask("import", small_inventory(tmp_path), visits(tmp_path), tmp_path / "ours")
    assert answer.status == 5 and commands(answer) == [] and "answer what is open" in " ".join(answer.out.split())


@pytest.mark.whole
def test_each_command_that_is_advised_works(ask: Ask, tmp_path: Path) -> None:
    ours = tmp_path / "ours"
    import_lists([small_inventory(tmp_path), visits(tmp_path)], ours, answers=ANSWERS)
    (tmp_path / "ours-with-sets").mkdir()
    answer = ask("import", *_touched(tmp_path), ours)
    propose, handbook = commands(answer)
    assert propose == ["propose", str(ours), "--to", str(tmp_path / "ours-with-sets-2")]
    assert handbook[1] == propose[3]
    assert ask(*propose).status == 0 and ask("check", propose[3]).status == 0
    later = ask("import", *_touched(tmp_path, "mirror", 44), propose[3], "--yes")
    check, *_ = commands(later)
    assert check == ["check", propose[3]] and ask(*check).status == 0


def _touched(folder: Path, name: str = "explorer", count: int = 31) -> list[Path]:
    """The inventory with another count, so that there is something to write."""
    book = openpyxl.load_workbook(folder / "inventory.xlsx")
    sheet = book.worksheets[0]
    for row in sheet.iter_rows(min_row=2):
        if row[0].value == name:
            row[1].value = count
    if name == "explorer":
        sheet.append(["scaler", 12])
    book.save(folder / "inventory.xlsx")
    return [folder / "inventory.xlsx"]


def test_a_folder_that_a_proposal_would_make_is_not_started_with_a_strangers_practice(ask: Ask, started: Path) -> None:
    answer = ask("handbook", f"{started}-with-sets", "--to", started.parent / "out")
    said = answer.out.replace("\n", "")
    assert answer.status == 1 and "kitdocs start" not in said and f"kitdocs propose {started} --to" in said
    assert "kitdocs start" in ask("check", started.parent / "other").out.replace("\n", "")


def test_a_no_to_replacing_keeps_nothing_of_the_wrong_answer(
    ask: Ask, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    ours = tmp_path / "ours"
    import_lists([small_inventory(tmp_path)], ours, answers=ANSWERS)
    book = openpyxl.load_workbook(tmp_path / "inventory.xlsx")
    book.worksheets[0]["B4"] = "about 40"
    book.worksheets[0].append(["scaler", "plenty"])
    book.save(tmp_path / "inventory.xlsx")
    left = iter(["400", "9"])
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True)
    monkeypatch.setattr(typer, "prompt", lambda text, default="", **how: next(left))
    monkeypatch.setattr(typer, "confirm", lambda *args, **how: False)
    answer = ask("import", tmp_path / "inventory.xlsx", ours)
    memory = remembered(ours)[0]
    assert "Your 1 answer that would have changed them is not kept" in " ".join(answer.out.split())
    assert "400" not in memory.values() and memory["counts", "scaler", "plenty"] == "9"
    stock = read_folder(ours).files["stock"].data
    assert stock["weingart-plier"]["on_hand"] == 31 and stock["scaler"]["on_hand"] == 9


def _book(folder: Path, *, a_day: int) -> Path:
    rows = [["Date", "Time", "Length", "Chair", "Type"]]
    rows += [[f"2026-03-{day:02d}", f"{9 + n}:00", "30", "Chair 1", "SCAN"] for day in DAYS for n in range(a_day)]
    (folder / "book.csv").write_text(csv_text(rows), "utf-8")
    return folder / "book.csv"


def test_the_comments_on_figures_change_with_the_figures_and_a_persons_own_stay(ask: Ask, tmp_path: Path) -> None:
    ours = tmp_path / "ours"
    answers: dict[About, str] = {("types", "scan"): "new", ("practice", "name"): "Ours", ("needs", "scan"): "-"}
    import_lists([_book(tmp_path, a_day=2)], ours, answers={**answers, ("days", "schedule"): "figures"})
    file = ours / "procedures.yaml"
    file.write_text(file.read_text("utf-8").replace("  name: SCAN", "  # scans at chair 1 only\n  name: SCAN  # ours"))
    assert "# scan: 2.0 on each busy day (20 visits on 10 days)" in file.read_text("utf-8")
    book = _book(tmp_path, a_day=3)
    assert ask("import", book, ours).status == 5
    assert "# scan: 2.0 on each busy day" in file.read_text("utf-8") and "3.0" not in file.read_text("utf-8")
    assert ask("import", book, ours, "--yes").status == 0
    text = file.read_text("utf-8")
    assert "# scan: 3.0 on each busy day (30 visits on 10 days)" in text and "2.0" not in text and "per_day: 3" in text
    assert "  # scans at chair 1 only\n  name: SCAN  # ours" in text
    read = read_folder(ours).files["procedures"].data
    assert read["scan"]["per_day"] == 3


def test_a_length_that_was_usual_and_is_measured_loses_the_mark_and_no_other_line_does(tmp_path: Path) -> None:
    (tmp_path / "first.csv").write_text("Instrument,Qty\nmouth mirror,40\nexplorer,30\n", "utf-8")
    (tmp_path / "then.csv").write_text("Instrument,Qty,Length\nmouth mirror,40,150 mm\nexplorer,30,\n", "utf-8")
    import_lists([tmp_path / "first.csv"], tmp_path / "ours")
    usual = (tmp_path / "ours" / "instruments.yaml").read_text("utf-8")
    import_lists([tmp_path / "then.csv"], tmp_path / "ours", replace=True)
    after = (tmp_path / "ours" / "instruments.yaml").read_text("utf-8")
    changed = [(a, b) for a, b in zip(usual.splitlines(), after.splitlines(), strict=True) if a != b]
    assert changed == [("  length: 165 mm  # usual; measure yours", "  length: 150 mm")]


def test_a_name_that_was_matched_wrongly_is_corrected_as_the_closing_words_say(ask: Ask, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("Instrument,Qty\nweingarts,12\nhowe plier,5\n", "utf-8")
    ours = tmp_path / "ours"
    said = " ".join(ask("import", tmp_path / "list.csv", ours).out.split())
    advice = re.search(r"Write what it is into (\S+), below names, as in (.+?: \S+) \(or", said)
    assert advice and Path(advice[1]) == ours / "import.yaml" and advice[2] == "weingarts: weingart-plier"
    text = "names:\n  weingarts: howe-plier\n"
    (ours / "import.yaml").write_text(text, "utf-8")
    assert ask("import", tmp_path / "list.csv", ours, "--yes").status == 0
    stock = read_folder(ours).files["stock"].data
    assert stock["howe-plier"]["on_hand"] == 17
