"""The places of the store by their short codes: shelf A with A1, A2 … on it from the left, drawer D1, hook H1."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import count, product
from typing import Literal, TypeAlias

from kitdocs.practice.room import Room

PlaceKind: TypeAlias = Literal["shelf", "drawer"]

#: Letters of shelves. D and H are those of drawers and hooks; I and O are taken for figures.
_LETTERS = "ABCEFGJKLMNPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True, kw_only=True)
class StorePlace:
    """A shelf or a drawer of the room, by its id, with its code."""

    kind: PlaceKind
    id: str
    code: str


def store_places(room: Room) -> tuple[StorePlace, ...]:
    """Return shelves and drawers in the order in which room.yaml has them, the order in which one walks along them."""
    shelves = [StorePlace(kind="shelf", id=id_, code=code) for id_, code in zip(room.shelves, _letters(), strict=False)]
    drawers = [StorePlace(kind="drawer", id=id_, code=f"D{n}") for n, id_ in enumerate(room.drawers, 1)]
    return (*shelves, *drawers)


def shelf_letters(room: Room) -> Mapping[str, str]:
    """Return the letter of each shelf, by its id."""
    return {place.id: place.code for place in store_places(room) if place.kind == "shelf"}


def _letters() -> Iterator[str]:
    """Yield A, B, C …, and after the last letter AA, AB …"""
    return ("".join(letters) for length in count(1) for letters in product(_LETTERS, repeat=length))
