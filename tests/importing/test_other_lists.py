"""Lists of chairs, procedures and cassettes; what was answered, kept; questions in a terminal."""

from __future__ import annotations

import io
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest
import typer
from hypothesis import example, given
from hypothesis import strategies as st
from rich.console import Console

from kitdocs.command.import_answer import sayer
from kitdocs.command.import_questions import Dialogue
from kitdocs.importing.bringing import bring
from kitdocs.importing.chair_looks import ChairLooks, looks_of
from kitdocs.importing.completing import completed
from kitdocs.importing.found import BroughtRecord, Doubt, Found, Known, as_about
from kitdocs.importing.grids import CellValue, grid_of
from kitdocs.importing.memory import memory_text, remembered
from kitdocs.importing.question_sheet import answers_in, sheet_rows
from kitdocs.importing.recognising import kinds_of_list, recognise
from kitdocs.planning.colours.distance import worst_distance
from kitdocs.planning.colours.palette import APART, propose
from kitdocs.practice.colours import colour
from kitdocs.practice.message import message
from kitdocs.practice.quantities import length
from kitdocs.publish.tables import csv_file


def taken(rows: list[list[CellValue]], known: Known | None = None) -> tuple[str, Found]:
    """What a sheet is recognised as, and what it comes to."""
    known = known or Known()
    grid = grid_of("list.csv", "", rows)
    kind = recognise(grid, known)
    assert kind
    return kind.name, kind.take([grid], known)


def records(found: Found) -> dict[str, dict[str, object]]:
    return {record.id: dict(record.fields) for record in found.records}


def test_chairs_get_a_colour_and_a_mark_that_no_other_has() -> None:
    rows: list[list[CellValue]] = [
        ["Chair", "Colour", "Mark"],
        [1, "teal", None],
        [2, "teal", "star"],
        ["Window", None, None],
    ]
    kind, found = taken(rows)
    assert kind == "chairs"
    chairs = records(found)
    assert list(chairs) == ["chair-1", "chair-2", "window"]
    assert chairs["chair-1"]["name"] == "Chair 1" and chairs["chair-1"]["colour"] == "teal"
    assert chairs["chair-2"]["mark"] == "star" and chairs["chair-2"]["colour"] != "teal"
    for field in ("colour", "mark"):
        assert len({chair[field] for chair in chairs.values()}) == 3
    assert [cells.where for cells in found.unused] == ["list.csv, B3: teal"]


def test_chairs_of_the_folder_keep_their_ids_and_their_colours_are_taken() -> None:
    known = Known(records={"chairs": {"a": {"name": "Window", "colour": "teal", "mark": "circle"}}}, language="es")
    _, found = taken([["Sillón", "Color"], ["Window", None], [2, "teal"]], known)
    assert list(records(found)) == ["a", "chair-2"]
    assert records(found)["chair-2"]["name"] == "Sillón 2" and records(found)["chair-2"]["colour"] != "teal"


def test_procedures_have_minutes_and_how_many_and_are_asked_what_they_need() -> None:
    rows: list[list[CellValue]] = [["Procedure", "Minutes", "Per day", "Tray"], ["Archwire change", 30, 12, "A"]]
    rows += [["Consult", "1 h", "2,5", None], ["Strange", "soon", "many", None], ["Consult", 20, 1, None]]
    kind, found = taken(rows)
    assert kind == "procedures"
    assert records(found)["archwire-change"] == {"name": "Archwire change", "minutes": "30 min", "per_day": 12}
    assert records(found)["consult"] == {"name": "Consult", "minutes": "1 h", "per_day": 2.5}
    told = {cells.where.partition(", ")[2] for cells in found.unused}
    assert told == {"D2: A", "B4: soon", "C4: many", "A5: Consult"}
    asked = [doubt for doubt in completed(found, Known()).doubts if doubt.about[0] == "needs"]
    assert [doubt.about for doubt in asked] == [
        ("needs", "archwire-change"),
        ("needs", "consult"),
        ("needs", "strange"),
    ]


def test_what_visits_mostly_need_is_suggested_of_what_there_is_and_the_answer_is_read() -> None:
    mirror = BroughtRecord(stem="instruments", id="mirror", fields={"name": "Mirror", "drawing": "mouth-mirror"})
    beak = BroughtRecord(stem="instruments", id="beak", fields={"name": "Beak", "drawing": "bird-beak-plier"})
    visit = BroughtRecord(stem="procedures", id="adj", fields={"name": "Adj", "minutes": "30 min", "per_day": 9})
    found = Found(records=(mirror, beak, visit))
    (doubt,) = (doubt for doubt in completed(found, Known()).doubts if doubt.about[0] == "needs")
    assert doubt.suggested == "mirror, beak 15%"
    for answer, needs in (
        ("mirror, beak 15%", {"mirror": "always", "beak": "15%"}),
        ("espejo; pico de pájaro 8%", {"mirror": "always", "beak": "8%"}),
        ("mirror always, beak 12 %", {"mirror": "always", "beak": "12%"}),
        ("2 mirror, beak: 12.5%", {"mirror": 2, "beak": "12.5%"}),
        ("2 x espejo, beak 2 at 8,5 %", {"mirror": 2, "beak": "2 at 8.5%"}),
        ("beak 0.15", {"beak": "15%"}),
    ):
        done = completed(found, Known(answers={("needs", "adj"): answer}))
        assert done.records[2].fields["needs"] == needs
    for answer in ("mirror, carrot", "mirror, beak 120%", "mirror #5"):
        wrong = completed(found, Known(answers={("needs", "adj"): answer}))
        assert "needs" not in wrong.records[2].fields and any(doubt.about[0] == "needs" for doubt in wrong.doubts)
    plain, fifth = (replace(mirror, id=id_) for id_ in ("mouth-mirror", "mouth-mirror-5"))
    for mirrors, answer, id_ in (
        ((plain, fifth), "espejo", "mouth-mirror"),
        ((plain, fifth), "espejo #5", "mouth-mirror-5"),
        ((mirror, fifth), "espejo", ""),  # either could be meant
        ((fifth,), "espejo", "mouth-mirror-5"),
    ):
        done = completed(replace(found, records=(*mirrors, visit)), Known(answers={("needs", "adj"): answer}))
        assert done.records[-1].fields.get("needs") == ({id_: "always"} if id_ else None)


def test_cassettes_need_a_size_with_its_unit_and_what_is_inside_is_worked_out() -> None:
    head: list[CellValue] = ["Cassette", "Length (mm)", "Width (mm)", "Height (mm)", "Qty", "Price"]
    kind, found = taken([head, ["Slim", 203, 76, 25, 4, "$88"], ["Big", 203, None, 32, 2, 120]])
    assert kind == "cassettes"
    slim = records(found)["slim"]
    assert slim["outside"] == {"length": "203 mm", "width": "76 mm", "height": "25 mm"}
    assert slim["on_hand"] == 4 and slim["price"] == 88.0
    inside = slim["inside"]
    assert isinstance(inside, dict) and all(length(inside[s]) < length(slim["outside"][s]) for s in inside)
    assert "big" not in records(found) and found.records[0].usual == ("inside",)
    assert any(cells.where.endswith("A3: Big") for cells in found.unused)


ABOUT = st.lists(
    st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=9), min_size=2, max_size=3
)
ANSWER = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=12)


@given(st.lists(st.tuples(ABOUT, ANSWER), max_size=6))
def test_what_was_answered_is_read_as_it_was_written(tmp_path_factory: pytest.TempPathFactory, said: list) -> None:
    answers = {as_about(*about): answer for about, answer in said}
    whole = {
        about: answer
        for about, answer in answers.items()
        if not any(about[:n] in answers for n in (1, 2) if n < len(about))
    }
    folder = tmp_path_factory.mktemp("kept")
    (folder / "import.yaml").write_text(memory_text(whole, "head"), "utf-8")
    assert remembered(folder) == (whole, ())


@given(st.lists(st.tuples(ABOUT, ANSWER), min_size=1, max_size=5, unique_by=lambda each: tuple(each[0])))
@example([(["names", "a"], ";=")])
@example([(["names", "a"], ";'=b")])
@example([(["0", ";="], "0")])
def test_a_sheet_of_questions_gives_the_answers_back(tmp_path_factory: pytest.TempPathFactory, said: list) -> None:
    doubts = [
        Doubt(about=tuple(about), asked=message("import.ask.practice"), suggested=answer) for about, answer in said
    ]
    rows = sheet_rows(doubts, sayer("en"))
    for row in rows[1:]:
        row[-1] = "y"
    sheet = tmp_path_factory.mktemp("sheet") / "q.csv"
    sheet.write_bytes(csv_file(rows))
    read = answers_in(sheet).answers
    # A suggestion that a spreadsheet would run has an apostrophe before it, which is taken off again; beside no
    # suggestion, what was written is the answer.
    assert read == {as_about(*about): answer.removeprefix("'") or "y" for about, answer in said}


def asked(monkeypatch: pytest.MonkeyPatch, doubts: list[Doubt], typed: list[str]) -> tuple[dict, bool, str]:
    """The answers of a person who types these lines; '' is Enter."""
    left = iter(typed)
    monkeypatch.setattr(typer, "prompt", lambda text, default="", **how: next(left) or default)
    said = io.StringIO()
    answers: dict = {}
    on = Dialogue(Console(file=said, width=100), answers, sayer("en")).ask(doubts)
    return answers, on, said.getvalue()


NAME = Doubt(
    about=("names", "tweezers"),
    asked=message("import.ask.name", name="tweezers"),
    choices={"other-tweezers": "Other tweezers", "-": message("import.choice.nothing")},
    suggested="other-tweezers",
    any_text=True,
    sources=("a.csv, A1",),
)
UNIT = Doubt(about=("units", "length"), asked=message("import.ask.practice"), choices={"mm": "mm", "in": "in"})


def test_enter_takes_what_is_suggested_a_number_another_and_any_text_where_it_can_be(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert asked(monkeypatch, [NAME], [""])[0] == {("names", "tweezers"): "other-tweezers"}
    assert asked(monkeypatch, [NAME], ["2"])[0] == {("names", "tweezers"): "-"}
    assert asked(monkeypatch, [NAME], ["college tweezers"])[0] == {("names", "tweezers"): "college tweezers"}
    answers, on, said = asked(monkeypatch, [UNIT], ["furlong", "2"])
    assert answers == {("units", "length"): "in"} and on and "a number from 1 to 2" in said


def test_a_question_can_be_left_open_and_so_can_the_rest(monkeypatch: pytest.MonkeyPatch) -> None:
    assert asked(monkeypatch, [NAME, UNIT], ["?", "1"])[:2] == ({("units", "length"): "mm"}, True)
    assert asked(monkeypatch, [NAME, UNIT], ["??"])[:2] == ({}, False)


def test_two_kinds_that_fit_alike_are_not_chosen_between() -> None:
    nothing = grid_of("a.csv", "", [["x", "y"], [1, 2]])
    assert recognise(nothing, Known()) is None
    assert {kind.name for kind in kinds_of_list()} >= {"inventory", "chairs", "procedures", "cassettes"}


def test_a_chair_of_the_folder_that_is_listed_again_keeps_what_it_has() -> None:
    known = Known(records={"chairs": {"chair-1": {"name": "Chair 1", "colour": "teal", "mark": "circle"}}})
    _, found = taken([["Chair", "Colour"], ["Chair 1", "teal"], ["Chair 2", None]], known)
    assert records(found)["chair-1"] == {"name": "Chair 1"} and not found.unused
    _, found = taken([["Sillón", "Color"], ["A", "violeta"], ["B", "gris"]])
    assert [record["colour"] for record in records(found).values()] == ["violet", "grey"]


@pytest.mark.parametrize(("count", "there", "language"), [(1, 2, "en"), (4, 5, "es"), (12, 0, "en"), (7, 5, "es")])
def test_the_colours_of_new_chairs_are_apart_from_those_of_the_folder(count: int, there: int, language: str) -> None:
    """The chairs that are there have the colours that are proposed for so many; 16 in all stay apart for every eye."""
    proposed = [each.hex for each in propose(there)] if there else []
    chairs = {f"c{n}": {"name": f"C{n}", "colour": {"name": "x", "hex": hex_}} for n, hex_ in enumerate(proposed)}
    new = [look["colour"] for look in looks_of([{}] * count, ChairLooks(chairs.values(), language))]
    every = [*proposed, *(colour(each).hex for each in new)]
    assert all(worst_distance(one, other)[0] >= APART for one, other in combinations(every, 2))
    assert len({each if isinstance(each, str) else each["name"] for each in new}) == count


def test_a_book_that_comes_with_the_list_of_chairs_speaks_of_these(tmp_path: Path) -> None:
    (tmp_path / "appts.csv").write_text(
        "Date,Time,Operatory,Type,Length\n"
        + "".join(
            f"2026-10-{day:02},{hour:02}:00,OP{op},Archwire change,30\n"
            for day in (5, 6, 7, 8, 12, 13, 14, 15)
            for hour in range(8, 12)
            for op in (1, 2)
        )
    )
    (tmp_path / "chairs.csv").write_text("Chair,Colour\n1,teal\n2,pink\n")
    (tmp_path / "visits.csv").write_text("Procedure,Minutes,Per day\nArchwire change,30,12\n")
    files = [tmp_path / name for name in ("appts.csv", "chairs.csv", "visits.csv")]
    brought = bring(files, Known())
    asked = {doubt.about: doubt.suggested for doubt in brought.found.doubts if doubt.about[0] in ("chairs", "types")}
    assert asked == {("chairs", "op1"): "chair-1", ("chairs", "op2"): "chair-2"}
    brought = bring(files, Known(answers=asked))
    assert [record.id for record in brought.found.records if record.stem == "chairs"] == ["chair-1", "chair-2"]
    assert [record.id for record in brought.found.records if record.stem == "procedures"] == ["archwire-change"]
    assert brought.known.records == {}  # the folder is new all the same
