"""The sheets of the first visit: blank, and filled in from a folder."""

from __future__ import annotations

import dataclasses

import pytest

from kitdocs.document.blocks import Cell, FormGrid
from kitdocs.document.card import Card, Handbook
from kitdocs.handbook.survey.build_survey import make_survey
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import KitdocsError

# The order of the visit: the desk, the chairs, the book, the reprocessing room, the counting.
ORDER = ["practice", "chairs", "visits", "uses", "room", "packs", "storage", "count", "tally"]


def grids(card: Card) -> list[FormGrid]:
    return [block for block in card.blocks if isinstance(block, FormGrid)]


def rows(card: Card) -> list[tuple[str, ...]]:
    return [tuple(cell.text for cell in row) for grid in grids(card) for row in grid.given if len(row) > 1]


def sheet(book: Handbook, name: str) -> Card:
    return book.card(f"survey/{name}")


def test_the_sheets_come_in_the_order_of_the_visit_and_each_says_which_files_it_fills() -> None:
    book = make_survey()
    assert [card.id for card in book.cards] == [f"survey/{name}" for name in ORDER]
    files = {name for card in book.cards for name in card.subtitle.removeprefix("Goes into: ").split(", ")}
    # What is surveyed; sets and pouches are decided afterwards.
    assert files == {
        "practice.yaml", "chairs.yaml", "procedures.yaml", "instruments.yaml", "cassettes.yaml", "room.yaml",
        "stock.csv",
    }  # fmt: skip


@pytest.mark.parametrize("language", ["en", "es", "de", "fr"])
def test_a_blank_survey_knows_nothing_of_any_practice(language: str) -> None:
    book = make_survey(language=language, paper="a4")
    assert (book.paper, book.language) == ("a4", language)
    for name in ORDER:
        for row in rows(sheet(book, name)):
            assert not any(row[1:]), f"{name} has an answer already: {row}"
        assert sum(grid.rows + len(grid.given) for grid in grids(sheet(book, name))) >= 10, "room to write"
    with pytest.raises(KitdocsError, match="no words"):
        make_survey(language="xx")


def test_a_survey_of_a_folder_shows_what_the_folder_says(example: Practice) -> None:
    book = make_survey(example)
    visits = rows(sheet(book, "visits"))
    assert len(visits) == len(example.procedures)
    # example_practice/procedures.yaml: wire-change is the first, 30 min, 22 a busy day.
    assert visits[0][:4] == ("1", "Archwire change", "30", "22")
    uses = {row[0]: row[1:] for row in rows(sheet(book, "uses"))}
    for id_, of in example.instruments.items():
        marks = uses[of.name.in_language("en")]
        for mark, procedure in zip(marks, example.procedures.values(), strict=False):
            assert bool(mark) == (id_ in procedure.needs)
    assert uses["Weingart plier"][0] == "×" and uses["Mosquito forceps"][0] == "15%"
    count = {row[0]: row for row in rows(sheet(book, "count"))}
    assert count["Distal end cutter"][3:5] == ("17", "3")
    room = {row[0]: row for row in rows(sheet(book, "room"))}
    assert room["Steam sterilizer"][1:3] == ("3", "52 min")
    assert [row[0] for row in rows(sheet(book, "tally"))] == [f"{hour:02}:00" for hour in range(8, 17)]


def test_many_kinds_of_visit_take_a_second_sheet_and_keep_their_numbers(example: Practice) -> None:
    more = {f"kind-{n}": example.procedures["wire-change"] for n in range(16)}
    book = make_survey(dataclasses.replace(example, procedures=more))
    first, second = (card for card in book.cards if card.id.startswith("survey/uses"))
    assert grids(first)[0].columns[-1] == "14" and grids(second)[0].columns[1] == "15"
    assert [cell.text for cell in grids(second)[0].given[0][1:]] == ["×", "×"]
    assert isinstance(grids(second)[0].given[0][0], Cell)
