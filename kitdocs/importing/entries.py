"""All that the lines of inventories say of one instrument, and the lines told apart by length."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import pairwise

from kitdocs.importing.columns import Line
from kitdocs.importing.names import NameMatch
from kitdocs.practice import quantities
from kitdocs.practice.message import Message, message

#: Lengths of one instrument as people measure it may differ so much, in mm. Ours.
SAME_LENGTH = 4.0


@dataclass(slots=True)
class InventoryEntry:
    """All that the lines say of one instrument."""

    match: NameMatch
    lines: list[Line] = field(default_factory=list)
    lengths: list[tuple[str, Line]] = field(default_factory=list)
    widths: list[tuple[str, Line]] = field(default_factory=list)
    prices: list[tuple[Decimal, Line]] = field(default_factory=list)
    on_hand: int | None = None
    in_repair: int | None = None


def by_length(entry: InventoryEntry) -> list[tuple[str, list[Line]]]:
    """The lines with lengths as people measure one instrument, shortest first; one without a length is of the first.

    Each group is named by the length that is written first in it.
    """
    written_of = {id(line): written for written, line in entry.lengths}
    measured = sorted({quantities.length(written) for written in written_of.values()})
    starts = [b for a, b in pairwise(measured) if b - a > SAME_LENGTH]
    groups: dict[int, list[Line]] = defaultdict(list)
    for line in entry.lines:
        written = written_of.get(id(line))
        groups[sum(quantities.length(written) >= start for start in starts) if written else 0].append(line)
    return [
        (next((written_of[id(line)] for line in lines if id(line) in written_of), ""), lines)
        for _, lines in sorted(groups.items())
    ]


def fitting(
    groups: Sequence[tuple[str, list[Line]]], ids: Sequence[str], lengths: Mapping[str, float]
) -> dict[int, str]:
    """The record of the folder that each group of lines is about, nearest lengths first; a single record takes any."""
    pairs = sorted(
        (abs(quantities.length(mark) - lengths[id_]) if mark and id_ in lengths else 0.0, n, id_)
        for n, (mark, _) in enumerate(groups)
        for id_ in ids
    )
    named: dict[int, str] = {}
    for apart, n, id_ in pairs:
        if n not in named and id_ not in named.values() and (apart <= SAME_LENGTH or len(ids) == 1):
            named[n] = id_
    return named


def notes_of(entry: InventoryEntry) -> tuple[Message | str, ...]:
    """The maker's references and places of an instrument, which have no field of their own, for a comment."""
    notes: list[Message | str] = []
    for field_ in ("reference", "place"):
        texts = dict.fromkeys(text for line in entry.lines if (text := line.text(field_)))
        if texts:
            notes.append(message(f"import.note.{field_}", text=", ".join(texts)))
    return tuple(notes)
