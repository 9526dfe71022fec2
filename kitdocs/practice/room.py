"""room.yaml: how instruments travel, and what the reprocessing room has and uses up."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, StrictInt

from kitdocs.practice.kinds import Area
from kitdocs.practice.record import CountOfOneOrMore, Record
from kitdocs.practice.values import (
    Celsius,
    Clock,
    Days,
    Id,
    Millimetres,
    MillimetresOrNone,
    Minutes,
    Money,
    PlainText,
    Table,
)


class Steam(Record):
    """The sterilization cycle that the practice states, by the sterilizer's own instructions."""

    type: Literal["gravity", "dynamic-air-removal"]
    temperature: Celsius
    exposure: Minutes
    drying: Minutes


class RoundChamber(Record):
    shape: Literal["round"]
    diameter: Millimetres
    depth: Millimetres
    gap: MillimetresOrNone = 5.0


class SquareChamber(Record):
    shape: Literal["square"]
    width: Millimetres
    height: Millimetres
    depth: Millimetres
    gap: MillimetresOrNone = 5.0


Chamber = Annotated[RoundChamber | SquareChamber, Field(discriminator="shape")]


class Stage(Record):
    """What every stage of reprocessing has."""

    name: PlainText
    area: Area


class MachineStage(Stage):
    """Machines that run loads: started when full or when the oldest item has waited `wait`."""

    kind: Literal["machine"]
    machines: Annotated[StrictInt, Field(ge=1, le=20)] = 1
    cycle: Annotated[Minutes, Field(gt=0)]
    capacity: Annotated[
        Mapping[Id, CountOfOneOrMore], AfterValidator(MappingProxyType), Field(examples=[{"small": 6, "long": 12}])
    ]
    """How many of each cassette or pouch size one load holds; mixes share it in proportion."""
    wait: Minutes = 0.0
    steam: Steam | None = None
    chamber: Chamber | None = None


class HandStage(Stage):
    """People who take one item after the other."""

    kind: Literal["hand"]
    people: Annotated[StrictInt, Field(ge=1, le=20)] = 1
    per_cassette: Minutes
    per_pouch: Minutes


class RestStage(Stage):
    """Time that passes by itself: cooling, drying."""

    kind: Literal["rest"]
    takes: Minutes


AnyStage = Annotated[MachineStage | HandStage | RestStage, Field(discriminator="kind")]


class Supply(Record):
    """Something used up: how many in a box, what the box costs, how long an order takes."""

    pack: CountOfOneOrMore
    price: Money | None = None
    lead_time: Days = 7.0


class Sheet(Supply):
    """A square sheet of sterilization wrap."""

    name: PlainText
    side: Millimetres


class PouchSize(Supply):
    """A size of sterilization pouch, measured inside the seals."""

    name: PlainText
    width: Millimetres
    length: Millimetres


class Tape(Supply):
    """Indicator tape; `pack` counts rolls."""

    roll: Millimetres
    strip: Millimetres


class Wrap(Record):
    fold: Literal["envelope", "parcel"] = "envelope"
    overlap: MillimetresOrNone = 70.0
    """How far the sheet reaches past bare cover. No published number exists: the practice's to set."""
    strips: Annotated[StrictInt, Field(ge=1, le=6)] = 3


class Supplies(Record):
    internal_indicator: Supply | None = None
    external_indicator: Supply | None = None
    spore_test: Supply | None = None
    tape: Tape | None = None


class Drawer(Record):
    """A drawer of the reprocessing room."""

    name: PlainText
    holds: Literal["sheets", "pouches", "supplies", "spares"]
    width: Millimetres
    depth: Millimetres


class Shelf(Record):
    """A shelf for finished packs. Clearances are measured to the packs' nearest edge."""

    name: PlainText
    length: Millimetres
    depth: Millimetres
    from_floor: Millimetres
    from_ceiling: Millimetres
    from_outside_wall: Millimetres | None = None


class Room(Record):
    """room.yaml: how instruments travel, and what the reprocessing room has."""

    setup: Minutes
    """How long before the visit a set leaves the store."""
    carry: Minutes
    """From the chair to receiving."""
    restock: Annotated[tuple[Clock, ...], Field(min_length=1, examples=[["07:30", "12:15"]])]
    """When the drawers at the chairs are filled again."""
    stages: Annotated[Mapping[Id, AnyStage], AfterValidator(MappingProxyType), Field(min_length=1)]
    """In the order in which an item passes them."""
    wrap: Wrap = Wrap()
    sheets: Table[Sheet]
    pouch_sizes: Table[PouchSize]
    supplies: Supplies = Supplies()
    drawers: Table[Drawer] = Field(default_factory=dict, validate_default=True)
    shelves: Table[Shelf] = Field(default_factory=dict, validate_default=True)
