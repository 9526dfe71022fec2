"""Every key and value of the valid practice is where the reader says it is."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from bad_inputs import VALID, assembled

from kitdocs.practice.locations import SourceLocation
from kitdocs.practice.reading.reader import read_practice

PLACES = read_practice(VALID).places
YAML_FILES = sorted(path.name for path in VALID.glob("*.yaml"))


@pytest.mark.parametrize("name", YAML_FILES)
def test_every_yaml_value_stands_at_its_place(name: str) -> None:
    # BaseLoader keeps each scalar as the text that was written; it knows nothing of our places.
    data = yaml.load((VALID / name).read_text(encoding="utf-8"), yaml.BaseLoader)
    lines = (VALID / name).read_text(encoding="utf-8").splitlines()
    last = (0, 0)
    count = 0
    for path, text, is_key in _scalars((name.removesuffix(".yaml"),), data):
        place = (PLACES.keys if is_key else PLACES.values)[path]
        assert place.file == name
        assert place.text == lines[place.line - 1]
        assert place.text[place.column - 1 :].lstrip("\"'").startswith(text + (":" if is_key else ""))
        # In the order of the document no two share a place, so equal texts cannot stand in for each other.
        assert (place.line, place.column) > last
        last = (place.line, place.column)
        count += 1
    assert count > 8


def test_every_cell_stands_at_its_place() -> None:
    lines = (VALID / "stock.csv").read_text(encoding="utf-8").splitlines()
    for number, row in enumerate(csv.DictReader(lines), 2):
        for name, text in row.items():
            if text:
                place = PLACES.values["stock", row["instrument"], name]
                assert (place.file, place.line) == ("stock.csv", number)
                assert lines[number - 1][place.column - 1 :].split(",")[0] == text


def test_places_that_were_counted_by_hand() -> None:
    assert PLACES.value("sets", "core", "contents", 1) == SourceLocation(file="sets.yaml", line=6, column=22)
    assert PLACES.key("procedures", "bracket", "needs", "remover") == SourceLocation(
        file="procedures.yaml", line=17, column=43
    )
    assert PLACES.value("stock", "weingart", "in_repair") == SourceLocation(file="stock.csv", line=3, column=13)


def test_quoted_cells_and_spaces_do_not_move_a_place(tmp_path: Path) -> None:
    folder = assembled(VALID.name, tmp_path)
    (folder / "stock.csv").write_text('instrument,on_hand,in_repair\n"mirror", 12 ,"0"\n', encoding="utf-8")
    read = read_practice(folder)
    assert (read.stock["mirror"].on_hand, read.stock["mirror"].in_repair) == (12, 0)
    columns = [read.places.value("stock", "mirror", c).column for c in ("instrument", "on_hand", "in_repair")]
    assert columns == [1, 11, 15]


def test_a_repeat_is_at_its_own_place_and_what_lies_in_it_where_it_was_written(tmp_path: Path) -> None:
    folder = assembled(VALID.name, tmp_path)
    text = (VALID / "procedures.yaml").read_text(encoding="utf-8")
    text = text.replace("    mirror: always", "    mirror: &often always", 1).replace(
        "mirror: always", "mirror: *often"
    )
    (folder / "procedures.yaml").write_text(text, encoding="utf-8")
    places = read_practice(folder).places
    assert str(places.value("procedures", "wire-change", "needs", "mirror")) == "procedures.yaml:7:13"
    assert str(places.value("procedures", "bracket", "needs", "mirror")) == "procedures.yaml:17:19"


def _scalars(path: tuple[str | int, ...], data: Any) -> Iterator[tuple[tuple[str | int, ...], str, bool]]:
    if isinstance(data, dict):
        for key, value in data.items():
            yield (*path, key), key, True
            yield from _scalars((*path, key), value)
    elif isinstance(data, list):
        for index, value in enumerate(data):
            yield from _scalars((*path, index), value)
    else:
        yield path, data, False
