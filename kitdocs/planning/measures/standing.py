"""Where packs stand in the store: what is taken most within easy reach, each kind together where it can be.

Shelves between hip and eye come first, the others by how far they are from that. Common practice, no source. Kinds are
placed by how often they are taken, from left to right: on the first shelf that is deep enough and has room for all of
the kind; where none has, in parts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from kitdocs.planning.measures.storage import POUCH_MM, WRAP_MM, ShelfLength, shelf_lengths
from kitdocs.practice.model import Practice
from kitdocs.practice.room import Shelf

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


def standings(practice: Practice, packs: Mapping[str, int], taken: Mapping[str, float]) -> tuple[Standing, ...]:
    """Return where packs stand, shelf by shelf as they are reached, from how many of each there are and are taken."""
    shelves = practice.room.shelves
    reached = sorted(shelves, key=lambda s: (_out_of_reach(shelves[s]), list(shelves).index(s)))
    filled = dict.fromkeys(reached, 0.0)
    often = sorted(shelf_lengths(practice, packs), key=lambda one: (-taken.get(one.id, 0.0), one.id))
    found = [standing for kind in often for standing in _placed(practice, kind, filled)]
    order = {shelf: n for n, shelf in enumerate((*reached, ""))}
    return tuple(_numbered(sorted(found, key=lambda one: (order[one.shelf], one.start_mm))))


def _numbered(found: Iterable[Standing]) -> Iterator[Standing]:
    counted: Counter[str] = Counter()
    for one in found:
        counted[one.shelf] += 1
        yield replace(one, position=counted[one.shelf] if one.shelf else 0)


def _out_of_reach(shelf: Shelf) -> float:
    low, high = REACH_MM
    return max(0.0, low - shelf.from_floor, shelf.from_floor - high)


def _placed(practice: Practice, kind: ShelfLength, filled: dict[str, float]) -> Iterator[Standing]:
    """Place a kind, and take its room from the shelves."""
    shelves = practice.room.shelves
    deep, _ = pack_size(practice, kind.id)
    enough = [s for s in filled if shelves[s].depth >= deep]
    room = {s: int((shelves[s].length - filled[s] + 1e-6) // kind.thickness_mm) for s in enough}
    whole = next((s for s in enough if room[s] >= kind.packs), None)
    left = kind.packs
    for shelf in [whole] if whole is not None else enough:
        if number := min(left, room[shelf]):
            start = filled[shelf]
            filled[shelf] += number * kind.thickness_mm
            left -= number
            yield Standing(shelf=shelf, pack=kind.id, packs=number, start_mm=start, end_mm=filled[shelf])
    if left:
        yield Standing(shelf="", pack=kind.id, packs=left, start_mm=0.0, end_mm=left * kind.thickness_mm)


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
