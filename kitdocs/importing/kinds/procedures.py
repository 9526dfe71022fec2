"""List of procedures or types of appointment: a name, how long it takes, how many there are on a busy day."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from kitdocs.importing import columns
from kitdocs.importing.found import BroughtRecord, Found, KindOfList, Known, UnusedCells
from kitdocs.importing.grids import Grid
from kitdocs.importing.naming import id_free, ids_by_name
from kitdocs.practice import quantities
from kitdocs.practice.message import message
from kitdocs.practice.values import as_id

#: No visit takes longer, in minutes.
_LONGEST = 600


def score(grid: Grid, known: Known) -> float:
    """Return how surely a sheet is a list of procedures."""
    found = columns.head("procedures", grid, known)
    if found is None or not {"minutes", "per_day"} & found.columns.keys():
        return 0.0
    if "name" in found.columns:  # a list says each once; an appointment book, again and again
        names = [row[found.columns["name"] - 1].text for row in found.lines(grid)]
        if len(set(names)) < 0.7 * len(names):
            return 0.0
    return columns.score("procedures", grid, known, ("name",), ("minutes", "per_day", "needs"))


def take(grids: Sequence[Grid], known: Known) -> Found:
    """Return the procedures, what they need as the list says it; that is understood, or asked, afterwards."""
    listed = columns.NamedLines("procedures", grids, known, ("name", "minutes", "per_day"))
    records: dict[str, BroughtRecord] = {}
    ids = ids_by_name(known.of("procedures"))
    for name, line in listed.beside(records):
        id_ = ids.get(name) or id_free(as_id(name) or "visit", {record.id for record in records.values()})
        there = known.of("procedures").get(id_)
        has_needs = isinstance(there, Mapping) and bool(there.get("needs"))
        fields: dict[str, Any] = {"name": line.text("name"), **_fields(line, listed.unused, has_needs)}
        records[name] = BroughtRecord(stem="procedures", id=id_, fields=fields, sources=(line.place(),))
    return Found(records=tuple(records.values()), doubts=tuple(listed.doubts), unused=tuple(listed.unused))


def _fields(line: columns.Line, unused: list[UnusedCells], has_needs: bool) -> dict[str, Any]:
    fields: dict[str, Any] = {}
    if cell := line.cells.get("minutes"):
        number = columns.bare_number(cell)
        try:
            fields["minutes"] = minutes_written(cell.text if number is None else f"{number:g}")
        except ValueError:
            unused.append(line.unused("minutes", message("import.unused.no-minutes")))
    if cell := line.cells.get("per_day"):
        number = columns.bare_number(cell)
        if number is None or not 0 <= number <= 1000:
            unused.append(line.unused("per_day", message("import.unused.no-count")))
        else:
            fields["per_day"] = int(number) if number == int(number) else number
    told = (field for field in ("code", "set") if line.text(field))
    unused += [line.unused(field, message("import.unused.not-taken")) for field in told]
    if needs := line.text("needs"):
        if has_needs:
            unused.append(line.unused("needs", message("import.unused.needs-there")))
        else:
            fields["needs"] = needs
    return fields


def minutes_written(text: str) -> str:
    """Return how long a visit takes as the folder writes it; a bare number is one of minutes. Raise ValueError."""
    written = f"{text} min" if re.fullmatch(r"\d+(?:[.,]\d+)?", text) else text
    if not 0 < quantities.duration(written) <= _LONGEST:
        raise ValueError(text)
    return written


KIND = KindOfList(name="procedures", score=score, take=take)
