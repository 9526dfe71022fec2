"""List of cassettes or trays: a name, the size outside and inside, how many there are."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kitdocs.importing import columns
from kitdocs.importing.found import BroughtRecord, Found, KindOfList, Known, UnusedCells
from kitdocs.importing.grids import Grid
from kitdocs.importing.naming import id_free, ids_by_name
from kitdocs.practice import quantities
from kitdocs.practice.message import message
from kitdocs.practice.values import as_id

_SIDES = ("length", "width", "height")
#: How much smaller a cassette is inside than outside, in mm, where only that was measured. Common practice, no source.
_WALL = {"length": 10.0, "width": 8.0, "height": 5.0}


def score(grid: Grid, known: Known) -> float:
    """Return how surely a sheet is a list of cassettes."""
    found = columns.head("cassettes", grid, known)
    if found is None or not set(_SIDES[:2]) <= found.columns.keys():
        return 0.0
    return columns.score("cassettes", grid, known, ("name",), (*_SIDES, "rails", "on_hand"))


def take(grids: Sequence[Grid], known: Known) -> Found:
    """Return the cassettes. One without a size that can be read is left out."""
    listed = columns.NamedLines("cassettes", grids, known, ("name", *_SIDES))
    records: dict[str, BroughtRecord] = {}
    ids = ids_by_name(known.of("cassettes"))
    for name, line in listed.beside(records):
        if (fields := _fields(line, listed.unused)) is None:
            listed.unused.append(line.unused("name", message("import.unused.no-size")))
            continue
        id_ = ids.get(name) or id_free(as_id(name) or "cassette", {record.id for record in records.values()})
        records[name] = BroughtRecord(
            stem="cassettes",
            id=id_,
            fields={"name": line.text("name"), **fields},
            sources=(line.place(),),
            usual=() if "inside_length" in line.cells else ("inside",),
        )
    return Found(records=tuple(records.values()), doubts=tuple(listed.doubts), unused=tuple(listed.unused))


def _fields(line: columns.Line, unused: list[UnusedCells]) -> dict[str, Any] | None:
    outside = {side: _size(line, side, unused) for side in _SIDES}
    inside = {side: _size(line, f"inside_{side}", unused) for side in _SIDES}
    if not all(outside.values()):
        return None
    for side, size in inside.items():
        if not size:
            inside[side] = f"{max(quantities.length(outside[side]) - _WALL[side], 1):g} mm"
    fields: dict[str, Any] = {"inside": inside, "outside": outside}
    for field in ("rails", "positions", "on_hand"):
        if cell := line.cells.get(field):
            try:
                if count := columns.count_of(cell):
                    fields[field] = count
            except ValueError:
                unused.append(line.unused(field, message("import.unused.no-count")))
    if cell := line.cells.get("price"):
        try:
            value = cell.value if isinstance(cell.value, int | float) else cell.text
            fields["price"] = float(quantities.money(value))
        except ValueError:
            unused.append(line.unused("price", message("import.unused.no-price")))
    return fields


def _size(line: columns.Line, field: str, unused: list[UnusedCells]) -> str:
    cell = line.cells.get(field)
    if cell is None:
        return ""
    number = columns.bare_number(cell)
    unit = columns.unit_named(line.head.units.get(field, ""))
    try:
        written = columns.length_written(cell.text if number is None else f"{number:g} {unit}")
        if 5 <= quantities.length(written) <= 600:
            return written
    except ValueError:
        pass
    unused.append(line.unused(field, message("import.unused.no-length")))
    return ""


KIND = KindOfList(name="cassettes", score=score, take=take)
