"""Shelves, drawers and hooks of room.yaml: where finished packs, spares and supplies are kept."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from kitdocs.practice.record import Record
from kitdocs.practice.values import Millimetres, PlainText

ShelfCode = Annotated[str, Field(pattern=r"^[A-Z]{1,2}$", examples=["B"])]
PlaceCode = Annotated[str, Field(pattern=r"^[A-Z]{1,2}[0-9]{0,2}$", examples=["D1"])]


class Drawer(Record):
    """A drawer of the reprocessing room."""

    name: PlainText
    code: PlaceCode | None = None
    """What its label says. Left out: D1 for the first drawer, D2 for the second."""
    holds: Literal["sheets", "pouches", "supplies", "spares", "packs"]
    """`packs` are finished ones; they never lie among anything else."""
    width: Millimetres
    depth: Millimetres


class Hook(Record):
    """A hook of the reprocessing room, for one thing that is not a finished pack."""

    name: PlainText
    code: PlaceCode | None = None
    """What its label says. Left out: H1 for the first hook, H2 for the second."""


class Shelf(Record):
    """A shelf for finished packs. Clearances are measured to the packs' nearest edge."""

    name: PlainText
    code: ShelfCode | None = None
    """The letters of its places: on shelf B they are B1, B2 and so on, from the left. Left out: A for the first shelf,
    B for the second, without D, H, I and O."""
    length: Millimetres
    depth: Millimetres
    from_floor: Millimetres
    from_ceiling: Millimetres
    from_outside_wall: Millimetres | None = None
