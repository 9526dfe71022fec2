"""Edits of a workbook come back into the folder's files: just these, with comments and order kept.

What the files hold afterwards is read by PyYAML's own loader, and by the csv module.
"""

from __future__ import annotations

import copy
import csv
import datetime
import io
import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from returning import Returning

from kitdocs.document.catalog import built_in_catalog
from kitdocs.importing.grids import grid_of
from kitdocs.practice.message import Message
from kitdocs.starter import start
from kitdocs.workbook.comparing import compare
from kitdocs.workbook.merging import Merged, merge
from kitdocs.workbook.texts import read_texts

EXAMPLE = Path("example_practice")
TEXTS = read_texts(EXAMPLE)
WRITTEN = Returning(TEXTS)


def brought(
    returning: Returning, now: dict[str, str] | None = None
) -> tuple[dict[str, str], list[tuple[str, str]], Merged]:
    """The files that change, what cannot be taken as (cell, key of the message), and all of it."""
    found = compare(returning.book)
    merged = merge(found.edits, returning.texts, now or returning.texts)
    problems = [(each.where, each.message) for each in (*found.problems, *merged.problems)]
    return merged.texts, [(where, said.key.rpartition(".")[2]) for where, said in problems], merged


def loaded(text: str) -> Any:
    return yaml.load(text, yaml.BaseLoader)


def as_text(value: Any) -> Any:
    """Plain data as the BaseLoader gives it: every value a text."""
    if isinstance(value, dict):
        return {key: as_text(part) for key, part in value.items()}
    if isinstance(value, list):
        return [as_text(part) for part in value]
    return str(value)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("eol", ["\n", "\r\n"])
def test_without_an_edit_nothing_changes(language: str, eol: str, tmp_path: Path) -> None:
    start(tmp_path / "ours")
    for texts in (TEXTS, read_texts(tmp_path / "ours")):
        returning = Returning({stem: text.replace("\n", eol) for stem, text in texts.items()}, language)
        assert brought(returning) == ({}, [], Merged())
        for sheet in ("instruments", "schedule", "practice.ask", "room.stages"):
            returning.reverse(sheet)  # a spreadsheet sorts
        assert brought(returning)[:2] == ({}, [])


WORDS = st.text(st.characters(exclude_categories=["Cs", "Cc", "Cf", "Zl", "Zp"]), min_size=1, max_size=60)
ODD = st.sampled_from(
    [
        "Emergency: pain",
        "Mirror #5",
        "- dash",
        "yes",
        "No",
        "null",
        "~",
        "1-2",
        "08:00",
        "a, b",
        "=1+1",
        "'quoted'",
        '"',
        "@x",
        "{a}",
        "12%",
    ]
)
NAME = (WORDS | ODD).filter(
    lambda text: text.strip() and not re.search("[\x7f-\xa0\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff]", text)
)
#: What may be written into a column of some sheets, and how it must stand in the file.
COLUMNS: dict[str, tuple[tuple[str, st.SearchStrategy[Any]], ...]] = {
    "chairs": (
        ("name.en", NAME),
        ("mark", st.sampled_from(["circle", "heart"])),
        ("drawer", st.just("ties: 3, bends: auto")),
    ),
    "instruments": (
        ("name.es", NAME),
        ("length", st.sampled_from(['6.5"', "6 1/2 in", "140 mm"])),
        ("price", st.decimals(0, 99, places=2).map(float)),
    ),
    "sets": (("code", NAME), ("contents", st.permutations(["mirror", "probe", "scaler"]).map(", ".join))),
    "procedures": (
        ("minutes", st.sampled_from(["1:15 h", "20 min"])),
        ("needs", st.just("all of the set: always, howe: 2, mirror: never")),
    ),
    "room.stages": (("cycle", st.just("41 min")), ("capacity", st.just("slim: 4, medium: 9"))),
    "room.sheets": (("pack", st.integers(1, 500)), ("name.en", NAME)),
}


@given(st.data())
def test_the_files_hold_what_was_edited_and_every_other_line_stays(data: st.DataObject) -> None:
    sheet = data.draw(st.sampled_from(list(COLUMNS)))
    stem, *inside = sheet.split(".")
    returning = WRITTEN.copy()
    before = loaded(TEXTS[stem])
    wanted = copy.deepcopy(before)
    records = wanted[inside[0]] if inside else wanted
    touched = set()
    for _ in range(data.draw(st.integers(1, 4))):
        id_ = data.draw(st.sampled_from(list(records)))
        key, values = data.draw(st.sampled_from(COLUMNS[sheet]))
        value = data.draw(st.just(None) | values) if key not in ("name.en", "name.es") else data.draw(values)
        returning.set(sheet, id_, key, value)
        *path, last = key.split(".")
        holder = records[id_]
        for part in path:
            holder = holder[part]
        holder.pop(last, None)
        if value is not None:
            holder[last] = _in_file(key, value)
        touched.add(id_)
    texts, problems, _ = brought(returning)
    assert problems == []
    after = loaded(texts.get(stem, TEXTS[stem]))
    assert _without_decimals(after) == _without_decimals(wanted)
    assert list(texts) in ([], [stem])
    _others_stay(TEXTS[stem], texts.get(stem, TEXTS[stem]), touched, nested=bool(inside))


def _in_file(key: str, value: Any) -> Any:
    if key in ("drawer", "needs", "capacity"):
        return dict(part.split(": ") for part in value.split(", "))
    if key == "contents":
        return value.split(", ")
    return " ".join(str(value).split())


def _without_decimals(data: Any) -> Any:
    text = json.dumps(as_text(data), sort_keys=True)
    return re.sub(r'"(\d+)\.(\d*?)0*"', lambda m: f'"{m[1]}.{m[2]}"' if m[2] else f'"{m[1]}"', text)


def _others_stay(before: str, after: str, touched: set[str], *, nested: bool) -> None:
    """Every line of a record that was not touched is still there, and they stand in their order."""
    indent = "  " if nested else ""
    lines, own, at = [], "", 0
    for line in before.splitlines():
        if match := re.match(rf"{indent}([a-z][\w-]*):", line):
            own = match[1]
        if own not in touched or (line.lstrip().startswith("#") and not nested):
            lines.append(line)
    for line in lines:
        if line.strip():
            at = after.index(line, at) + len(line)


@given(st.data())
def test_rows_that_are_put_in_and_taken_out_are_records(data: st.DataObject) -> None:
    returning = WRITTEN.copy()
    before = loaded(TEXTS["instruments"])
    after, gone = data.draw(st.sampled_from(["", *before])), data.draw(st.sampled_from(list(before)))
    name = data.draw(NAME)
    values = {
        "": "new-one",
        "name.en": name,
        "name.es": "Nuevo",
        "drawing": "scaler",
        "length": "1 in",
        "width": "2 mm",
    }
    returning.put_in(
        "instruments", after, {**values, "price": 9.5, "repair.days_away": "3 days", "skips": "wash, pack"}
    )
    returning.take_out("instruments", gone)
    texts, problems, _ = brought(returning)
    assert problems == []
    found = loaded(texts["instruments"])
    assert found.pop("new-one") == {
        "name": {"en": " ".join(name.split()), "es": "Nuevo"},
        "drawing": "scaler",
        "length": "1 in",
        "width": "2 mm",
        "price": "9.5",
        "repair": {"days_away": "3 days"},
        "skips": ["wash", "pack"],
    }
    assert found == {key: value for key, value in before.items() if key != gone}
    if after and after != gone:
        order = list(loaded(texts["instruments"]))
        assert order[order.index(after) + 1] == "new-one"


def test_tables_settings_and_lists_come_back_too() -> None:
    returning = WRITTEN.copy()
    returning.set("practice", "day.opens", "value", "8:30 AM")
    returning.set("practice", "labels.offset.down", "value", "1 mm")
    returning.set("practice", "budget", "value", 5000)
    returning.set("room", "restock", "value", "08:00, 13:00")
    returning.set("practice.ask", 2, "who.es", "Coordinación")
    returning.take_out("practice.ask", 1)
    returning.put_in("practice.ask", 3, {"who.en": "Lead", "where.en": "here"})
    returning.set("stock", "scaler", "on_hand", 23)
    returning.put_in("stock", "mirror", {"": "new-plier", "on_hand": 2})
    returning.take_out("stock", "probe")
    for start_ in ("08:30", "09:15"):
        returning.put_in(
            "schedule",
            None,
            {"day": "Monday", "start": start_, "chair": "chair-1", "procedure": "check", "minutes": 15},
        )
    texts, problems, _ = brought(returning)
    assert problems == []
    practice = loaded(texts["practice"])
    assert (practice["day"]["opens"], practice["budget"]) == ("8:30 AM", "5000")
    assert practice["labels"]["offset"] == {"right": "0.5 mm", "down": "1 mm"}
    assert [each["who"].get("es") for each in practice["ask"]] == [
        "Coordinación",
        "Responsable de control de infecciones",
        None,
    ]
    assert "restock: [08:00, 13:00]   # when the drawers are refilled" in texts["room"]
    stock = list(csv.DictReader(io.StringIO(texts["stock"])))
    assert [(row["instrument"], row["on_hand"]) for row in stock[:4]] == [
        *(("mirror", "44"), ("new-plier", "2"), ("explorer", "38"), ("scaler", "23"))
    ]
    assert "probe" not in {row["instrument"] for row in stock}
    schedule = list(csv.DictReader(io.StringIO(texts["schedule"])))
    assert {(row["start"], row["minutes"]) for row in schedule} == {("08:30", "15"), ("09:15", "15")}


def test_a_colour_and_a_name_change_their_form() -> None:
    returning = WRITTEN.copy()
    returning.set("chairs", "chair-5", "colour", "brown")
    for key in ("colour.hex", "colour.name.en", "colour.name.es"):
        returning.set("chairs", "chair-5", key, None)
    texts, problems, _ = brought(returning)
    assert problems == []
    assert loaded(texts["chairs"])["chair-5"]["colour"] == "brown"
    returning = WRITTEN.copy()
    where = returning.set("chairs", "chair-1", "colour.hex", "#123456")
    assert brought(returning)[1] == [(where, "two-forms")]


DAY = datetime.date(2026, 1, 2)


@pytest.mark.parametrize(
    ("written", "found"),
    [
        ("1-2", DAY),
        ("1-2", datetime.datetime(2026, 1, 2)),
        ("2-1", DAY),
        ("01-02", DAY),
        ("007", 7.0),
        ("1e5", 100000.0),
    ],
)
def test_a_code_that_became_a_date_or_a_number_is_still_the_same(written: str, found: Any) -> None:
    texts = {**TEXTS, "sets": TEXTS["sets"].replace("code: CO", f"code: {json.dumps(written)}")}
    returning = Returning(texts)
    returning.set("sets", "core", "code", found)
    assert brought(returning) == ({}, [], Merged())


def test_ids_that_became_dates_are_found_among_those_that_there_are() -> None:
    texts = {**TEXTS, "sets": re.sub(r"(?m)^core:", "1-2:", TEXTS["sets"])}
    texts["procedures"] = texts["procedures"].replace("set: core", "set: 1-2")
    returning = Returning(texts)
    n, _ = returning.place("sets", "1-2", "code")
    returning.set_at("sets", n, 0, DAY)
    returning.set("procedures", "check", "set", DAY)
    texts_, problems, _ = brought(returning)
    assert problems == []
    assert loaded(texts_["procedures"])["check"]["set"] == "1-2"
    returning = WRITTEN.copy()
    where = returning.set("procedures", "check", "set", DAY)
    assert brought(returning)[1] == [(where, "date")]


@pytest.mark.parametrize(
    ("sheet", "row", "key", "value", "meant"),
    [
        ("practice", "day.opens", "value", 0.3541666666666667, "08:30"),
        ("practice", "day.opens", "value", datetime.time(8, 30), "08:30"),
        ("practice", "day.opens", "value", datetime.datetime(1899, 12, 31, 8, 30), "08:30"),
        ("practice", "day.opens", "value", datetime.timedelta(hours=8, minutes=30), "08:30"),
        ("practice", "day.opens", "value", 1 / 3, None),  # 08:00, as it was
        ("practice", "service", "value", 0.9, "90%"),
        ("practice", "service", "value", 0.95, None),
        ("practice", "service", "value", 0.125, "12.5%"),
        ("practice", "day.per_week", "value", 5.0, "5"),
        ("practice", "name", "value", 2026.0, "2026"),
        ("instruments", "mirror", "lubricate", True, "true"),
    ],
)
def test_times_shares_and_numbers_are_taken_for_what_they_were(
    sheet: str, row: str, key: str, value: Any, meant: str | None
) -> None:
    returning = WRITTEN.copy()
    returning.set(sheet, row, key, value)
    texts, problems, _ = brought(returning)
    assert problems == []
    if meant is None:
        assert texts == {}
        return
    found = loaded(texts[sheet])
    for part in (row if sheet == "practice" else f"{row}.{key}").split("."):
        found = found[part]
    assert found == meant


def test_what_cannot_be_taken_is_told_by_its_cell() -> None:
    returning = WRITTEN.copy()
    wrong = [
        (returning.set("procedures", "check", "minutes", datetime.time(1, 15)), "time"),
        (returning.set("sets", "core", "code", 12345678901234567890.0), "rounded"),
        (returning.set("sets", "core", "contents", "mirror, [probe"), "several"),
        (returning.set("sets", "exam", "cassette", DAY), "date"),
    ]
    returning.put_in("sets", "banding", {"": "exam", "code": "XX"})
    returning.put_in("sets", "banding", {"code": "XX"})
    _, problems, _ = brought(returning)
    assert sorted(problems) == sorted([*wrong, ("Sets!A10", "without-id"), ("Sets!A11", "twice")])


def test_a_place_is_moved_taken_out_and_put_in_as_it_is_typed() -> None:
    returning = WRITTEN.copy()
    returning.set("sets", "core", "place", "upper 2")
    returning.set("pouches", "bends", "place", None)
    returning.set("instruments", "howe", "place", "d3")
    returning.set("room.sheets", "sheet-18", "place", "D1")
    texts, problems, _ = brought(returning)
    assert problems == []
    assert loaded(texts["sets"])["core"]["place"] == "upper 2"
    assert "# nearest to the door" in texts["sets"], "the comment beside it stays"
    assert "place" not in loaded(texts["pouches"])["bends"] and loaded(texts["pouches"])["ties"]["place"] == "B6"
    assert loaded(texts["instruments"])["howe"]["place"] == "d3"
    assert loaded(texts["room"])["sheets"]["sheet-18"]["place"] == "D1"


def test_what_the_folder_changed_meanwhile_stays_and_both_at_once_is_a_conflict() -> None:
    returning = WRITTEN.copy()
    where = returning.set("sets", "core", "code", "C2")
    returning.set("procedures", "chain", "needs", "mirror: always, explorer: 50%, mathieu: always, hook-crimper: 10%")
    now = {
        **TEXTS,
        "sets": TEXTS["sets"].replace("name: {en: Core set,", "name: {en: Base set,"),
        "procedures": TEXTS["procedures"].replace(
            "ligature-director: always\n    ligature-cutter: 60%",
            "ligature-director: always\n    ligature-cutter: 60%\n    howe: 5%",
            1,
        ),
    }
    texts, problems, _ = brought(returning, now)
    assert problems == []
    assert (loaded(texts["sets"])["core"]["name"]["en"], loaded(texts["sets"])["core"]["code"]) == ("Base set", "C2")
    needs = loaded(texts["procedures"])["chain"]["needs"]
    assert needs == {"mirror": "always", "explorer": "50%", "mathieu": "always", "howe": "5%", "hook-crimper": "10%"}

    same = {**TEXTS, "sets": TEXTS["sets"].replace("code: CO", "code: C2")}
    assert "sets" not in brought(returning, same)[0]
    other = {**TEXTS, "sets": TEXTS["sets"].replace("code: CO", "code: C3")}
    assert brought(returning, other)[1] == [(where, "changed-meanwhile")]
    gone = {**TEXTS, "sets": re.sub(r"(?s)core:\n.*?\n\n", "", TEXTS["sets"])}
    assert brought(returning, gone)[1] == [(where, "gone-meanwhile")]


def test_what_is_missing_or_not_ours_is_told_and_changes_nothing() -> None:
    """A sheet or column that was deleted takes nothing out of the folder; what was written elsewhere is named."""
    returning = WRITTEN.copy()
    del returning.grids["pouches"]
    rows = [[cell.value for cell in row] for row in returning.grids["sets"].rows]
    column = [cell.text for cell in returning.grids["sets"].rows[1]].index("code")
    without = [[*row[:column], *row[column + 1 :], "mine" if n > 4 else None] for n, row in enumerate(rows)]
    returning.grids["sets"] = grid_of("practice.xlsx", "Sets", without)
    returning.grids["notes"] = grid_of("practice.xlsx", "Notes", [["ask about the howe plier"]])
    assert brought(returning) == ({}, [], Merged())
    told = {str(said) for said in returning.book.told}
    assert told == {
        "the sheet of pouches is missing; nothing of it changes",
        "Sets: the column code is missing; its values stay",
        f"Sets: what stands in the column of {'ABCDEFGHIJKL'[len(rows[0]) - 1]}6 is below no key and is not used",
        "the sheet Notes is not one of ours, or is there twice; it is not read",
    }


def test_sentences_of_problems_can_be_said_in_both_languages() -> None:
    returning = WRITTEN.copy()
    returning.set("sets", "core", "contents", "mirror, [probe")
    (problem,) = compare(returning.book).problems
    assert isinstance(problem.message, Message)
    assert "cannot be read" in built_in_catalog("en").say(problem.message)
    assert "no se entiende" in built_in_catalog("es").say(problem.message)
