"""The records of a practice, as its folder describes them: frozen, typed, nothing computed.

Lengths are millimetres, durations minutes, times of day minutes after midnight, shares 0 to 1,
money the practice's currency, temperatures degrees Celsius.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, Literal

from pydantic import AfterValidator, BeforeValidator, Field, StrictInt, WithJsonSchema

from kitdocs.practice.colours import Colour, colour
from kitdocs.practice.kinds import (
    FAMILY_OF,
    OPENING_MM,
    ChairMark,
    DrawerAccess,
    DrawingKind,
    Family,
    Material,
    SetMark,
)
from kitdocs.practice.locations import SourceLocations
from kitdocs.practice.own_drawing import OwnDrawing
from kitdocs.practice.paper import Labels
from kitdocs.practice.printed import PrintRecord
from kitdocs.practice.problems import Problem
from kitdocs.practice.record import Box, Count, Record, Size, TimeSpan
from kitdocs.practice.room import AnyStage, Room, Supply
from kitdocs.practice.values import (
    LANGUAGE_PATTERN,
    Clock,
    Days,
    Id,
    Millimetres,
    MillimetresOrNone,
    Minutes,
    Money,
    Number,
    PeriodOfTime,
    PlainText,
    Share,
)

Code = Annotated[str, Field(pattern=r"^[A-Z0-9]{1,6}$", examples=["CORE"])]
Language = Annotated[str, Field(pattern=LANGUAGE_PATTERN)]
PerDay = Annotated[Number, Field(ge=0, le=1000)]
ColourValue = Annotated[
    Colour,
    BeforeValidator(colour),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string", "examples": ["teal"]},
                {
                    "type": "object",
                    "properties": {"name": {}, "hex": {"type": "string", "pattern": "^#[0-9A-Fa-f]{6}$"}},
                    "required": ["name", "hex"],
                    "additionalProperties": False,
                },
            ]
        }
    ),
]


# practice.yaml ---------------------------------------------------------------------------------


class WorkingDay(Record):
    opens: Clock
    closes: Annotated[Clock, Field(examples=["17:30"])]
    pause: TimeSpan | None = None
    """The midday break, in which no visit is booked."""
    per_week: Annotated[StrictInt, Field(ge=1, le=7)] = 5
    """Working days a week."""


class Contact(Record):
    """Whom to ask: a role, not a person, and where that role is found."""

    who: PlainText
    where: PlainText


class Photos(Record):
    """Whether a photo in photos/ stands `beside` kitdocs' own drawing or `instead` of it.

    Beside: an instrument's photo on the card of instruments by picture, a set's on its template, a pouch's on the
    procedure map and the pouch guide. Instead: an instrument's photo on every card that would show its tip, a set's in
    place of the drawing on its template (as large, but without numbered places), a pouch's in place of what is in it.
    """

    instruments: Literal["beside", "instead"] = "beside"
    sets: Literal["beside", "instead"] = "beside"
    pouches: Literal["beside", "instead"] = "beside"


class Accepted(Record):
    """A warning that somebody has looked at and accepted, and why."""

    warning: Id
    at: str
    reason: PlainText
    """Why it stays, for the report: once, or once per language, as a name is written."""


class Before(Record):
    """Counts made before the change to sets. Leave out what nobody counted."""

    walks_per_day: Annotated[Number, Field(ge=0)] | None = None
    glove_pairs_per_day: Annotated[Number, Field(ge=0)] | None = None
    loose_instruments_per_day: Annotated[Number, Field(ge=0)] | None = None
    technician_time_per_day: Minutes | None = None


class Settings(Record):
    """practice.yaml: what holds for the whole practice."""

    name: PlainText
    site: Annotated[str, Field(pattern=r"^https?://[^\s#?]+$", max_length=120)] | None = None
    """Where the finished site will be put. Without it, the codes hold the cards' text themselves."""
    languages: Annotated[tuple[Language, ...], Field(min_length=1)] = ("en",)
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = "USD"
    paper: Literal["letter", "a4"] = "letter"
    card: Annotated[Size, Field(examples=[{"width": "6 in", "height": "4 in"}])]
    """The size of a refill card."""
    reading_distance: Millimetres = 500.0
    """How far a posted card is read from; letters are at least this ÷ 200 high."""
    scanning_distance: Millimetres = 250.0
    """How far a phone is held from a code; codes are at least this ÷ 10 wide."""
    labels: Labels | None = None
    """The sheet of labels that the practice prints on. Without it, labels are printed on plain paper to be cut."""
    expiration: Literal["event", "date"] = "event"
    """How long a pack stays good: until an `event` (torn, wet, open), or to a `date` that is written on its label."""
    drawer_access: DrawerAccess = "clean-hands"
    """How something is taken from the drawer at the chair during a visit, so that nothing in it is touched with used
    gloves: with `clean-hands` (gloves off, hands cleaned, a new pair on), an `overglove`, by a `second-person`, or with
    the set's own sterile `cotton-plier` before it is used. Common practice, no source."""
    opening: Annotated[Mapping[Family, MillimetresOrNone], AfterValidator(MappingProxyType)] = Field(
        default_factory=dict, validate_default=True
    )
    """By family, how much wider a hinged instrument lies open and unlocked than closed; `open_width` of an instrument
    overrules it. Left out: 10 mm for pliers, cutters and removers, 15 mm for what locks. Our estimate, common practice,
    no source: measure yours."""
    records_kept: PeriodOfTime | None = None
    """How long the logs are kept, by local rules; printed on each log."""
    photos: Photos = Photos()
    """Where photos stand; a photo is a file in photos/ named by the id of what it shows."""
    day: WorkingDay
    service: Annotated[Share, Field(lt=1)] = 0.95
    """The share of busy days on which nobody waits for any set or add-on pouch, all kinds together."""
    drawer_service: Annotated[Share, Field(lt=1)] | None = None
    """The share of busy days on which no drawer at any chair runs out between two restockings, and what was opened can
    be refilled. Left out: as `service`."""
    budget: Money | None = None
    """What can be spent now. The report says what to buy with it first; without it, what to buy at round amounts."""
    ask: tuple[Contact, ...] = ()
    """Whom to ask. The pages send whoever scans an old or unknown card to the first one."""
    before: Before | None = None
    accepted: tuple[Accepted, ...] = ()

    @property
    def drawers(self) -> float:
        """What is asked of the drawers."""
        return self.service if self.drawer_service is None else self.drawer_service


# chairs.yaml -----------------------------------------------------------------------------------


class Chair(Record):
    name: PlainText
    colour: ColourValue
    mark: ChairMark
    drawer: Annotated[Mapping[Id, Literal["auto"] | Count], AfterValidator(MappingProxyType)] = Field(
        default_factory=dict, validate_default=True
    )
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
    contents: Annotated[tuple[Id, ...], Field(min_length=1, max_length=60, examples=[["mirror", "weingart"]])]


class Pouch(Record):
    """A pouch: an add-on is laid on top of a set; a drawer pouch lives at the chair."""

    name: PlainText
    code: Code
    kind: Literal["add-on", "drawer"]
    size: Id
    implant_related: bool = False
    """As for an instrument, for the whole pouch."""
    contents: Annotated[tuple[Id, ...], Field(min_length=1, max_length=30, examples=[["holder"]])]
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
    needs: Annotated[Shares, Field(examples=[{"weingart": "always", "bird-beak": "12%"}])]
    """Instruments by id, with the share of these visits that want one."""
    chairs: tuple[Id, ...] = ()
    """Where it is done; empty for any chair."""


# tables, pages, the whole ------------------------------------------------------------------------


class StockLine(Record):
    """stock.csv: how many of an instrument there are today."""

    instrument: Id
    on_hand: Count
    in_repair: Count = 0


class Visit(Record):
    """schedule.csv: one visit of a real busy day."""

    day: Annotated[str, Field(min_length=1, max_length=40)]
    start: Clock
    chair: Id
    procedure: Id
    minutes: Annotated[Minutes, Field(gt=0)]


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
    printed: PrintRecord = field(default_factory=PrintRecord)

    def contents(self, pack: str) -> tuple[str, ...]:
        """Return the instruments of a set or pouch."""
        return self.sets[pack].contents if pack in self.sets else self.pouches[pack].contents

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
