"""Single cells and lines of an inventory: units, counts, prices, lengths that differ, lines that repeat."""

from __future__ import annotations

import pytest

from kitdocs.importing.columns import count_of, length_written, likely_count, possible_units
from kitdocs.importing.found import BroughtRecord, Found, Known
from kitdocs.importing.grids import CellValue, GridCell, grid_of
from kitdocs.importing.recognising import recognise


def taken(rows: list[list[CellValue]], known: Known | None = None) -> Found:
    known = known or Known()
    grid = grid_of("a.csv", "", rows)
    kind = recognise(grid, known)
    assert kind and kind.name == "inventory"
    return kind.take([grid], known)


def of(found: Found, stem: str) -> dict[str, dict[str, object]]:
    return {record.id: dict(record.fields) for record in found.records if record.stem == stem}


HEAD: list[CellValue] = ["Instrument", "Qty", "Length"]


@pytest.mark.parametrize(
    ("value", "count"),
    [
        (12, 12),
        (12.0, 12),
        ("12", 12),
        ("12 pcs", 12),
        ("12 uds.", 12),
        ("x12", 12),
        ("none", 0),
        ("nine", 9),
        ("Doce", 12),
        ("-", None),
        ("n/a", None),
    ],
)
def test_a_count_is_read(value: CellValue, count: int | None) -> None:
    assert count_of(GridCell(value, 1, 1)) == count


@pytest.mark.parametrize(
    ("value", "likely"),
    [
        ("1 doz", "12"),
        ("40 or so", "40"),
        ("12 boxes", ""),
        ("~12", "12"),
        ("12?", "12"),
        ("10 + 2", "12"),
        ("1-2", ""),
        ("2.5", ""),
        (-3, ""),
        ("many", ""),
    ],
)
def test_what_is_no_count_is_asked_with_what_it_likely_means(value: CellValue, likely: str) -> None:
    with pytest.raises(ValueError):
        count_of(GridCell(value, 1, 1))
    assert likely_count(str(value)) == likely


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ('5 1/2"', "5 1/2 in"),
        ("14 cm", "14 cm"),
        ('5.5" (14 cm)', "5.5 in"),
        ("140 mm / 5,5 in", "140 mm"),
        ("12.5cm.", "12.5cm"),
    ],
)
def test_a_length_is_written_as_a_practice_folder_has_it(text: str, written: str) -> None:
    assert length_written(text) == written


@pytest.mark.parametrize("text", ["140", "5.5 (14 cm)", '5.5" (20 cm)', "long", "1,234 mm"])
def test_a_length_that_can_mean_two_things_is_none(text: str) -> None:
    with pytest.raises(ValueError):
        length_written(text)


def test_a_number_without_a_unit_is_read_where_only_one_unit_is_possible() -> None:
    assert [possible_units(n) for n in (140, 14, 5.5, 1)] == [("mm",), ("cm",), ("cm", "in"), ()]
    found = taken([HEAD, ["howe", 1, 140], ["mathieu", 1, 14], ["mosquito", 1, 5.5]])
    lengths = {i: fields["length"] for i, fields in of(found, "instruments").items()}
    assert lengths == {"howe-plier": "140 mm", "mathieu-needle-holder": "14 cm", "mosquito-forceps": "125 mm"}
    (doubt,) = found.doubts
    assert (doubt.about, doubt.suggested) == (("units", "length"), "in")
    settled = taken([HEAD, ["mosquito", 1, 5.5]], Known(answers={("units", "length"): "in"}))
    assert of(settled, "instruments")["mosquito-forceps"]["length"] == "5.5 in" and not settled.doubts


def test_the_unit_of_a_heading_holds_for_numbers_without_one() -> None:
    found = taken([["Instrument", "Qty", "Length (in)"], ["howe", 1, 5.5], ["mathieu", 1, "14 cm"]])
    assert [fields["length"] for fields in of(found, "instruments").values()] == ["5.5 in", "14 cm"]


def test_one_name_with_two_lengths_is_two_instruments_until_somebody_says_not_so() -> None:
    rows: list[list[CellValue]] = [
        HEAD,
        ["weingart", 3, "120 mm"],
        ["Weingart plier", 2, "121 mm"],
        ["weingarts", 5, "165 mm"],
    ]
    found = taken(rows)
    assert of(found, "stock") == {
        "weingart-plier": {"on_hand": 5, "in_repair": 0},
        "weingart-plier-165-mm": {"on_hand": 5, "in_repair": 0},
    }
    assert of(found, "instruments")["weingart-plier-165-mm"]["name"] == "Weingart plier, 165 mm"
    (doubt,) = found.doubts
    assert doubt.about == ("lengths", "weingart-plier") and not doubt.needed
    one = taken(rows, Known(answers={doubt.about: "one"}))
    assert of(one, "stock") == {"weingart-plier": {"on_hand": 10, "in_repair": 0}}


def folder_of(found: Found) -> Known:
    """A folder that has just what was found."""
    return Known(records={stem: of(found, stem) for stem in ("instruments", "stock")} | {"practice": {"name": "x"}})


@pytest.mark.parametrize(
    "rows",
    [
        [HEAD, ["weingart", 3, "120 mm"], ["weingarts", 5, "165 mm"], ["weingart", 1, None]],
        [HEAD, ["mirror", 3, None], ["mirror #5", 4, None], ["mirrors #4", 4, None]],
        [HEAD, ["DEC TC", 3, "12 cm"], ["DEC", 4, "12 cm"], ["mosquito curva", 4, None]],
        [HEAD, ["Tweed loop plier", 3, "12 cm"], ["tweed loop", 4, "16 cm"], ["Kim plier", 1, None]],
    ],
)
def test_the_same_list_next_month_finds_the_records_that_it_made(rows: list[list[CellValue]]) -> None:
    first = taken(rows)
    again = taken(rows, folder_of(first))
    assert of(again, "stock") == of(first, "stock")
    assert set(of(again, "instruments")) == set(of(first, "instruments"))
    assert all("name" not in fields for fields in of(again, "instruments").values())


def test_two_names_that_differ_by_a_size_only_are_asked_about_and_merged_when_said_so() -> None:
    rows: list[list[CellValue]] = [HEAD, ["mirror", 3, None], ["mirror #5", 4, None]]
    (doubt,) = taken(rows).doubts
    assert (doubt.about, doubt.needed) == (("same", "mouth-mirror", "5"), False)
    one = taken(rows, Known(answers={doubt.about: "one"}))
    assert of(one, "stock") == {"mouth-mirror-5": {"on_hand": 7, "in_repair": 0}}
    assert of(one, "instruments")["mouth-mirror-5"]["name"] == "Mouth mirror", "most have no number"
    assert of(taken(rows), "stock").keys() == {"mouth-mirror", "mouth-mirror-5"}


def test_a_line_that_says_the_same_again_counts_once_until_somebody_says_otherwise() -> None:
    rows: list[list[CellValue]] = [HEAD, ["howe", 3, "14 cm"], ["howe", 3, "14 cm"]]
    found = taken(rows)
    assert of(found, "stock")["howe-plier"]["on_hand"] == 3
    assert [doubt.about for doubt in found.doubts] == [("twice", "howe")]
    assert of(taken(rows, Known(answers={("twice", "howe"): "both"})), "stock")["howe-plier"]["on_hand"] == 6


def test_references_and_places_are_kept_as_comments_and_the_other_price_is_told() -> None:
    head: list[CellValue] = ["Instrument", "Qty", "Price", "Ref", "Location"]
    found = taken([head, ["howe", 3, 80, "H-1", "Drawer 1"], ["Howe plier", 1, "$85", "H-2", "Drawer 1"]])
    record = found.records[0]
    assert isinstance(record, BroughtRecord) and [str(note) for note in record.notes] == [
        "Maker's reference: H-1, H-2",
        "Kept: Drawer 1",
    ]
    assert record.fields["price"] == 80
    assert [cells.where for cells in found.unused] == ["a.csv, C3: $85"]


def test_prices_of_another_currency_set_it_in_a_new_folder_and_are_left_out_of_an_old_one() -> None:
    rows: list[list[CellValue]] = [["Instrumento", "Cantidad", "Precio"], ["howe", 3, "80,50 €"]]
    assert of(taken(rows), "practice") == {"": {"currency": "EUR"}}
    old = taken(rows, Known(records={"practice": {"currency": "USD"}}))
    assert "price" not in of(old, "instruments")["howe-plier"] and old.unused[0].where == "a.csv, C2: 80,50 €"


def test_a_heading_over_some_lines_is_a_hint_and_totals_are_left_out() -> None:
    found = taken([HEAD, ["CUTTERS", None, None], ["distal", 3, None], ["Total", 3, None], ["howe", 2, None]])
    assert list(of(found, "instruments")) == ["distal-end-cutter", "howe-plier"]
    assert [cells.where for cells in found.unused] == ["a.csv, A2: CUTTERS", "a.csv, A4: Total"]


def test_a_column_that_numbers_the_lines_is_no_count() -> None:
    lines: list[list[CellValue]] = [[1, "howe", 9], [2, "mirror", 8], [3, "scaler", 7]]
    found = taken([["No.", "Instrument", "Qty"], *lines])
    assert [fields["on_hand"] for fields in of(found, "stock").values()] == [9, 8, 7]
    alone = taken([["No.", "Instrument", "Length"], *([n, name, "14 cm"] for n, name, _ in lines)])
    assert of(alone, "stock") == {} and ("columns", "inventory", "no") in {doubt.about for doubt in alone.doubts}
    said = Known(answers={("columns", "inventory", "no"): "stock"})
    told = taken([["No.", "Instrument", "Length"], *([n, name, "14 cm"] for n, name, _ in lines)], said)
    assert [fields["on_hand"] for fields in of(told, "stock").values()] == [1, 2, 3]
    counted = taken([["No.", "Instrument", "Length"], *([n, name, "14 cm"] for _, name, n in lines)])
    assert [fields["on_hand"] for fields in of(counted, "stock").values()] == [9, 8, 7]


def test_counts_in_repair_are_kept_apart() -> None:
    found = taken([["Instrument", "On hand", "In repair"], ["howe", 3, 1], ["howe plier", 2, None]])
    assert of(found, "stock") == {"howe-plier": {"on_hand": 5, "in_repair": 1}}


@pytest.mark.parametrize(
    "text", ["31 (2 in repair)", "31, 2 are out for repair", "31 (2 en reparación)", "31 (2 being sharpened)"]
)
def test_some_in_repair_in_one_cell_with_the_count_are_asked_about_and_kept_apart(text: str) -> None:
    """Whether they are among the first number, only a person knows."""
    rows: list[list[CellValue]] = [["Instrument", "On hand"], ["howe", text], ["how plier", 4]]
    found = taken(rows)
    (doubt,) = found.doubts
    assert (doubt.suggested, [*doubt.choices]) == ("of", ["of", "beside"])
    assert [each.where for each in found.unused] == [f"a.csv, B2: {text}"]
    of_them, beside = (taken(rows, Known(answers={doubt.about: each})) for each in ("of", "beside"))
    assert of(of_them, "stock") == {"howe-plier": {"on_hand": 33, "in_repair": 2}}
    assert of(beside, "stock") == {"howe-plier": {"on_hand": 35, "in_repair": 2}}
    assert not of_them.doubts and not of_them.unused
