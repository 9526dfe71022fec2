"""Types of visits written in two ways: asked as one, told where they are not, and no name shown for it."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from appointment_book import csv_text
from asking import Ask
from hypothesis import given
from hypothesis import strategies as st
from test_askable import FIRST, LAST, TYPES, column

from kitdocs.command.import_answer import sayer
from kitdocs.importing.askable import askable, phrase
from kitdocs.importing.found import About
from kitdocs.importing.into_folder import import_lists
from kitdocs.importing.variants import variant_of
from kitdocs.practice.reading.folder import read_folder


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Ret ck", "RET CHK"),
        ("ret check", "RET CHK"),
        ("Retainer Check", "RET CHK"),
        ("loose bracket", "loose brkt"),
        ("Emergency", "EMERG"),
        ("BND U/L", "BOND U/L"),
        ("chk ret", "RET CHK"),
        ("Debonding", "deband"),
        ("Recementadp", "Recementado"),
        ("Urg", "Urgencia"),
    ],
)
def test_two_ways_of_writing_are_one(one: str, other: str) -> None:
    assert variant_of(phrase(one), [phrase("SCAN"), phrase(other)]) == phrase(other)
    assert variant_of(phrase(other), [phrase(one)]) == phrase(one)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("ADJ-L", "ADJ-S"),
        ("ADJ", "ADJ-LONG"),
        ("Banding", "Bonding"),
        ("Rebond", "Debond"),
        ("Adj 1", "Adj 2"),
        ("Phase1", "Phase2"),
        ("Upper", "Lower"),
        ("Ret check", "Band check"),
        ("RET", "RET CHK"),
        ("Ada Long", "ADJ LONG"),
        ("Smith came by", "RET CHK"),
    ],
)
def test_what_means_something_else_is_no_variant(one: str, other: str) -> None:
    assert variant_of(phrase(one), [phrase(other)]) is None


@given(st.lists(st.sampled_from([*FIRST, *LAST]), min_size=1, max_size=3).map(" ".join))
def test_no_name_is_shown_because_a_type_is_near(name: str) -> None:
    texts = [*TYPES * 6, name]
    found = askable(column(texts, per_day=10), lambda label: False, headed=True, variant=variant_of)
    assert set(found.asked.values()) == set(TYPES) and found.hidden == (len(texts) + 1,)


def test_a_variant_beside_a_name_stays_hidden() -> None:
    """A column that mixes types and people shows only what comes again and again."""
    texts = [*(f"{kind} - {who}" for kind in TYPES for who in FIRST), "Ret ck - Quill"]
    found = askable(column(texts, per_day=10), lambda label: False, variant=variant_of)
    assert set(found.asked.values()) == set(TYPES) and len(found.hidden) == 1


def _book(folder: Path) -> Path:
    rows = [["Date", "Time", "Mins", "Chair", "Type"]]
    days = [f"2026-03-{day:02d}" for day in (2, 3, 4, 5, 9, 10, 11, 12, 16, 17)]
    rows += [[day, f"{hour}:00", "15", "OP 1", kind] for day in days for hour, kind in ((9, "RET CHK"), (10, "SCAN"))]
    rows += [[days[0], "11:00", "15", "OP 1", "Ret ck"], [days[4], "11:00", "15", "OP 1", "poking wire, mom called"]]
    (folder / "visits.csv").write_text(csv_text(rows), "utf-8")
    return folder / "visits.csv"


def test_a_rare_variant_is_asked_as_the_same_and_the_rest_is_told_with_how_many(ask: Ask, tmp_path: Path) -> None:
    book, sheet, ours = _book(tmp_path), tmp_path / "q.csv", tmp_path / "ours"
    first = ask("import", book, ours, "--ask", sheet)
    assert "visits.csv: 23 (the type of this row came too seldom" in first.out and "poking" not in first.out
    rows = list(csv.reader(sheet.read_text("utf-8-sig").splitlines()))
    asked = {row[0]: row for row in rows}['["types", "ret ck"]']
    assert asked[1] == "Which procedure is “Ret ck” (1 visit on 1 day)?" and asked[4] == "RET CHK"
    assert asked[3].startswith("RET CHK = the same as “RET CHK”; new = a procedure of its own, named “Ret ck”; ")
    assert "poking" not in sheet.read_text("utf-8")


@pytest.mark.parametrize(
    ("meant", "counted"), [("new", ["ret-chk"]), ("Retainer check", ["retainer-check"]), ("-", [])]
)
def test_what_is_the_same_as_another_goes_where_that_goes(tmp_path: Path, meant: str, counted: list[str]) -> None:
    answers: dict[About, str] = {("types", "ret chk"): meant, ("types", "ret ck"): "RET CHK", ("types", "scan"): "-"}
    brought = import_lists([_book(tmp_path)], tmp_path / "ours", answers=answers)
    assert [record.id for record in brought.found.records if record.stem == "procedures"] == counted
    told = [sayer("en")(each) for each in brought.found.told]
    assert not counted or any("1 OF 12 VISITS IS NOT COUNTED" in each for each in told), told
    again = import_lists([_book(tmp_path)], tmp_path / "ours")
    assert [record.id for record in again.found.records if record.stem == "procedures"] == counted
    if counted:
        kept = read_folder(tmp_path / "ours").files["procedures"].data
        assert list(kept) == counted and kept[counted[0]]["minutes"] == "15 min"
