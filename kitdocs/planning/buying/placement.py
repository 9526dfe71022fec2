"""The cost of each place for an instrument, set, add-on or drawer, by running the same days again.

Studied are the instruments that some but not all visits with the sets concerned want. The visits and their
luck are those of the plan's own first days (common random numbers); only what is taken differs.

Every figure of a place is the plan's own and the difference between both practices on those days, so that where an
instrument lies now costs what the order list says, to the cent. How sure a difference is, is seen by choosing the
counts of both practices again on days drawn anew from these, some more than once (the paired bootstrap: SOURCES:
Bootstrap).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import fsum
from random import Random
from statistics import stdev

from kitdocs.planning.buying.orders import OrderLine, OrderList, order_list, uses_per_day
from kitdocs.planning.buying.placements import WHERE, Where, placed, procedures_needing, sets_concerned
from kitdocs.planning.buying.savings import glove_pairs_per_opening
from kitdocs.planning.day.joint import JointNeeds, Kind
from kitdocs.planning.day.kept_visits import visits_per_day
from kitdocs.planning.day.par import pouches_of
from kitdocs.planning.day.run import BusyDays, RunDays, busy_days, drawn_days
from kitdocs.planning.figure import Figure, Input
from kitdocs.planning.measures.fit import smallest_cassette
from kitdocs.practice.message import Fixed, Joined, counted, message
from kitdocs.practice.model import Practice

#: All runs of the study together simulate so many times the days of the plan's own run, which bounds its cost.
TIMES_THE_PLAN = 2

#: Fewer days than this say little about a day in twenty.
FEWEST_DAYS = 40

RESAMPLES = 6
"""How often counts are chosen again, to see how sure a difference is."""

_T = 2.5705818366147395
"""Student's t, the 97.5 % quantile for one degree of freedom less than `RESAMPLES`."""


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
    resampled: tuple[Decimal, ...]
    """What all costs that is to be bought, by the counts that days drawn again choose."""
    piece: Decimal
    """What one piece of the instrument costs."""

    def noise(self, other: Placing) -> Decimal:
        """Return how far the difference in money to another place may be from the truth, either way (95 %).

        At least a piece: so few days tell no count to less than one.
        """
        if self is other:
            return Decimal(0)
        differences = [float(mine - theirs) for mine, theirs in zip(self.resampled, other.resampled, strict=True)]
        return max(self.piece, Decimal(_T * stdev(differences)).quantize(Decimal("0.01")))


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

    @property
    def cheapest(self) -> Placing | None:
        """The place that costs less than each other, now among them, by more than the noise.

        None where none does, or where there is no other.
        """
        placings = [self.now, *(placing for placing in self.places.values() if placing and placing is not self.now)]
        best = min(placings, key=lambda placing: placing.money)
        others = [placing for placing in placings if placing is not best]
        surely = bool(others) and all(other.money - best.money > best.noise(other) for other in others)
        return best if surely else None


def placement_study(
    practice: Practice, ran: BusyDays, *, instruments: Sequence[str] | None = None, run: RunDays = busy_days
) -> tuple[PlacementStudy, ...]:
    """Return the study beside a plan's own run, for some or all instruments. Takes longer than the plan itself.

    Each run takes the first of the plan's days, as many as `TIMES_THE_PLAN` allows for all runs. `run` runs them, or
    knows already what they come to.
    """
    studied = studied_instruments(practice) if instruments is None else tuple(instruments)
    others = {i: {where: placed(practice, i, where) for where in WHERE} for i in studied}
    runs = 1 + sum(other not in (None, practice) for places in others.values() for other in places.values())
    study = _Study(practice, ran, days_per_run(ran.days, runs), run)
    return tuple(study.of(instrument, places) for instrument, places in others.items())


def studied_instruments(practice: Practice) -> tuple[str, ...]:
    """Return the instruments that some but not all visits with the sets concerned want."""
    visits = visits_per_day(practice)
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


def placement_figures(practice: Practice, studies: Sequence[PlacementStudy]) -> tuple[Figure, ...]:
    """What buying would cost with each instrument in each place."""
    return tuple(
        _figure(practice, study, where, placing)
        for study in studies
        for where, placing in study.places.items()
        if placing is not None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ran:
    """A practice on the study's days, and what there is to buy for it."""

    practice: Practice
    busy: BusyDays
    orders: OrderList
    resampled: tuple[Decimal, ...]


class _Study:
    """The days, and the practice as it is on them."""

    def __init__(self, practice: Practice, ran: BusyDays, days: int, run: RunDays) -> None:
        self._practice, self._plan, self._days = practice, ran, days
        self._orders = orders_for(practice, ran)
        self._run_days = run
        self._bookings = drawn_days(practice, days=days, seed=ran.seed)
        self._visits = visits_per_day(practice)
        random = Random(f"placement {ran.seed}").random
        self._again = [[int(random() * days) for _ in range(days)] for _ in range(RESAMPLES)]
        self._now = self._run(practice)

    def of(self, instrument: str, places: Mapping[Where, Practice | None]) -> PlacementStudy:
        now = self._placing(instrument, self._now)
        return PlacementStudy(
            instrument=instrument,
            wanted=_wanted(self._practice, instrument, self._visits),
            days=self._days,
            now=now,
            places={where: self._place(instrument, otherwise, now) for where, otherwise in places.items()},
        )

    def _place(self, instrument: str, otherwise: Practice | None, now: Placing) -> Placing | None:
        if otherwise is None:
            return None
        return now if otherwise == self._practice else self._placing(instrument, self._run(otherwise))

    def _run(self, practice: Practice) -> _Ran:
        busy = self._run_days(practice, bookings=self._bookings, bands=False)
        uses = uses_per_day(practice, taken_per_day(busy))
        return _Ran(
            practice=practice,
            busy=busy,
            orders=orders_for(practice, busy),
            resampled=tuple(_total(practice, busy, uses, days) for days in self._again),
        )

    def _placing(self, instrument: str, run: _Ran) -> Placing:
        practice, plan, now = run.practice, self._plan, self._now
        line, of_plan, on_these = (_line(orders, instrument) for orders in (run.orders, self._orders, now.orders))
        walks = walks_per_day(practice, self._visits)
        opened = drawer_openings_per_day(plan) + drawer_openings_per_day(run.busy) - drawer_openings_per_day(now.busy)
        more = self._orders.total - now.orders.total
        return Placing(
            own=max(0, of_plan.need + line.need - on_these.need),
            buy=max(0, of_plan.need + line.need - on_these.need - of_plan.owned),
            money=run.orders.total + more,
            smallest_cassettes={
                s: smallest_cassette(practice, practice.sets[s].contents) for s in sets_concerned(practice, instrument)
            },
            loads_per_day=plan.loads_per_day + run.busy.loads_per_day - now.busy.loads_per_day,
            walks_per_day=walks,
            glove_pairs_per_day=walks + glove_pairs_per_opening(practice) * max(0.0, opened),
            resampled=tuple(total + more for total in run.resampled),
            piece=practice.instruments[instrument].price or Decimal(0),
        )


def _total(practice: Practice, ran: BusyDays, uses: Mapping[str, float], days: Sequence[int]) -> Decimal:
    """Return what all costs that is to be bought by the counts that these days, by number from 0, choose."""
    sets = _chosen(ran.chosen_sets.needs, days, ran.service)
    pouches = pouches_of(_chosen(ran.chosen_drawers.needs, days, ran.drawer_service))
    return order_list(
        practice,
        sets_to_own={id_: count for id_, count in sets.items() if id_ in practice.sets},
        pouches_to_own={**{id_: count for id_, count in sets.items() if id_ in practice.pouches}, **pouches},
        uses_per_day=uses,
    ).total


def _chosen(needs: JointNeeds[Kind], days: Sequence[int], share: float) -> dict[Kind, int]:
    return needs.of_days(days).choose(share, exchange=False)


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
        visits.get(p, 0.0) * practice.procedures[p].needs[instrument].share
        for p in procedures_needing(practice, instrument)
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
            noise=placing.noise(now),
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
