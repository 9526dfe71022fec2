"""The places of the store by their codes, and what the practice says stands in them.

Shelf A has A1, A2 and so on, from the left; a drawer is D1, a hook H1. A shelf, drawer or hook may have a code of the
practice's own.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import count, product
from typing import Literal, Protocol, TypeAlias

from kitdocs.practice.locations import Path
from kitdocs.practice.model import Practice, Records
from kitdocs.practice.room import PouchSize, Sheet, Supplies, Supply
from kitdocs.practice.shelves import Drawer, Hook, Shelf

PlaceKind: TypeAlias = Literal["shelf", "drawer", "hook"]

StoredKind: TypeAlias = Literal["pack", "spare", "supply"]
"""A set or pouch that is ready; a spare instrument; something that is used up."""

#: Letters of shelves. D and H are those of drawers and hooks; I and O are taken for figures.
_LETTERS = "ABCEFGJKLMNPQRSTUVWXYZ"
#: Where the records of each kind stand in room.yaml.
TABLES: Mapping[PlaceKind, str] = {"shelf": "shelves", "drawer": "drawers", "hook": "hooks"}


class Furniture(Protocol):
    """What of a room says where things can stand: a `Room`, or as much of it as could be read."""

    @property
    def shelves(self) -> Mapping[str, Shelf]: ...
    @property
    def drawers(self) -> Mapping[str, Drawer]: ...
    @property
    def hooks(self) -> Mapping[str, Hook]: ...
    @property
    def sheets(self) -> Mapping[str, Sheet]: ...
    @property
    def pouch_sizes(self) -> Mapping[str, PouchSize]: ...
    @property
    def supplies(self) -> Supplies | None: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class StorePlace:
    """A shelf, drawer or hook of the room, by its id, with its code."""

    kind: PlaceKind
    id: str
    code: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedPlace:
    """What the practice says about the place of one thing: `written`, at `path` in its folder."""

    kind: StoredKind
    id: str
    """Of the set, pouch or instrument; of a sheet or pouch size; else the kind of supply, as ``tape``."""
    supply: str = ""
    """The kind of supply, as ``sheet``."""
    path: Path
    written: str


def store_places(room: Furniture) -> tuple[StorePlace, ...]:
    """Return shelves, drawers and hooks in the order in which room.yaml has them, in which one walks along them."""
    named: list[tuple[PlaceKind, str, str | None]] = [
        *(("shelf", id_, shelf.code) for id_, shelf in room.shelves.items()),
        *(("drawer", id_, drawer.code) for id_, drawer in room.drawers.items()),
        *(("hook", id_, hook.code) for id_, hook in room.hooks.items()),
    ]
    own = {code for _, _, code in named if code}
    free: dict[PlaceKind, Iterator[str]] = {"shelf": _letters(), "drawer": _numbered("D"), "hook": _numbered("H")}
    return tuple(
        StorePlace(kind=kind, id=id_, code=code or next(c for c in free[kind] if c not in own))
        for kind, id_, code in named
    )


def codes_of_places(places: Iterable[StorePlace], packs: int) -> Iterator[tuple[str, StorePlace]]:
    """Yield every code that names a place where something stands: on a shelf, one for each of so many packs."""
    for place in places:
        if place.kind == "shelf":
            yield from ((f"{place.code}{n}", place) for n in range(1, packs + 1))
        else:
            yield place.code, place


def shelf_letters(room: Furniture) -> Mapping[str, str]:
    """Return the letter of each shelf, by its id."""
    return {place.id: place.code for place in store_places(room) if place.kind == "shelf"}


def _letters() -> Iterator[str]:
    """Yield A, B, C …, and after the last letter AA, AB …"""
    return ("".join(letters) for length in count(1) for letters in product(_LETTERS, repeat=length))


def _numbered(letter: str) -> Iterator[str]:
    return (f"{letter}{n}" for n in count(1))


def find_place(places: Iterable[StorePlace], written: str) -> tuple[StorePlace, int] | None:
    """Return the place that is meant, and the position on its shelf, 0 where none is said; None where there is none.

    A place is written by its code, with the position beside it (``B2``), or by its id, with the position after it
    (``upper 2``); the word ``shelf``, ``drawer`` or ``hook`` before it is heeded.
    """
    parts = re.fullmatch(r"(?:(shelf|drawer|hook) )?(.*?)(?: (\d+))?", written)
    if parts is None:
        return None
    kind, name, after = parts[1], parts[2], int(parts[3] or 0)
    known = [place for place in places if kind in (None, place.kind)]
    for place in known:
        if name.upper() == place.code or name == place.id:
            return None if after and place.kind != "shelf" else (place, after)
    beside = re.fullmatch(r"([A-Z]+)(\d{1,2})", name.upper())
    if beside and not after:
        shelf = next((place for place in known if place.kind == "shelf" and place.code == beside[1]), None)
        return (shelf, int(beside[2])) if shelf and int(beside[2]) else None
    return None


def stated_places(practice: Records, room: Furniture) -> Iterator[StatedPlace]:
    """Yield every place that the practice states for a set, pouch, spare or supply, file by file."""
    for stem, packs in (("sets", practice.sets), ("pouches", practice.pouches)):
        for id_, pack in packs.items():
            if pack.place is not None:
                yield StatedPlace(kind="pack", id=id_, path=(stem, id_, "place"), written=pack.place)
    for id_, instrument in practice.instruments.items():
        if instrument.place is not None:
            path: Path = ("instruments", id_, "place")
            yield StatedPlace(kind="spare", id=id_, path=path, written=instrument.place)
    for kind, id_, path, supply in _supplies(practice, room):
        if supply.place is not None:
            yield StatedPlace(kind="supply", id=id_, supply=kind, path=(*path, "place"), written=supply.place)


def _supplies(practice: Records, room: Furniture) -> Iterator[tuple[str, str, Path, Supply]]:
    """Yield everything that is used up: its kind, id, path and record."""
    for id_, instrument in practice.instruments.items():
        if instrument.single_use:
            yield "single-use", id_, ("instruments", id_, "single_use"), instrument.single_use
    yield from (("sheet", id_, ("room", "sheets", id_), sheet) for id_, sheet in room.sheets.items())
    yield from (("pouch", id_, ("room", "pouch_sizes", id_), size) for id_, size in room.pouch_sizes.items())
    for name, supply in room.supplies or ():
        if isinstance(supply, Supply):
            kind = name.replace("_", "-")
            yield kind, kind, ("room", "supplies", name), supply


def kept_at(practice: Practice) -> Mapping[tuple[StoredKind, str, str], tuple[StorePlace, int]]:
    """Return the places that a practice states, with the position on a shelf (0 where none is said).

    By what stands there: its kind, for a supply the kind of supply, and its id.
    """
    places = store_places(practice.room)
    found: dict[tuple[StoredKind, str, str], tuple[StorePlace, int]] = {}
    for stated in stated_places(practice, practice.room):
        if place := find_place(places, stated.written):
            found[stated.kind, stated.supply, stated.id] = place
    return found


def packs_kept_at(practice: Practice) -> Mapping[str, tuple[StorePlace, int]]:
    """Return the places that a practice states for its sets and pouches, with the position on a shelf."""
    return {id_: place for (kind, _, id_), place in kept_at(practice).items() if kind == "pack"}


def packs_in_drawers(practice: Practice) -> Mapping[str, StorePlace]:
    """Return the sets and pouches that are kept in a drawer and take no shelf."""
    return {id_: place for id_, (place, _) in packs_kept_at(practice).items() if place.kind == "drawer"}
