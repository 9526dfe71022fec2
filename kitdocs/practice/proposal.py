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


class DesignMade(Record):
    """A whole design: `kitdocs plan --set` puts it in the place of the folder's own."""

    kept: tuple[Id, ...] = ()
    """Sets and pouches that stay as the folder has them."""
    sets: Table[InstrumentSet] = Field(default_factory=dict, validate_default=True)
    pouches: Table[Pouch] = Field(default_factory=dict, validate_default=True)
    procedures: Table[Takes]
    drawers: Table[Drawer] = Field(default_factory=dict, validate_default=True)
    """By chair; without those that are empty."""


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
