"""The row that holds the headings, found under titles and blank lines, in several languages."""

from __future__ import annotations

import pytest

from kitdocs.importing.found import Found, KindOfList, Known
from kitdocs.importing.grids import CellValue, grid_of
from kitdocs.importing.headings import ColumnHeading, Vocabulary, head_of
from kitdocs.importing.recognising import kinds_of_list
from kitdocs.practice.sentences import shipped_sentences

WORDS = Vocabulary(
    {"name": ["instrument", "nombre"], "stock": ["quantity", "on hand", "cantidad"], "away": ["in repair"]}
)


@pytest.mark.parametrize(
    ("text", "field", "unit"),
    [
        ("Quantity", "stock", ""),
        ("CANTIDAD", "stock", ""),
        ("quantity (pcs)", "stock", "pcs"),
        ("Cantidad [mm]", "stock", "mm"),
        ("on_hand", "stock", ""),
        ("Quantitiy", "stock", ""),
    ],
)
def test_a_heading_is_known_in_any_dress(text: str, field: str, unit: str) -> None:
    found = WORDS.meant(text)
    assert found and (found.field, found.unit) == (field, unit)


@pytest.mark.parametrize("text", ["", "Rep's telephone", "qualities", "hand"])
def test_what_is_no_heading_is_none(text: str) -> None:
    assert WORDS.meant(text) is None


def test_a_slip_makes_it_less_sure() -> None:
    assert WORDS.meant("quantity") == ColumnHeading("stock", "", 1.0)
    slip = WORDS.meant("quantitiy")
    assert slip and 0.86 <= slip.sure < 1


def test_headings_are_found_below_a_title_and_blank_lines() -> None:
    grid = grid_of(
        "a.csv", "", [["Our inventory 2026"], [], ["Instrument", "Notes", "Qty", "Quantity"], ["Mirror", "", 3]]
    )
    head = head_of(grid, WORDS)
    assert head and (head.first, head.last, dict(head.columns)) == (3, 3, {"name": 1, "stock": 4})
    assert head.headings == {1: "Instrument", 2: "Notes", 3: "Qty", 4: "Quantity"}
    assert [row[0].text for row in head.lines(grid)] == ["Mirror"]


def test_headings_in_two_rows_are_read_together() -> None:
    rows: list[list[CellValue]] = [["Instrument", "Quantity", ""], ["", "On hand", "In repair"], ["Mirror", 3, 1]]
    head = head_of(grid_of("a.csv", "", rows), WORDS)
    assert head and dict(head.columns) == {"name": 1, "stock": 2, "away": 3}
    assert (head.first, head.last) == (1, 2)


def test_what_people_said_of_a_heading_holds() -> None:
    grid = grid_of("a.csv", "", [["What", "Instrument", "Quantity"], ["Mirror", "x", 3]])
    head = head_of(grid, WORDS, {"what": "name", "instrument": "-"})
    assert head and dict(head.columns) == {"name": 1, "stock": 3}


def test_every_kind_of_list_has_its_own_name() -> None:
    names = [kind.name for kind in kinds_of_list()]
    assert len(set(names)) == len(names)


def test_answers_are_found_whatever_the_case_and_the_blanks() -> None:
    known = Known(answers={("names", "how plier"): "howe"})
    assert known.answer("names", "How  Plier") == "howe"
    assert known.answer("names", "other") is None
    assert KindOfList(name="x", score=lambda grid, known: 0.0, take=lambda grids, known: Found()).whole_file is False


@pytest.mark.parametrize("language", ["en", "es", "de", "fr"])
def test_every_kind_of_list_has_a_name_in_words(language: str) -> None:
    assert all(f"import.kind.{kind.name}" in shipped_sentences(language) for kind in kinds_of_list())


PATIENTS = ["Ana López", "John Smith", "Mary Jones", "Luis Pérez", "Kim Lee", "Eva Ruiz", "Tom Hall", "Sue Ray"]


@pytest.mark.parametrize(
    "head",
    [
        ["Name", "Procedure", "Minutes", "Qty"],
        ["Patient", "Type", "Length", "Count"],
        ["Paciente", "Tipo", "Duración", "Cantidad"],
        ["Description", "Procedure", "Min", "#"],
        ["DOB", "Procedure", "Length", "Qty"],
    ],
)
def test_a_list_of_patients_is_none_of_the_lists_of_things(head: list[str]) -> None:
    """And so no text of it is read: not even a type of visit that somebody wrote a name into."""
    kinds = ("inventory", "chairs", "procedures", "cassettes")
    rows: list[list[CellValue]] = [[*head]]
    rows += [[name, f"Adj - {name}" if n % 2 else "Adj", 30, 1] for n, name in enumerate(PATIENTS * 3)]
    grid = grid_of("export.csv", "", rows)
    scores = {kind.name: kind.score(grid, Known()) for kind in kinds_of_list() if kind.name in kinds}
    assert scores == dict.fromkeys(kinds, 0.0)


SEVERAL = Vocabulary(
    {"name": ["instrument", "nombre"], "stock": ["quantity", "cantidad"], "price": ["price", "precio"]},
    others={
        "fr": {
            "name": ["nom", "instrument"],
            "stock": ["nombre", "quantité"],
            "away": ["en réparation"],
            "kind": ["art"],
        },
        "de": {"name": ["bezeichnung"], "stock": ["anzahl"], "reference": ["art"]},
    },
)


@pytest.mark.parametrize(
    ("headings", "fields"),
    [
        (["Instrument", "Nombre", "En réparation"], {"name": 1, "stock": 2, "away": 3}),
        (["Nom", "Nombre"], {"name": 1, "stock": 2}),
        (["Nombre", "Cantidad", "Precio"], {"name": 1, "stock": 2, "price": 3}),
        (["Nombre", "Precio"], {"name": 1, "price": 2}),  # nothing says that it is French
        (["Bezeichnung", "Anzahl"], {"name": 1, "stock": 2}),
    ],
)
def test_a_heading_that_two_languages_use_differently_is_read_by_its_neighbours(
    headings: list[CellValue], fields: dict[str, int]
) -> None:
    head = head_of(grid_of("a.csv", "", [headings, ["x"] * len(headings)]), SEVERAL)
    assert head and dict(head.columns) == fields


def test_what_only_further_languages_have_and_use_differently_is_nobodys_without_a_neighbour() -> None:
    assert SEVERAL.meant("Art") is None
    assert SEVERAL.meant("Art", "fr") == ColumnHeading("kind", "", 1.0)
