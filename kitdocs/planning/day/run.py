"""The busy day: many days drawn, run through reprocessing, and counted.

Each day starts with everything in the store (a run in which that cannot be is a problem), or, where people go home,
with what the evening before had left; the day before the first is run, too. Each has its own random numbers
(`draws.py`), so that day 17 is the same day whatever else is run.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import fsum
from types import MappingProxyType
from typing import Protocol, TypeAlias

from kitdocs.planning.day.book import OverbookedError
from kitdocs.planning.day.bookings import Diary
from kitdocs.planning.day.evening import EveningTally, Nights, PersonDay
from kitdocs.planning.day.flow import DayFlow, Evening, Flow, NeverCaughtUpError
from kitdocs.planning.day.instants import seconds
from kitdocs.planning.day.items import Takings
from kitdocs.planning.day.kept_visits import KeptVisits, VisitTally
from kitdocs.planning.day.par import DrawerPouch, DrawerSlot, Par, ParTally, Restocking
from kitdocs.planning.day.problems import (
    cannot_be_booked,
    cannot_pass,
    day_too_long,
    drawers_run_out,
    left_again,
    never_caught_up,
)
from kitdocs.planning.day.promise import Chosen, Promises, chosen, days_to_run, promises
from kitdocs.planning.day.stock import Stock, StockTally, times_by_kind
from kitdocs.planning.day.tally import Spread, Tally
from kitdocs.planning.day.timeline import BandTally, Timeline, TimelineBand, timeline
from kitdocs.planning.day.turnaround import ImplantLoads, ImplantTally, StageDay, StageTally, Turnaround
from kitdocs.planning.day.usual_loads import LoadTally, UsualLoad
from kitdocs.planning.day.visit import Booking
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import PracticeError, Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class BusyDays:
    """The results of `days` busy days of a practice. Times in seconds, of day after midnight; ids as in the folder."""

    days: int
    seed: int
    service: float
    drawer_service: float
    promises: Promises
    chosen_sets: Chosen[str]
    """Of sets and add-on pouches, spares apart."""
    chosen_drawers: Chosen[DrawerSlot]
    """Of each drawer and, for the chair `BEYOND`, of each pouch."""
    visits: Spread
    """That are kept, per day."""
    kept: KeptVisits
    sets: Mapping[str, Stock]
    add_ons: Mapping[str, Stock]
    pars: Mapping[tuple[str, str], Par]
    """By chair and drawer pouch."""
    drawer_pouches: Mapping[str, DrawerPouch]
    restockings: tuple[Restocking, ...]
    stages: Mapping[str, StageDay]
    turnaround: Turnaround
    implant_loads: ImplantLoads
    usual_loads: Mapping[str, tuple[UsualLoad, ...]]
    """By machine stage, most frequent first."""
    people: Mapping[str, PersonDay]
    """By id; empty where the room names nobody."""
    nights: Nights | None
    """None where everything is back in the store every evening."""
    ends: Spread
    """When the last item is back in the store."""
    ends_median_between: tuple[int, int]
    """Between which the true median of `ends` lies, with 95 % certainty."""
    bands: Mapping[str, TimelineBand]
    """By set."""
    median_day: Timeline
    """The first day that ends when half of the days have ended."""
    problems: tuple[Problem, ...]

    @property
    def stock(self) -> dict[str, int]:
        """How many of each set to own."""
        return {id_: stock.own for id_, stock in self.sets.items()}

    @property
    def pouch_stock(self) -> dict[str, int]:
        """How many of each pouch to own, add-on or drawer."""
        return {
            **{id_: stock.own for id_, stock in self.add_ons.items()},
            **{id_: pouch.own for id_, pouch in self.drawer_pouches.items()},
        }

    @property
    def par(self) -> dict[tuple[str, str], int]:
        """How many of a pouch should be in the drawer of a chair, by (chair, pouch)."""
        return {place: par.par for place, par in self.pars.items()}

    @property
    def loads_per_day(self) -> float:
        """Of all machines together, on average."""
        return fsum(stage.loads.mean for stage in self.stages.values() if stage.loads)


class RunDays(Protocol):
    """`busy_days`, or what stands in for it: results that are known are not worked out again."""

    def __call__(
        self,
        practice: Practice,
        *,
        days: int | None = None,
        seed: int = 1,
        bookings: Sequence[Sequence[Booking]] | None = None,
        bands: bool = True,
    ) -> BusyDays: ...


def busy_days(
    practice: Practice,
    *,
    days: int | None = None,
    seed: int = 1,
    spares: Mapping[str, int] = MappingProxyType({}),
    bookings: Sequence[Sequence[Booking]] | None = None,
    bands: bool = True,
) -> BusyDays:
    """Run `days` busy days, by default as many as make the promises sure enough.

    `spares` are sets and pouches, by id, that are kept for those in repair. `bookings` (from `drawn_days`, the day
    before first) reuses days that were drawn before: the same visits with the same luck, tried with other sets and
    pouches. Without `bands`, what is out at each time of day, and what goes into a machine together, is not gathered.

    Raises PracticeError when the days cannot be booked or an item cannot pass a stage.
    """
    takings = Takings(practice)
    blocked = cannot_pass(practice, takings)
    if blocked:
        raise PracticeError(blocked)
    drawn = _Drawn(practice, days, seed) if bookings is None else bookings
    run = _Run(practice, takings, seed, bands=bands)
    try:
        run.over(drawn)
    except NeverCaughtUpError as error:
        raise PracticeError([never_caught_up(practice, error.stage)]) from None
    return run.result(drawn, seed, spares)


def drawn_days(practice: Practice, *, days: int | None = None, seed: int = 1) -> tuple[tuple[Booking, ...], ...]:
    """Return the bookings of the day before and of `days` days, as for `busy_days`.

    Raises PracticeError when they do not fit.
    """
    return tuple(_Drawn(practice, days, seed))


class _Drawn:
    """The day before and the days of a run, drawn when they are asked for and not kept."""

    def __init__(self, practice: Practice, days: int | None, seed: int) -> None:
        settings = practice.settings
        self._days = days_to_run((settings.service, settings.drawers)) if days is None else days
        self._practice, self._seed = practice, seed
        self._diary = Diary(practice)

    def __iter__(self) -> Iterator[tuple[Booking, ...]]:
        overbooked: list[OverbookedError] = []
        for number in range(self._days + 1):
            try:
                bookings = self[number]
            except OverbookedError as error:
                overbooked.append(error)  # the others are drawn too: how many do not fit is worth knowing
                continue
            if not overbooked:
                yield bookings
        if overbooked:
            raise PracticeError([cannot_be_booked(self._practice, overbooked, self._days + 1)])

    def __getitem__(self, number: int) -> tuple[Booking, ...]:
        return self._diary.day(self._seed, number)


_Days: TypeAlias = "_Drawn | Sequence[Sequence[Booking]]"


class _Run:
    """Everything that is gathered while the days go by."""

    def __init__(self, practice: Practice, takings: Takings, seed: int, *, bands: bool) -> None:
        self._practice = practice
        self._flow = Flow(practice, seed, takings)
        self._visits = Tally()
        self._kept = VisitTally(practice)
        self._ends = Tally()
        self._ended: dict[int, tuple[int, Evening]] = {}  # the first day that ended at a time, and what it began with
        self._stock = StockTally(practice, self._flow.kinds)
        self._implants = ImplantTally(practice, self._flow.kinds)
        self._stages = StageTally(practice, self._flow.kinds)
        self._usual = LoadTally(practice, self._flow.kinds) if bands else None
        self._bands = BandTally(practice, self._flow.kinds) if bands else None
        self._evenings = EveningTally(practice, self._flow.crew)
        self._par: ParTally

    def over(self, drawn: _Days) -> None:
        days = self._flow.of_days(drawn)
        self._par = ParTally(self._practice, next(days))
        for number, (bookings, day) in enumerate(days, 1):
            self._add(number, bookings, day)

    def _add(self, number: int, bookings: Sequence[Booking], day: DayFlow) -> None:
        times = times_by_kind(day)
        ended = day.ended(seconds(self._practice.settings.day.closes))
        self._visits.counts[len(bookings)] += 1
        self._kept.add(bookings)
        self._ends.counts[ended] += 1
        self._ended.setdefault(ended, (number, day.before))
        self._stock.add(times)
        self._par.add(bookings, day)
        self._stages.add(day, ended)
        self._implants.add(day)
        if self._bands:
            self._bands.add(times)
        if self._usual:
            self._usual.add(day)
        self._evenings.add(day)

    def result(self, drawn: _Days, seed: int, spares: Mapping[str, int]) -> BusyDays:
        practice, days = self._practice, len(self._visits)
        service, drawer_service = practice.settings.service, practice.settings.drawers
        sets = chosen(self._stock.needs(), service)
        drawers = chosen(self._par.needs(), drawer_service)
        stock = self._stock.result(sets, spares)
        pars = self._par.pars(drawers)
        stages = self._stages.stages()
        nights = self._evenings.nights()
        number, before = self._ended[self._ends.quantile(0.5)]
        rest = (drawn[n] for n in range(number, days + 1))
        bookings, median_day = next(self._flow.of_days(rest, first=number, before=before))
        ends_late = self._ends.quantile(service)
        return BusyDays(
            days=days,
            seed=seed,
            service=service,
            drawer_service=drawer_service,
            promises=promises(sets, drawers),
            chosen_sets=sets,
            chosen_drawers=drawers,
            visits=self._visits.spread(),
            kept=self._kept.result(),
            sets={id_: s for id_, s in stock.items() if id_ in practice.sets},
            add_ons={id_: s for id_, s in stock.items() if id_ in practice.pouches},
            pars=pars,
            drawer_pouches=self._par.pouches(drawers, spares),
            restockings=self._par.restockings(),
            stages=stages,
            turnaround=self._stages.turnaround(),
            implant_loads=self._implants.result(),
            usual_loads=self._usual.result() if self._usual else {},
            people=self._evenings.people(),
            nights=nights,
            ends=self._ends.spread(),
            ends_median_between=self._ends.between(0.5),
            bands=self._bands.result(days) if self._bands else {},
            median_day=timeline(practice, number, median_day, len(bookings)),
            problems=(
                *day_too_long(practice, ends_late, stages.values()),
                *left_again(practice, nights),
                *drawers_run_out(practice, drawers),
            ),
        )
