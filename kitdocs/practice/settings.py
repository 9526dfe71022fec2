"""practice.yaml: what holds for the whole practice."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, StrictInt

from kitdocs.practice.book import BookKind, Overrun
from kitdocs.practice.kinds import DrawerAccess, Family, PartOfTheStarter
from kitdocs.practice.paper import Labels
from kitdocs.practice.record import Record, Size, TimeSpan
from kitdocs.practice.values import (
    LANGUAGE_PATTERN,
    Clock,
    Id,
    Millimetres,
    MillimetresOrNone,
    Minutes,
    Money,
    Number,
    PeriodOfTime,
    PlainText,
    Share,
    ShareOrNone,
)

Language = Annotated[str, Field(pattern=LANGUAGE_PATTERN)]


#: How a practice names the folder beside its own that it shares records with.
COMMON_PATTERN = r"^\.\./[A-Za-z0-9][A-Za-z0-9 _-]*$"


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
    The photo of an instrument that no drawing fits (`other-plier` and its like) always stands instead.
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


class Worth(Record):
    """What one of each thing costs the practice, so that what the change saves can be said in money. Leave out what
    nobody knows."""

    walk: Money | None = None
    """One walk to the store during a visit."""
    glove_pair: Money | None = None
    loose_instrument: Money | None = None
    """What an instrument that goes round loose costs a day, in lost, bent and blunted ones."""
    technician_hour: Money | None = None


class Before(Record):
    """Counts made before the change to sets. Leave out what nobody counted."""

    walks_per_day: Annotated[Number, Field(ge=0)] | None = None
    glove_pairs_per_day: Annotated[Number, Field(ge=0)] | None = None
    loose_instruments_per_day: Annotated[Number, Field(ge=0)] | None = None
    technician_time_per_day: Minutes | None = None
    worth: Worth = Worth()


class WallTablet(Record):
    """The page of all chairs on a tablet on the wall."""

    back: Annotated[Minutes, Field(ge=1, le=60)] = 3.0
    """How long nobody touches it until it is back at the chairs by itself."""
    night: TimeSpan = TimeSpan.model_construct(start=20 * 60, end=6 * 60)
    """When it goes dim if nobody touches it, over midnight; from a time to the same time: never."""


class Settings(Record):
    """practice.yaml: what holds for the whole practice."""

    format: Annotated[StrictInt, Field(ge=1)] = 1
    """The format of the folder's files. Left out: the oldest, 1. `kitdocs check --upgrade` rewrites an older folder."""
    common: Annotated[str, Field(pattern=COMMON_PATTERN, examples=["../common"])] | None = None
    """A folder beside this one whose instruments, cassettes, pages and words several practices share. What this folder
    writes of a record holds; the shared record says the rest."""
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
    book: BookKind = "spread"
    """How the book is filled: `spread`, visits in any order and free time between them; or `packed`, long visits one
    after another from opening on, short ones one after another up to closing, all free time in between. That
    is about the hardest that these visits can be booked. Short visits that are done in the morning, too, say so (`when`
    in procedures.yaml). No effect with schedule.csv."""
    no_shows: Annotated[ShareOrNone, Field(lt=1)] | None = None
    """The share of booked visits that are not kept: they take no instruments, and the chair stays empty. Left out: all
    are kept. A procedure may have its own."""
    overrun: Overrun | None = None
    """How visits run over; the next at the chair then begins late. Left out: each takes the minutes that it is booked
    for. A procedure may have its own."""
    budget: Money | None = None
    """What can be spent now. The report says what to buy with it first; without it, what to buy at round amounts."""
    from_starter: tuple[PartOfTheStarter, ...] = ()
    """Parts of the folder that are still the starter's example, and not stated by the practice: `day` here,
    cassettes.yaml, room.yaml. `kitdocs import` writes it into a new folder; each is warned of, and marked beside the
    figures that come from it."""
    wall_tablet: WallTablet = WallTablet()
    ask: tuple[Contact, ...] = ()
    """Whom to ask. The pages send whoever scans an old or unknown card to the first one."""
    before: Before | None = None
    accepted: tuple[Accepted, ...] = ()

    @property
    def drawers(self) -> float:
        """What is asked of the drawers."""
        return self.service if self.drawer_service is None else self.drawer_service
