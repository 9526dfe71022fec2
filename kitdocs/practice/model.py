"""The records of a practice, as its folder describes them: frozen, typed, nothing computed.

Lengths are millimetres, durations minutes, times of day minutes after midnight, shares 0 to 1,
money the practice's currency, temperatures degrees Celsius.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Annotated, Literal, TypeAlias

from pydantic import AfterValidator, Field, StrictInt

from kitdocs.practice.book import Overrun, When, Window
from kitdocs.practice.colours import ColourValue
from kitdocs.practice.kinds import (
    FAMILY_OF,
    OPENING_MM,
    ChairMark,
    DrawingKind,
    Material,
    SetMark,
)
from kitdocs.practice.locations import SourceLocations
from kitdocs.practice.needs import IdOrCount, Needs
from kitdocs.practice.own_drawing import OwnDrawing
from kitdocs.practice.printed import PrintRecord
from kitdocs.practice.problems import Problem
from kitdocs.practice.record import Box, Count, Record
from kitdocs.practice.room import AnyStage, Room, Supply
from kitdocs.practice.settings import Settings
from kitdocs.practice.values import (
    Clock,
    Days,
    Id,
    Millimetres,
    MillimetresOrNone,
    Minutes,
    Money,
    Number,
    PlaceName,
    PlainText,
    Share,
    ShareOrNone,
)

if TYPE_CHECKING:
    from kitdocs.practice.proposal import ProposalRecord

Code = Annotated[str, Field(pattern=r"^[A-Z0-9]{1,6}$", examples=["CORE"])]
PerDay = Annotated[Number, Field(ge=0, le=1000)]

Piece: TypeAlias = 'tuple[Literal["instrument", "cassette"], str]'
"""What is bought and used again: an instrument or a cassette, by id."""


# chairs.yaml -----------------------------------------------------------------------------------

Drawer = Annotated[Mapping[Id, Literal["auto"] | Count], AfterValidator(MappingProxyType)]


class Chair(Record):
    name: PlainText
    colour: ColourValue
    mark: ChairMark
    drawer: Drawer = Field(default_factory=dict, validate_default=True)
    """Drawer pouches by id: how many should be there, or `auto` for the computed number."""


# instruments.yaml ------------------------------------------------------------------------------


class Repair(Record):
    """How often an instrument goes away to be sharpened or mended."""

    uses_between: Annotated[Number, Field(gt=0)]
    days_away: Days


class Instrument(Record):
    name: PlainText
    drawing: DrawingKind
    """Which drawing shows it. Where none fits, one that begins with `other-`; the practice's own drawing of the working
    end, drawings/ID.svg, stands in its place."""
    length: Millimetres
    width: Millimetres
    """Across the widest part, closed."""
    open_width: Millimetres | None = None
    """Across the widest part, open and unlocked, as a hinged instrument lies in its cassette or pouch. Left out:
    `width` and the `opening` of its family in practice.yaml."""
    material: Material = "steel"
    price: Money | None = None
    repair: Repair | None = None
    skips: tuple[Id, ...] = ()
    """Stages of room.yaml that it does not pass, as a handpiece that must not go into the washer. All instruments of a
    set or pouch skip the same stages."""
    also: tuple[Id, ...] = ()
    """Stages with `only_listed` that it passes; the whole set or pouch goes with it."""
    lubricate: bool | None = None
    """Whether it is oiled after cleaning. Left out: as `lubrication` in room.yaml says for its family."""
    implant_related: bool = False
    """Whether it is, or is used to place, something that stays in the body, as a temporary anchorage screw. Every load
    with such a pack carries a spore test and is held back until the test is read."""
    place: PlaceName | None = None
    """Where its spares lie: a drawer or hook of room.yaml by its code or id, as `D3`. Left out: the first drawer for
    spares."""
    single_use: Supply | None = None
    """For what is used once and thrown away: how it is bought. It belongs in no set or pouch and passes no stage."""


def passes(instruments: Mapping[str, Instrument], contents: Iterable[str], stage_id: str, stage: AnyStage) -> bool:
    """Whether a set or pouch passes a stage: a listed one if anything in it names it, else unless all skip it.

    Ids in `contents` without an instrument count for nothing.
    """
    known = [instruments[id_] for id_ in contents if id_ in instruments]
    if stage.only_listed:
        return any(stage_id in instrument.also for instrument in known)
    return not (known and all(stage_id in instrument.skips for instrument in known))


# cassettes.yaml --------------------------------------------------------------------------------


class Cassette(Record):
    """A cassette. Instruments lie along its length on `rails`; between two of them stays `gap`."""

    name: PlainText
    inside: Box
    outside: Box
    rails: Annotated[StrictInt, Field(ge=1, le=6)] = 1
    """Layers of rails, one above the other; each is as wide as the inside."""
    gap: MillimetresOrNone = 3.0
    positions: Annotated[StrictInt, Field(ge=1, le=60)] | None = None
    """How many fixed places the rails have, when they have fixed places."""
    material: Material = "steel"
    price: Money | None = None
    on_hand: Count = 0


# sets.yaml, pouches.yaml -----------------------------------------------------------------------


class InstrumentSet(Record):
    """A procedure set: the same instruments, always in the same places. `contents` in the order they lie."""

    name: PlainText
    code: Code
    cassette: Id
    mark: SetMark
    colour: ColourValue | None = None
    """The colour of the tape that makes the mark, when it is not black."""
    implant_related: bool = False
    """As for an instrument, for the whole set."""
    place: PlaceName | None = None
    """Where it stands when it is ready: a place on a shelf by its code, counted from the left, as `B2`; a shelf (`B`);
    a drawer that holds packs. Left out: worked out from how often it is taken and what fits."""
    contents: Annotated[tuple[IdOrCount, ...], Field(min_length=1, max_length=60, examples=[["mirror", "weingart"]])]
    """Instruments by id, each with how many there are where it is more than one (`mirror: 2`)."""


class Pouch(Record):
    """A pouch: an add-on is laid on top of a set; a drawer pouch lives at the chair."""

    name: PlainText
    code: Code
    kind: Literal["add-on", "drawer"]
    size: Id
    implant_related: bool = False
    """As for an instrument, for the whole pouch."""
    place: PlaceName | None = None
    """Where it stands when it is ready: a place on a shelf by its code, counted from the left, as `B2`; a shelf (`B`);
    a drawer that holds packs. Left out: worked out from how often it is taken and what fits."""
    contents: Annotated[tuple[IdOrCount, ...], Field(min_length=1, max_length=30, examples=[["holder"]])]
    """Instruments by id, each with how many there are where it is more than one (`cheek-retractor: 2`)."""
    on_hand: Count = 0


# procedures.yaml -------------------------------------------------------------------------------

Shares = Annotated[Mapping[Id, Share], AfterValidator(MappingProxyType)]


class Procedure(Record):
    name: PlainText
    minutes: Annotated[Minutes, Field(gt=0)]
    per_day: PerDay
    """On a busy day; a fraction is drawn."""
    set: Id
    add_ons: Shares = Field(default_factory=dict, validate_default=True)
    """Add-on pouches by id, with the share of these visits that take one."""
    needs: Needs
    """Instruments by id, with the share of these visits that want one, how many of it (`2`), or both (`2 at 12%`).
    `all of the set` stands for everything in the set; what is written of one instrument beside it holds instead, and
    `never` leaves it out. A list is of what every visit needs. `6% with bird-beak` is 6% of these visits, all of them
    among those that want a bird-beak; without `with`, each need comes by itself."""
    chairs: tuple[Id, ...] = ()
    """Where it is done; empty for any chair."""
    when: When | None = None
    """When it is booked to begin: in the `morning` (before the break, or before noon), in the `afternoon`, in a span of
    hours (`8:00-10:00`), or shares of these (`{morning: 80%}`; the rest at any time). Left out: at any time. No effect
    with schedule.csv."""
    no_shows: Annotated[ShareOrNone, Field(lt=1)] | None = None
    """The share of these visits that are not kept; `0%` where all are. Left out: as practice.yaml says."""
    overrun: Overrun | None = None
    """How these visits run over. Left out: as practice.yaml says."""

    @property
    def windows(self) -> Mapping[Window, float]:
        """When it is booked to begin, with the share of its visits; what is left of 1 begins at any time."""
        if self.when is None:
            return {}
        return {self.when: 1.0} if isinstance(self.when, Window) else self.when


# tables, pages, the whole ------------------------------------------------------------------------


class StockLine(Record):
    """stock.csv: how many of an instrument there are today."""

    instrument: Annotated[Id, Field(examples=["mirror", "weingart"])]
    """The id of the instrument in instruments.yaml; each stands in one line."""
    on_hand: Annotated[Count, Field(examples=[66, 21])]
    """How many there are in the practice today, in sets, pouches and drawers too, without those in repair."""
    in_repair: Annotated[Count, Field(examples=[0, 2])] = 0
    """How many are away to be sharpened or mended."""


class Visit(Record):
    """schedule.csv: one visit of a real busy day."""

    day: Annotated[str, Field(min_length=1, max_length=40, examples=["Monday", "Monday"])]
    """Which day it was, in any words; visits with the same words are of one day."""
    start: Annotated[Clock, Field(examples=["08:30", "09:00"])]
    """When the visit began."""
    chair: Annotated[Id, Field(examples=["chair-1", "chair-2"])]
    """The id of the chair in chairs.yaml."""
    procedure: Annotated[Id, Field(examples=["wire-change", "check"])]
    """The id of the procedure in procedures.yaml."""
    minutes: Annotated[Minutes, Field(gt=0, examples=[30, 15])]
    """How long it was booked for; a number without a unit counts minutes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """A page of prose: ``pages/house-rules.md``, and ``pages/house-rules.es.md`` for Spanish."""

    id: str
    text: Mapping[str, str]
    """Markdown by language; the key '' is the file without a language in its name."""

    def in_language(self, language: str, first: str) -> str:
        return self.text.get(language) or self.text.get("") or self.text.get(first) or next(iter(self.text.values()))


@dataclass(frozen=True, kw_only=True)
class Records:
    """The records of a practice folder, by id. `problems` are those found in it.

    `words` is what the practice's own words files make kitdocs say, by language and key.
    """

    chairs: Mapping[str, Chair]
    instruments: Mapping[str, Instrument]
    cassettes: Mapping[str, Cassette]
    sets: Mapping[str, InstrumentSet]
    pouches: Mapping[str, Pouch]
    procedures: Mapping[str, Procedure]
    stock: Mapping[str, StockLine]
    pages: tuple[Page, ...] = ()
    words: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    photos: Mapping[str, Path] = field(default_factory=dict)
    drawings: Mapping[str, OwnDrawing] = field(default_factory=dict)
    places: SourceLocations = field(default_factory=SourceLocations)
    problems: tuple[Problem, ...] = ()

    def chairs_for(self, procedure: str) -> tuple[str, ...]:
        """Return the chairs at which a procedure is done, in the order of chairs.yaml."""
        named = self.procedures[procedure].chairs
        return tuple(c for c in self.chairs if not named or c in named)


@dataclass(frozen=True, kw_only=True)
class Practice(Records):
    """One practice, read and found whole. `problems` holds the warnings, accepted ones too.

    `printed` is what was printed and hung so far.
    """

    folder: Path
    settings: Settings
    room: Room
    schedule: tuple[Visit, ...] = ()
    proposal: ProposalRecord | None = None
    """What the design was chosen from; None where nobody wrote it."""
    printed: PrintRecord = field(default_factory=PrintRecord)

    def no_shows(self, procedure: str) -> float:
        """Return the share of a procedure's booked visits that are not kept."""
        own = self.procedures[procedure].no_shows
        return (self.settings.no_shows if own is None else own) or 0.0

    def overrun(self, procedure: str) -> Overrun | None:
        """Return how a procedure's visits run over; None where they never do."""
        return self.procedures[procedure].overrun or self.settings.overrun

    def contents(self, pack: str) -> tuple[str, ...]:
        """Return the instruments of a set or pouch."""
        return self.sets[pack].contents if pack in self.sets else self.pouches[pack].contents

    def pieces(self, pack: str) -> Counter[Piece]:
        """Return what a set or pouch is made of and is used again, with how many of each: instruments, its cassette."""
        instruments = (id_ for id_ in self.contents(pack) if id_ in self.instruments)
        made_of: list[Piece] = [("instrument", id_) for id_ in instruments if not self.instruments[id_].single_use]
        if pack in self.sets and (cassette := self.sets[pack].cassette) in self.cassettes:
            made_of.append(("cassette", cassette))
        return Counter(made_of)

    def price(self, piece: Piece) -> Decimal | None:
        """Return what a piece costs, in the practice's currency; None where that is not stated."""
        kind, id_ = piece
        return self.instruments[id_].price if kind == "instrument" else self.cassettes[id_].price

    def lying_width(self, instrument: str) -> float:
        """Return how wide an instrument lies in its cassette or pouch, in mm: a hinged one open and unlocked."""
        record = self.instruments[instrument]
        if record.open_width is not None:
            return record.open_width
        family = FAMILY_OF[record.drawing]
        return record.width + self.settings.opening.get(family, OPENING_MM.get(family, 0.0))

    def is_implant_related(self, pack: str) -> bool:
        """Whether every load with this set or pouch carries a spore test and is held back until it is read.

        SOURCES: CDC 2003, part VI.F; and SOURCES: CDC 2008, monitoring.
        """
        flagged = self.sets[pack].implant_related if pack in self.sets else self.pouches[pack].implant_related
        return flagged or any(self.instruments[i].implant_related for i in self.contents(pack) if i in self.instruments)

    def passes(self, pack: str, stage: str) -> bool:
        """Whether a set or pouch passes a stage of the room."""
        return passes(self.instruments, self.contents(pack), stage, self.room.stages[stage])
