"""Where packs stand in the store: what is taken most within easy reach, each kind together where it can be.

Shelves between hip and eye come first, the others by how far they are from that. Common practice, no source. Where the
practice states a place, it is kept. The other kinds are placed by how often they are taken, from left to right: on the
first shelf that is deep enough and has room for all of the kind; where none has, in parts. They take the positions that
are left.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import count

from kitdocs.planning.measures.storage import POUCH_MM, WRAP_MM, ShelfLength, shelf_lengths
from kitdocs.practice.model import Practice
from kitdocs.practice.shelves import Shelf
from kitdocs.practice.store_places import packs_kept_at

#: From hip to eye, mm above the floor. Common practice, no source.
REACH_MM = (750.0, 1500.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Packs of one kind beside each other. `shelf` is empty where no shelf has room for them."""

    shelf: str
    pack: str
    packs: int
    start_mm: float
    """From the left end of the shelf."""
    end_mm: float
    position: int = 0
    """Which of the kinds on its shelf it is, from the left and from 1; 0 without a shelf."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """Packs of one kind that stand together, before it is known what stands beside them. `position` 0: any."""

    shelf: str
    kind: ShelfLength
    packs: int
    position: int


def standings(practice: Practice, packs: Mapping[str, int], taken: Mapping[str, float]) -> tuple[Standing, ...]:
    """Return where packs stand, shelf by shelf as they are reached, from how many of each there are and are taken.

    Those kept in drawers are left out.
    """
    shelves = practice.room.shelves
    reached = sorted(shelves, key=lambda s: (_out_of_reach(shelves[s]), list(shelves).index(s)))
    filled = dict.fromkeys(reached, 0.0)
    often = sorted(shelf_lengths(practice, packs), key=lambda one: (-taken.get(one.id, 0.0), one.id))
    placed = list(_stated(practice, often, filled))
    kept = Counter({part.kind.id: part.packs for part in placed})
    placed += [part for kind in often for part in _placed(practice, kind, kind.packs - kept[kind.id], filled)]
    placed.sort(key=lambda part: often.index(part.kind))
    return tuple(one for shelf in (*reached, "") for one in _side_by_side([p for p in placed if p.shelf == shelf]))


def _side_by_side(parts: Sequence[_Part]) -> Iterator[Standing]:
    """Yield the parts on one shelf from the left; those without a position take the lowest that are free."""
    if not parts or not parts[0].shelf:
        yield from (_standing(part, 0, 0.0) for part in parts)
        return
    free = (n for n in count(1) if n not in {part.position for part in parts})
    start = 0.0
    for position, part in sorted(((part.position or next(free), part) for part in parts), key=lambda each: each[0]):
        standing = _standing(part, position, start)
        yield standing
        start = standing.end_mm


def _standing(part: _Part, position: int, start: float) -> Standing:
    end = start + part.packs * part.kind.thickness_mm
    return Standing(
        shelf=part.shelf, pack=part.kind.id, packs=part.packs, start_mm=start, end_mm=end, position=position
    )


def _out_of_reach(shelf: Shelf) -> float:
    low, high = REACH_MM
    return max(0.0, low - shelf.from_floor, shelf.from_floor - high)


def _stated(practice: Practice, kinds: Sequence[ShelfLength], filled: dict[str, float]) -> Iterator[_Part]:
    """Place what has a shelf of its own, as much of it as that has room for."""
    kept_at = packs_kept_at(practice)
    for kind in kinds:
        if kind.id in kept_at:
            place, position = kept_at[kind.id]
            if number := min(kind.packs, _room(practice, place.id, kind, filled)):
                yield _taking(kind, place.id, number, position, filled)


def _placed(practice: Practice, kind: ShelfLength, left: int, filled: dict[str, float]) -> Iterator[_Part]:
    """Place what is left of a kind, and take its room from the shelves."""
    deep, _ = pack_size(practice, kind.id)
    enough = [shelf for shelf in filled if practice.room.shelves[shelf].depth >= deep]
    room = {shelf: _room(practice, shelf, kind, filled) for shelf in enough}
    whole = next((shelf for shelf in enough if room[shelf] >= left), None)
    for shelf in [whole] if whole is not None else enough:
        if number := min(left, room[shelf]):
            yield _taking(kind, shelf, number, 0, filled)
            left -= number
    if left:
        yield _Part(shelf="", kind=kind, packs=left, position=0)


def _room(practice: Practice, shelf: str, kind: ShelfLength, filled: Mapping[str, float]) -> int:
    """Return how many more packs of a kind a shelf has room for."""
    return int((practice.room.shelves[shelf].length - filled[shelf] + 1e-6) // kind.thickness_mm)


def _taking(kind: ShelfLength, shelf: str, packs: int, position: int, filled: dict[str, float]) -> _Part:
    filled[shelf] += packs * kind.thickness_mm
    return _Part(shelf=shelf, kind=kind, packs=packs, position=position)


def pack_size(practice: Practice, id_: str) -> tuple[float, float]:
    """Return how deep and how tall a finished pack stands, in mm, on its longer edge; with wrap or the pouch's seal."""
    if id_ in practice.sets:
        _, deep, tall = sorted(practice.cassettes[practice.sets[id_].cassette].outside.sides)
        return deep, tall + WRAP_MM
    size = practice.room.pouch_sizes[practice.pouches[id_].size]
    deep, tall = sorted((size.width, size.length))
    return deep, tall + POUCH_MM


def to_build(practice: Practice, packs: Mapping[str, int]) -> tuple[float, float, float]:
    """Return the shelf that all packs need, in mm: how long, how deep, and how much height above it."""
    lengths = shelf_lengths(practice, packs)
    sizes = [pack_size(practice, length.id) for length in lengths]
    return (
        sum(length.length_mm for length in lengths),
        max((deep for deep, _ in sizes), default=0.0),
        max((tall for _, tall in sizes), default=0.0),
    )
