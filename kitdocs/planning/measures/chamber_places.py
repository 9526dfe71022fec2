"""Where the packs of a load can stand in a chamber: one of the ways that the bound of `chamber` allows.

Packs stand behind one another in lanes, lanes side by side. On edge with the large sides turned to the next lane, where
that has room; then with as few as can be behind one another, then as low as can be; spread evenly. High lanes go to the
middle where a round chamber has no other room for them. How packs *should* stand, the sterilizer's instructions say.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice, product

from kitdocs.planning.measures.chamber import ChamberBound, chamber_bounds
from kitdocs.practice.record import Box
from kitdocs.practice.room import Chamber

#: So many ways to turn the kinds of a load are tried: both ways on edge for each of six kinds.
_WAYS = 64
_NIL = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class ChamberPlace:
    """A pack seen from above, mm: `across` from the middle of the chamber, `along` from the door, to its edges."""

    kind: int
    """Counted from 0, in the order of the load."""
    across: float
    along: float
    width: float
    length: float
    upright: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Turned:
    """A pack as it is turned, with its kind."""

    kind: int
    way: ChamberBound


_Lane = list[_Turned]


def chamber_places(load: Sequence[tuple[Box, int]], chamber: Chamber) -> tuple[ChamberPlace, ...]:
    """Return places for so many of each kind, kind by kind; none where no way is found in which all of them stand.

    Of one kind alone, as many are placed as the chamber can hold.
    """
    for lying in range(3):
        ways = _ways(load, chamber, lying)
        deepest = max((_most_behind(packs, chamber) for packs in ways), default=0)
        for behind in range(1, deepest + 1):
            for packs in ways:
                lanes = _side_by_side(_lanes(packs, behind, chamber), chamber.gap)
                if lanes:
                    places = (place for lane, middle in lanes for place in _places(lane, middle, behind, chamber))
                    return tuple(sorted(places, key=lambda place: place.kind))
    return ()


def _ways(load: Sequence[tuple[Box, int]], chamber: Chamber, lying: int) -> list[list[_Turned]]:
    """Return ways to turn the kinds, each pack for itself, the lowest first; none lies more than so much."""
    counts = {kind: count for kind, (_, count) in enumerate(load) if count}
    turned = (
        sorted(
            (
                _Turned(kind=kind, way=way)
                for way in chamber_bounds(load[kind][0], chamber)
                if way.most >= count and _lies(way) <= lying
            ),
            key=lambda one: (_lies(one.way), one.way.upright_mm),
        )
        for kind, count in counts.items()
    )
    ways = islice(product(*turned), _WAYS if counts else 0)
    return [[one for one in way for _ in range(counts[one.kind])] for way in ways]


def _most_behind(packs: Sequence[_Turned], chamber: Chamber) -> int:
    return min(len(packs), int((chamber.depth + _NIL) / min(pack.way.along_mm for pack in packs)))


def _lies(way: ChamberBound) -> int:
    """Return 0 for a pack on edge beside the next one, 1 for one on edge before the next, 2 for one that lies."""
    thickness = min(way.across_mm, way.along_mm, way.upright_mm)
    return (way.across_mm, way.along_mm, way.upright_mm).index(thickness)


def _lanes(packs: Sequence[_Turned], behind: int, chamber: Chamber) -> list[_Lane]:
    """Return lanes of at most so many packs behind one another: each pack in the first lane that has room for it."""
    lanes: list[_Lane] = []
    for pack in packs:
        room = (
            lane for lane in lanes if len(lane) < behind and _long([*lane, pack], chamber.gap) <= chamber.depth + _NIL
        )
        lane = next(room, None)
        if lane is None:
            lanes.append([pack])
        else:
            lane.append(pack)
    return lanes


def _long(lane: _Lane, gap: float) -> float:
    return math.fsum(pack.way.along_mm for pack in lane) + (len(lane) - 1) * _behind(lane, gap)


def _behind(lane: _Lane, gap: float) -> float:
    """Return the gap that a lane keeps along the depth: one only where large sides are turned to each other."""
    return gap if any(_lies(pack.way) == 1 for pack in lane) else 0.0


def _wide(lane: _Lane) -> float:
    return max(pack.way.across_mm for pack in lane)


def _reach(lane: _Lane) -> float:
    """Return how far from the middle of the chamber a lane may reach."""
    return min(pack.way.row_width_mm for pack in lane) / 2


def _side_by_side(lanes: Sequence[_Lane], gap: float) -> list[tuple[_Lane, float]]:
    """Return the lanes with the middle of each, evenly apart; none where they have no room beside each other."""
    for order in (list(lanes), _high_in_the_middle(lanes)):
        if _begins(order, gap) is None:
            continue
        widest, too_wide = gap, 2 * max(map(_reach, order)) + gap
        for _ in range(24):
            tried = (widest + too_wide) / 2
            widest, too_wide = (widest, tried) if _begins(order, tried) is None else (tried, too_wide)
        # As far from the walls as from each other.
        begins = _begins(order, max(gap, widest * (len(order) - 1) / (len(order) + 1)))
        assert begins is not None
        return [(lane, begin + _wide(lane) / 2) for lane, begin in zip(order, begins, strict=True)]
    return []


def _high_in_the_middle(lanes: Sequence[_Lane]) -> list[_Lane]:
    """Return the lanes with the highest in the middle, the others in turn on the side that is less wide so far."""
    highest, *others = sorted(lanes, key=_reach)
    left: list[_Lane] = []
    right: list[_Lane] = []
    for lane in others:
        min(left, right, key=lambda side: math.fsum(map(_wide, side))).append(lane)
    return [*reversed(left), highest, *right]


def _begins(lanes: Sequence[_Lane], gap: float) -> list[float] | None:
    """Return where lanes so far apart begin, from the middle of the chamber; None where one would reach too far."""
    widths = [_wide(lane) for lane in lanes]
    starts = [width + gap for width in widths]
    begins = [math.fsum(starts[:n]) for n in range(len(lanes))]
    total = math.fsum(widths) + (len(lanes) - 1) * gap
    least = max(-_reach(lane) - begin for lane, begin in zip(lanes, begins, strict=True))
    most = min(_reach(lane) - begin - width for lane, begin, width in zip(lanes, begins, widths, strict=True))
    if least > most + _NIL:
        return None
    shift = min(max(-total / 2, least), most)
    return [begin + shift for begin in begins]


def _places(lane: _Lane, middle: float, behind: int, chamber: Chamber) -> Iterator[ChamberPlace]:
    """Yield where the packs of a lane stand, the first at the back: evenly apart, as if the lane were full."""
    full = [*lane]
    while len(full) < behind and _long([*full, lane[-1]], chamber.gap) <= chamber.depth + _NIL:
        full.append(lane[-1])
    free = chamber.depth - math.fsum(pack.way.along_mm for pack in full)
    apart = free / (len(full) + 1)
    if len(full) > 1:
        apart = max(apart, min(chamber.gap, free / (len(full) - 1)))
    end = chamber.depth - (free - (len(full) - 1) * apart) / 2
    for pack in lane:
        way = pack.way
        end -= way.along_mm
        yield ChamberPlace(
            kind=pack.kind,
            across=middle - way.across_mm / 2,
            along=end,
            width=way.across_mm,
            length=way.along_mm,
            upright=way.upright_mm,
        )
        end -= apart
