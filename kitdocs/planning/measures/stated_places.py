"""Places that the practice states, against what is to stand there: long, deep and wide enough.

Packs stand upright in one row on a shelf; in a drawer in as many rows as its depth has room for. Sheets and pouches lie
flat, a spare lies along one side of its drawer. Common practice, no source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from math import fsum

from kitdocs.planning.measures.standing import pack_size
from kitdocs.planning.measures.storage import ShelfLength, row_lengths
from kitdocs.practice.message import Fixed, Joined, message
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules.looking import warning
from kitdocs.practice.store_places import TABLES, StorePlace, find_place, stated_places, store_places


def stated_place_problems(practice: Practice, packs: Mapping[str, int]) -> tuple[Problem, ...]:
    """Warnings: a stated place is too short, shallow or small for what is to be there."""
    return (*_too_short(practice, packs), *_too_small(practice))


def _too_short(practice: Practice, packs: Mapping[str, int]) -> Iterator[Problem]:
    """Check each shelf and drawer against the packs that are all to stand in it."""
    places = store_places(practice.room)
    rows = {row.id: row for row in row_lengths(practice, packs)}
    kept: dict[StorePlace, list[ShelfLength]] = defaultdict(list)
    for stated in stated_places(practice, practice.room):
        found = find_place(places, stated.written)
        if found and stated.kind == "pack" and stated.id in rows:
            kept[found[0]].append(rows[stated.id])
    for place, here in kept.items():
        needed, there = fsum(row.length_mm for row in here), _length_of(practice, place, here)
        if needed > there + 1e-6:
            each = tuple(message("figures.storage.row", thing=r.id, length=Fixed(r.length_mm, 0)) for r in here)
            yield warning(
                practice,
                "figures.warning.place-too-short",
                ("room", TABLES[place.kind], place.id),
                at_key=True,
                code=place.code,
                each=Joined(each, " + "),
                needed=Fixed(needed, 0),
                there=Fixed(there, 0),
                more=Fixed(needed - there, 0),
            )


def _length_of(practice: Practice, place: StorePlace, here: list[ShelfLength]) -> float:
    """Return how long all rows in a place are together, in mm."""
    if place.kind == "shelf":
        return practice.room.shelves[place.id].length
    drawer = practice.room.drawers[place.id]
    deepest = max(pack_size(practice, row.id)[0] for row in here)
    return drawer.width * (drawer.depth // deepest)


def _too_small(practice: Practice) -> Iterator[Problem]:
    """Check how deep each thing is, and how large what lies flat, against its place."""
    places, room = store_places(practice.room), practice.room
    for stated in stated_places(practice, room):
        found = find_place(places, stated.written)
        if found is None or found[0].kind == "hook":
            continue
        place = found[0]
        size: tuple[float, ...]
        there: tuple[float, ...]
        if place.kind == "shelf":
            size, there = (pack_size(practice, stated.id)[0],), (room.shelves[place.id].depth,)
        else:
            drawer = room.drawers[place.id]
            size, there = _lying(practice, stated.kind, stated.supply, stated.id), (drawer.width, drawer.depth)
        if not _fits(size, there):
            yield warning(
                practice,
                "figures.warning.place-too-small",
                stated.path,
                thing=stated.id,
                code=place.code,
                size=_by(size),
                there=_by(there),
            )


def _lying(practice: Practice, kind: str, supply: str, id_: str) -> tuple[float, ...]:
    """Return what must fit into a drawer, in mm: a length along one of its sides, or both sides of what lies flat."""
    room = practice.room
    if kind == "pack":
        return (pack_size(practice, id_)[0],)
    if kind == "spare":
        return (practice.instruments[id_].length,)
    if supply == "sheet":
        return (room.sheets[id_].side,) * 2
    return (room.pouch_sizes[id_].width, room.pouch_sizes[id_].length) if supply == "pouch" else ()


def _fits(size: tuple[float, ...], there: tuple[float, ...]) -> bool:
    """Whether it fits, turned as it fits best."""
    return all(one <= room + 0.05 for one, room in zip(sorted(size)[::-1], sorted(there)[::-1], strict=False))


def _by(sides: tuple[float, ...]) -> Joined:
    return Joined(tuple(Fixed(side, 0) for side in sides), " × ")
