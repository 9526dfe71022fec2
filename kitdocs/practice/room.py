"""room.yaml: how instruments travel, and what the reprocessing room has and uses up."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, ConfigDict, Discriminator, Field, StrictInt, Tag, model_validator

from kitdocs.practice import quantities
from kitdocs.practice.kinds import OPENING_MM, Area, Family
from kitdocs.practice.record import CountOfOneOrMore, Record, TimeSpan
from kitdocs.practice.shelves import Drawer, Hook, Shelf
from kitdocs.practice.values import (
    Celsius,
    Clock,
    Days,
    Id,
    Millimetres,
    MillimetresOrNone,
    Minutes,
    Money,
    PeriodOfTime,
    PlaceName,
    PlainText,
    Share,
    Table,
)


class Steam(Record):
    """The sterilization cycle that the practice states, by the sterilizer's own instructions."""

    type: Literal["gravity", "dynamic-air-removal"]
    temperature: Celsius
    exposure: Minutes
    drying: Minutes
    margin: Minutes = 15.0
    """The least that heating, air removal, exhaust, loading and unloading take together; the cycle must leave it beside
    exposure and drying. Left out: 15 min, our estimate, common practice, no source. Use a watch."""


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


Cycle = Annotated[Minutes, Field(gt=0)]
Capacity = Annotated[
    Mapping[Id, CountOfOneOrMore], AfterValidator(MappingProxyType), Field(examples=[{"small": 6, "long": 12}])
]


class Stage(Record):
    """The fields that every stage of reprocessing has."""

    name: PlainText
    area: Area
    only_listed: bool = False
    """Whether only instruments that name this stage under `also` pass it: an ultrasonic bath, care of handpieces."""


class Machine(Record):
    """A machine that has others beside it which are not like it."""

    cycle: Cycle
    capacity: Capacity


Machines = Annotated[
    Annotated[StrictInt, Field(ge=1, le=20), Tag("count")]
    | Annotated[tuple[Machine, ...], Field(min_length=1, max_length=20), Tag("list")],
    Discriminator(lambda written: "list" if isinstance(written, list | tuple) else "count"),
]


def _listed_or_counted(schema: dict[str, Any]) -> None:
    """Let the schema of a stage ask for its cycle and capacity only where its machines are counted."""
    schema["required"] = [key for key in schema["required"] if key not in ("cycle", "capacity")]
    listed = {"properties": {"machines": {"type": "array"}}, "required": ["machines"]}
    schema |= {"if": listed, "else": {"required": ["cycle", "capacity"]}}


def _minutes_or_most(cycle: Any) -> float:
    try:
        return quantities.duration(cycle)
    except ValueError:
        return math.inf


class MachineStage(Stage):
    """Machines that run loads: started when full or when the oldest item has waited `wait`."""

    kind: Literal["machine"]
    machines: Machines = 1
    """How many; or, where they differ, a list with the cycle and the capacity of each, which then do not stand
    beside it. Of the free machines the first in the list is taken."""
    cycle: Cycle
    capacity: Capacity
    """How many of each cassette or pouch size one load holds; mixes share it in proportion."""
    wait: Minutes = 0.0
    repeats: Share | None = None
    """The share of loads that are run again at once, because an indicator failed or packs came out wet."""
    steam: Steam | None = None
    chamber: Chamber | None = None

    model_config = ConfigDict(json_schema_extra=_listed_or_counted)

    @model_validator(mode="before")
    @classmethod
    def _of_a_list(cls, written: Any) -> Any:
        """Give a stage with a list of machines their shortest cycle, and the least that one of them holds of a size."""
        listed = written.get("machines") if isinstance(written, dict) else None
        if not isinstance(listed, list | tuple) or not all(isinstance(one, dict) for one in listed):
            return written
        if twice := [key for key in ("cycle", "capacity") if key in written]:
            raise ValueError(f"each machine in the list has its own {' and '.join(twice)}, and so has the whole stage")
        cycles = [one["cycle"] for one in listed if "cycle" in one]
        capacity: dict[Any, Any] = {}
        for one in listed:
            holds = one.get("capacity")
            for size, count in holds.items() if isinstance(holds, dict) else ():
                if isinstance(count, int):  # what is wrong is told where it is written
                    capacity[size] = min(count, capacity.get(size, count))
        return {**written, "cycle": min(cycles, key=_minutes_or_most, default="1 min"), "capacity": capacity}

    @property
    def each(self) -> tuple[Machine, ...]:
        """The machines one by one, as written."""
        if isinstance(self.machines, tuple):
            return self.machines
        return (Machine.model_construct(cycle=self.cycle, capacity=self.capacity),) * self.machines

    @property
    def count(self) -> int:
        """How many machines there are."""
        return len(self.machines) if isinstance(self.machines, tuple) else self.machines

    @property
    def alike(self) -> bool:
        """Whether one machine is as the other."""
        return all(one == self.each[0] for one in self.each)

    @property
    def most(self) -> Mapping[str, int]:
        """The most that any of the machines holds of each size."""
        sizes = dict.fromkeys(size for one in self.each for size in one.capacity)
        return {size: max(one.capacity.get(size, 0) for one in self.each) for size in sizes}


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


def machines(stages: Mapping[str, AnyStage], area: Area | None = None) -> dict[str, MachineStage]:
    """Return the machine stages, of one area or of all, by id."""
    found = {id_: stage for id_, stage in stages.items() if isinstance(stage, MachineStage)}
    return {id_: stage for id_, stage in found.items() if area in (None, stage.area)}


class Person(Record):
    """Someone who works in the room, by role or label ("Technician A"): never a person's own name."""

    name: PlainText
    hours: TimeSpan
    lunch: TimeSpan | None = None
    stages: tuple[Id, ...] = ()
    """The hand stages that they serve; work is taken from the first of them that has some. Left out: all of the room's,
    in its order."""


class Supply(Record):
    """Something used up: how many in a box, what the box costs, how long an order takes."""

    pack: CountOfOneOrMore
    price: Money | None = None
    lead_time: Days = 7.0
    place: PlaceName | None = None
    """Where it is kept: a drawer or hook of room.yaml by its code or id, as `D1`. Left out: the first drawer for such
    things."""


class Sheet(Supply):
    """A square sheet of sterilization wrap."""

    name: PlainText
    side: Millimetres


class PouchSize(Supply):
    """A size of sterilization pouch, measured inside the seals."""

    name: PlainText
    width: Millimetres
    length: Millimetres


class SporeTest(Supply):
    """A biological indicator."""

    read_after: Minutes | None = None
    """From the end of the cycle to the result: how long a load with implant-related packs is held back."""


class Tape(Supply):
    """Indicator tape; `pack` counts rolls."""

    roll: Millimetres
    strip: Millimetres


class Wrap(Record):
    sheets: Annotated[StrictInt, Field(ge=1, le=2)] = 1
    """How many sheets wrap a cassette: 1, or 2 that are folded one after the other."""
    fold: Literal["envelope", "parcel"] = "envelope"
    overlap: MillimetresOrNone = 70.0
    """How far the sheet reaches past bare cover. No published number exists: the practice's to set."""
    strips: Annotated[StrictInt, Field(ge=1, le=6)] = 3


class Supplies(Record):
    internal_indicator: Supply | None = None
    external_indicator: Supply | None = None
    spore_test: SporeTest | None = None
    air_removal_test: Supply | None = None
    """Test packs for sterilizers that remove the air with a pump: one a day for each machine."""
    tape: Tape | None = None
    outside_indicator: Literal["tape", "label"] | None = None
    """The external indicator of a wrapped cassette: the indicator `tape` itself, or a `label` of its own
    (external_indicator). Left out: the tape where there is one. A sterilization pouch has its own printed on it."""

    @property
    def labels_outside(self) -> bool:
        """Whether a wrapped cassette gets an external indicator of its own."""
        if self.outside_indicator is None:
            return self.tape is None and self.external_indicator is not None
        return self.outside_indicator == "label"


class KeepMoist(Record):
    """How soil is kept from drying on used instruments until they are cleaned."""

    how: Literal["spray", "soak", "cover"]
    using: PlainText
    """What they are sprayed with, soaked in or covered with."""
    after: Minutes | None = None
    """When cleaning does not begin within this time. Left out: always."""


class Lubrication(Record):
    """How joints are oiled after cleaning, before packing."""

    using: PlainText
    families: tuple[Family, ...] = tuple(OPENING_MM)
    """The families that get it; `lubricate` of an instrument overrules this. Left out: everything with a hinge."""


class Water(Record):
    """The water that the sterilizers turn into steam."""

    kind: Literal["distilled", "deionized", "reverse-osmosis", "tap"]
    change: PeriodOfTime | None = None
    """How often the tank is emptied and filled afresh."""
    test: PeriodOfTime | None = None
    """How often its quality is measured."""
    limit: PlainText | None = None
    """What it may measure at most, by the sterilizer's own instructions."""


class MaintenanceTask(Record):
    """Something done to a machine again and again, with a line for it on the maintenance log."""

    name: PlainText
    every: PeriodOfTime
    stage: Id | None = None
    """The machine stage that it is done to."""


class Candidate(Record):
    """Something that could be bought or hired, of a stage or of a person."""

    name: PlainText
    stage: Id | None = None
    """One more machine of this stage or, at a stage by hand, one more pair of hands."""
    machine: Machine | None = None
    """Left out: as the first of its stage."""
    person: Id | None = None
    longer: Minutes = 60.0
    """How much longer the person stays. Left out: an hour."""
    price: Money | None = None
    each_day: Money | None = None
    """What it costs every working day, beside a `price` that is paid once; a year of them is counted."""

    @model_validator(mode="after")
    def _of_one_thing(self) -> Candidate:
        if (self.stage is None) == (self.person is None):
            raise ValueError("a candidate is of a stage or of a person: write one of the two")
        return self


class Room(Record):
    """room.yaml: how instruments travel, and what the reprocessing room has."""

    setup: Minutes
    """How long before the visit a set leaves the store."""
    carry: Minutes
    """From the chair to receiving."""
    restock: Annotated[tuple[Clock, ...], Field(min_length=1, examples=[["07:30", "12:15"]])]
    """When the drawers at the chairs are filled again."""
    rounds: Annotated[tuple[Clock, ...], Field(examples=[["07:00", "12:00"]])] = ()
    """When the ticks on the refill pages begin anew. Left out: at each restocking."""
    stages: Annotated[Mapping[Id, AnyStage], AfterValidator(MappingProxyType), Field(min_length=1)]
    """In the order in which an item passes them."""
    people: Table[Person] = Field(default_factory=dict, validate_default=True)
    """Who works here. Left out: each hand stage has people of its own, who are there as long as there is work."""
    opens: Clock | None = None
    """When work in the room begins. Left out: with the first of the people, or when the practice opens."""
    closes: Clock | None = None
    """When the last one goes home, and what is still out waits until the morning. Left out: with the last of the
    people, or when everything is back in the store."""
    wrap: Wrap = Wrap()
    sheets: Table[Sheet]
    pouch_sizes: Table[PouchSize]
    supplies: Supplies = Supplies()
    keep_moist: KeepMoist | None = None
    lubrication: Lubrication | None = None
    water: Water | None = None
    maintenance: Table[MaintenanceTask] = Field(default_factory=dict, validate_default=True)
    drawers: Table[Drawer] = Field(default_factory=dict, validate_default=True)
    hooks: Table[Hook] = Field(default_factory=dict, validate_default=True)
    shelves: Table[Shelf] = Field(default_factory=dict, validate_default=True)

    candidates: Table[Candidate] = Field(default_factory=dict, validate_default=True)
    """What could be bought or hired. Nothing is planned with it: `kitdocs propose --ends 17:30` tries it."""

    @property
    def sterilizers(self) -> Mapping[str, MachineStage]:
        """The machine stages of the area sterilization, by id."""
        return machines(self.stages, "sterilization")

    @property
    def washers(self) -> Mapping[str, MachineStage]:
        """The machine stages of the area receiving, by id."""
        return machines(self.stages, "receiving")

    @property
    def vacuum_sterilizers(self) -> Mapping[str, MachineStage]:
        """The sterilizers that remove the air with a pump: each gets an air-removal test every working day.

        SOURCES: CDC 2008, monitoring.
        """
        return {
            id_: stage
            for id_, stage in self.sterilizers.items()
            if stage.steam and stage.steam.type == "dynamic-air-removal"
        }
