"""The cost of each place for an instrument, set, add-on or drawer, by running the same days again.

Studied are the instruments that some but not all visits with the sets concerned want. The visits and their
luck are those of the practice as it is (common random numbers); only what is taken differs.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import fsum

from kitdocs.planning.buying.orders import OrderLine, OrderList, order_list, uses_per_day
from kitdocs.planning.buying.placements import WHERE, Where, placed, procedures_needing, sets_concerned
from kitdocs.planning.buying.savings import glove_pairs_per_opening
from kitdocs.planning.day.bookings import Booking
from kitdocs.planning.day.run import BusyDays, RunDays, busy_days, drawn_days
from kitdocs.planning.figure import Figure, Input
from kitdocs.planning.measures.fit import smallest_cassette
from kitdocs.practice.message import Fixed, Joined, counted, message
from kitdocs.practice.model import Practice

#: All runs of the study together simulate so many times the days of the plan's own run, which bounds its cost.
TIMES_THE_PLAN = 5

#: Busy days drawn for a plan's study. It runs few of them many times, so more would only take longer to draw.
STUDIED_DAYS = 200

#: Fewer days than this say little about a day in twenty.
FEWEST_DAYS = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """The cost of one place for an instrument. Money in the practice's currency."""

    own: int
    """Pieces of the instrument that the practice needs, spares included."""
    buy: int
    money: Decimal
    """What all that is to be bought costs, of this instrument and of everything else."""
    smallest_cassettes: Mapping[str, str | None]
    """For each set concerned, the smallest of the practice's cassettes that would hold it."""
    loads_per_day: float
    walks_per_day: float
    """Walks to the store during visits."""
    glove_pairs_per_day: float
    """A pair for each walk, and for each pouch from a drawer that is taken with clean hands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacementStudy:
    """The places for one instrument. A place is None when no cassette or pouch of the practice would hold it."""

    instrument: str
    wanted: float
    """The share of the visits with the sets concerned that want it."""
    days: int
    now: Placing
    places: Mapping[Where, Placing | None]

    @property
    def is_now(self) -> Where | None:
        """The place that is the practice as it is; None when the instrument lies in several kinds of place."""
        return next((where for where, placing in self.places.items() if placing is self.now), None)


def study_of_plan(practice: Practice, ran: BusyDays, *, run: RunDays = busy_days) -> tuple[PlacementStudy, ...]:
    """Return the study beside a plan's own run: from its seed, over no more days. Takes several times as long as the
    plan."""
    return placement_study(practice, drawn_days(practice, days=min(ran.days, STUDIED_DAYS), seed=ran.seed), run=run)


def placement_study(
    practice: Practice,
    bookings: Sequence[Sequence[Booking]],
    *,
    instruments: Sequence[str] | None = None,
    run: RunDays = busy_days,
) -> tuple[PlacementStudy, ...]:
    """Return the study over the days in `bookings` (from `drawn_days`, the day before first), for some or all
    instruments.

    Each run takes the first of those days, as many as `TIMES_THE_PLAN` allows for all runs. `run` runs them, or knows
    already what they come to.
    """
    studied = studied_instruments(practice) if instruments is None else tuple(instruments)
    days = days_per_run(len(bookings) - 1, len(WHERE) * len(studied) + 1)
    study = _Study(practice, bookings[: days + 1], run)
    return tuple(study.of(instrument) for instrument in studied)


def studied_instruments(practice: Practice) -> tuple[str, ...]:
    """Return the instruments that some but not all visits with the sets concerned want."""
    visits = {p: procedure.per_day for p, procedure in practice.procedures.items()}
    again = (i for i, instrument in practice.instruments.items() if not instrument.single_use)
    return tuple(i for i in again if 0 < _wanted(practice, i, visits) < 1)


def days_per_run(days: int, runs: int) -> int:
    """Return how many of the plan's days each run of the study takes."""
    return min(days, max(FEWEST_DAYS, days * TIMES_THE_PLAN // runs))


def walks_per_day(practice: Practice, visits_per_day: Mapping[str, float]) -> float:
    """Return how many walks to the store there are during visits: add-ons that only some visits of a procedure take.

    What every visit takes is laid out with the set; what only some take is known to be wanted when it is wanted.
    """
    return fsum(
        visits_per_day.get(p, 0.0) * share
        for p, procedure in practice.procedures.items()
        for share in procedure.add_ons.values()
        if share < 1
    )


def drawer_openings_per_day(ran: BusyDays) -> float:
    """Return how many pouches are taken from the drawers at the chairs."""
    return fsum(pouch.opened_per_day for pouch in ran.drawer_pouches.values())


def visits_per_day(bookings: Sequence[Sequence[Booking]]) -> dict[str, float]:
    """Return how often a day each procedure is done."""
    visits = Counter(booking.procedure for day in bookings for booking in day)
    return {procedure: number / len(bookings) for procedure, number in visits.items()}


def placement_figures(practice: Practice, studies: Sequence[PlacementStudy]) -> tuple[Figure, ...]:
    """What buying would cost with each instrument in each place."""
    return tuple(
        _figure(practice, study, where, placing)
        for study in studies
        for where, placing in study.places.items()
        if placing is not None
    )


class _Study:
    """The days, and the practice as it is on them."""

    def __init__(self, practice: Practice, bookings: Sequence[Sequence[Booking]], run: RunDays) -> None:
        self._practice = practice
        self._run_days = run
        self._bookings = bookings
        # The first day only fills the drawers.
        self._visits = visits_per_day(bookings[1:])
        self._now = self._run(practice)

    def of(self, instrument: str) -> PlacementStudy:
        now = self._placing(self._practice, instrument, self._now)
        return PlacementStudy(
            instrument=instrument,
            wanted=_wanted(self._practice, instrument, self._visits),
            days=len(self._bookings) - 1,
            now=now,
            places={where: self._place(instrument, where, now) for where in WHERE},
        )

    def _place(self, instrument: str, where: Where, now: Placing) -> Placing | None:
        otherwise = placed(self._practice, instrument, where)
        if otherwise is None:
            return None
        if otherwise == self._practice:
            return now
        return self._placing(otherwise, instrument, self._run(otherwise))

    def _run(self, practice: Practice) -> BusyDays:
        return self._run_days(practice, bookings=self._bookings)

    def _placing(self, practice: Practice, instrument: str, ran: BusyDays) -> Placing:
        orders = orders_for(practice, ran)
        line = _line(orders, instrument)
        walks = walks_per_day(practice, self._visits)
        return Placing(
            own=line.need,
            buy=line.buy,
            money=orders.total,
            smallest_cassettes={
                s: smallest_cassette(practice, practice.sets[s].contents) for s in sets_concerned(practice, instrument)
            },
            loads_per_day=ran.loads_per_day,
            walks_per_day=walks,
            glove_pairs_per_day=walks + glove_pairs_per_opening(practice) * drawer_openings_per_day(ran),
        )


def orders_for(practice: Practice, ran: BusyDays) -> OrderList:
    """What to buy for the stock that a run of busy days came to."""
    return order_list(
        practice,
        sets_to_own=ran.stock,
        pouches_to_own=ran.pouch_stock,
        uses_per_day=uses_per_day(practice, taken_per_day(ran)),
    )


def taken_per_day(ran: BusyDays) -> dict[str, float]:
    """Return how often a day each set and pouch is taken, or opened, by id."""
    return {
        **{id_: stock.taken_per_day for id_, stock in {**ran.sets, **ran.add_ons}.items()},
        **{id_: pouch.opened_per_day for id_, pouch in ran.drawer_pouches.items()},
    }


def _wanted(practice: Practice, instrument: str, visits: Mapping[str, float]) -> float:
    """Return the share of the visits with the sets concerned that want the instrument."""
    concerned = sets_concerned(practice, instrument)
    with_them = fsum(visits.get(p, 0.0) for p, record in practice.procedures.items() if record.set in concerned)
    wanting = fsum(
        visits.get(p, 0.0) * practice.procedures[p].needs[instrument] for p in procedures_needing(practice, instrument)
    )
    return wanting / with_them if with_them else 0.0


def _line(orders: OrderList, instrument: str) -> OrderLine:
    return next(line for line in orders.lines if line.kind == "instrument" and line.id == instrument)


def _figure(practice: Practice, study: PlacementStudy, where: Where, placing: Placing) -> Figure:
    now = study.now
    cassettes = tuple(
        message(
            "figures.placement.cassette" if c else "figures.placement.no-cassette",
            set=practice.sets[s].name,
            cassette=practice.cassettes[c].name if c else "",
        )
        for s, c in placing.smallest_cassettes.items()
    )
    from_needs = message("figures.input.from-needs")
    return Figure(
        id=f"placement.{study.instrument}.{where}",
        name=message(f"figures.placement.{where}", instrument=practice.instruments[study.instrument].name),
        value=placing.money,
        unit=practice.settings.currency,
        why=message(
            "figures.placement.why",
            days=counted("figures.same-days", study.days),
            pieces=counted("figures.n-pieces", placing.own),
            buy=placing.buy,
            money=placing.money,
            money_now=now.money,
            loads=Fixed(placing.loads_per_day),
            loads_now=Fixed(now.loads_per_day),
            walks=Fixed(placing.walks_per_day),
            walks_now=Fixed(now.walks_per_day),
            gloves=Fixed(placing.glove_pairs_per_day),
            gloves_now=Fixed(now.glove_pairs_per_day),
            cassettes=Joined(cassettes, ", "),
        ),
        inputs=(Input(name=message("figures.input.wanted"), value=round(study.wanted, 3), source=from_needs),),
        section="placement",
    )
