"""proposal.yaml: the proposals that a folder's design was chosen from, as `kitdocs propose --to` writes it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, StrictInt

from kitdocs.practice.model import Drawer, InstrumentSet, Pouch, Shares
from kitdocs.practice.record import Count, Record
from kitdocs.practice.values import Id, Minutes, Money, Number, PlainText, Table

Weighing = Literal["balanced", "fewer-walks", "cheapest", "fewest-walks", "fewest-kinds", "least-work", "thrifty"]


class DesignRecord(Record):
    """What a design comes to by the plan: what is to buy, the rest for a busy day."""

    to_buy: Money
    walks: Number
    """To the store, during visits."""
    from_drawers: Number
    """Pouches taken from the drawers at the chairs."""
    kinds: Count
    """Of set and pouch."""
    loads: Number
    hands: Minutes
    """Work by hand in the room."""
    ends: Minutes
    """When everything is back in the store on most days (the median), counted from midnight."""


class Takes(Record):
    """What a procedure takes in a design."""

    set: Id
    add_ons: Shares = Field(default_factory=dict, validate_default=True)


Place = Literal["set", "add-on", "drawer"]
Hindrance = Literal[
    "cassette",
    "pouch",
    "stages",
    "apart",
    "together",
    "implant",
    "always",
    "mostly-wanted",
    "made-for",
    "mirror",
    "pouches",
    "doubled",
    "cotton-plier",
    "marks",
    "room",
]
"""What rules a place out."""


class Elsewhere(Record):
    """What the plan says of another place for something: the difference to where it lies, or why it cannot be."""

    place: Place
    of: tuple[Id, ...]
    """The set that it would lie in; for an add-on or a drawer, the procedures that would take it from there."""
    never: Hindrance | None = None
    over: tuple[Id, ...] = ()
    """The procedures that would take more than `most` add-ons."""
    most: Count = 0
    to_buy: Number = 0.0
    walks: Number = 0.0
    from_drawers: Number = 0.0
    hands: Number = 0.0
    """Minutes of work by hand a busy day."""
    handled: Number = 0.0
    """Instruments opened, cleaned and packed again a busy day."""
    kinds: Number = 0.0


class WhyThere(Record):
    """Why a set or pouch holds what it holds."""

    pack: tuple[Elsewhere, ...] = ()
    """Where a pouch could lie as a whole."""
    instruments: Table[tuple[Elsewhere, ...]] = Field(default_factory=dict, validate_default=True)
    """Where each instrument in it could lie; without what lies in a set and is wanted at every visit."""


class DesignMade(Record):
    """A whole design: `kitdocs plan --set` puts it in the place of the folder's own."""

    kept: tuple[Id, ...] = ()
    """Sets and pouches that stay as the folder has them."""
    sets: Table[InstrumentSet] = Field(default_factory=dict, validate_default=True)
    pouches: Table[Pouch] = Field(default_factory=dict, validate_default=True)
    procedures: Table[Takes]
    drawers: Table[Drawer] = Field(default_factory=dict, validate_default=True)
    """By chair; without those that are empty."""
    why: Table[WhyThere] = Field(default_factory=dict, validate_default=True)
    """By set and pouch, of the proposal that was chosen."""


class TakenBefore(Record):
    """What a procedure took before the design was chosen. The names may be those of sets that are gone."""

    set: PlainText
    pouches: tuple[PlainText, ...] = ()
    """Add-ons and what is opened at the chair."""
    laid_out: tuple[Id, ...] = ()
    """Instruments at every visit: the set's, and those of add-ons that every visit takes."""
    walks: Number = 0.0
    """A busy day."""


class ProposalRecord(Record):
    """proposal.yaml. Deleting the file takes the section out of the planning report, and nothing else."""

    chosen: Weighing
    days: Annotated[StrictInt, Field(ge=1)]
    """Busy days on which the designs were judged."""
    seed: StrictInt
    bought_in: Literal["money", "pieces"] = "money"
    """What `to_buy` is counted in: pieces where the folder did not say what everything costs."""
    designs: Annotated[Mapping[Weighing, DesignRecord], AfterValidator(MappingProxyType), Field(min_length=1)]
    today: DesignRecord | None = None
    """The design that the folder had before; left out where it had none."""
    made_of: Annotated[Mapping[Weighing, DesignMade], AfterValidator(MappingProxyType)] = Field(
        default_factory=dict, validate_default=True
    )
    """The designs themselves."""
    before: Table[TakenBefore] = Field(default_factory=dict, validate_default=True)
    """By procedure, what it took before."""
