"""Where so many cassettes of one kind can stand in a chamber: one of the ways that the bound of `chamber` allows.

On edge with the large sides turned to each other, where that has room; then in as few rows as can be, then as low as
can be; spread evenly. How they *should* stand, the sterilizer's instructions say.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import permutations

from kitdocs.planning.measures.chamber import ChamberBound, placed
from kitdocs.practice.record import Box
from kitdocs.practice.room import Chamber


@dataclass(frozen=True, slots=True, kw_only=True)
class ChamberPlace:
    """A cassette seen from above, mm: `across` from the middle of the chamber, `along` from the door, to its edges."""

    across: float
    along: float
    width: float
    length: float
    upright: float


def chamber_places(outside: Box, chamber: Chamber, count: int) -> tuple[ChamberPlace, ...]:
    """Return places for `count` cassettes of these outside measures; none where the chamber cannot hold so many."""
    ways = [placed(chamber, *way) for way in permutations(outside.sides)]
    possible = [way for way in ways if way.most >= count]
    if not possible:
        return ()
    way = min(possible, key=lambda each: (_lies(each), _rows(each, count), each.upright_mm))
    rows = _rows(way, count)
    each, more = divmod(count, rows)
    return tuple(
        ChamberPlace(
            across=across - way.row_width_mm / 2,
            along=along,
            width=way.across_mm,
            length=way.along_mm,
            upright=way.upright_mm,
        )
        for row, along in enumerate(_spread(rows, way.along_mm, chamber.depth, chamber.gap))
        for across in _spread(each + (row < more), way.across_mm, way.row_width_mm, chamber.gap)
    )


def _lies(way: ChamberBound) -> int:
    """Return 0 for a cassette on edge beside the next one, 1 for one on edge before the next, 2 for one that lies."""
    thickness = min(way.across_mm, way.along_mm, way.upright_mm)
    return (way.across_mm, way.along_mm, way.upright_mm).index(thickness)


def _rows(way: ChamberBound, count: int) -> int:
    return math.ceil(count / way.in_a_row)


def _spread(count: int, size: float, room: float, gap: float) -> list[float]:
    """Return where so many things begin in a room: evenly apart, and as far from its ends where that keeps the gap."""
    free = room - count * size
    apart = free / (count + 1)
    if count > 1:
        apart = max(apart, min(gap, free / (count - 1)))
    first = (free - (count - 1) * apart) / 2
    return [first + n * (size + apart) for n in range(count)]
