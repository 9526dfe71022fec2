"""A day with one machine less, one person ill, one load run again, or nobody who goes home too early: on the same days.

- *One machine less* of a stage, the last as written, from the morning on.
- *One person ill*: of the people that the room names, each once; else one at each stage that has several.
- *Somebody stays*: where something is left in the evening, whoever would go last stays until everything is back, every
  day; so these days begin with an empty room.
- *One load run again*: on every day the middle one of a stage's loads, so that it takes twice as long.

Each other day begins as the plan's day does; no night before was like it. Nobody acts on it: no visit is moved, nothing
is done out of turn, and who finds nothing in the store takes what is not there. Someone *waits* when a set or add-on
leaves the store while as many of its kind as are planned are out.

Where nobody and nothing is left to do a stage, nothing that has to pass it comes back that day.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median_high
from typing import Literal

from kitdocs.planning.day.crew import crew_of
from kitdocs.planning.day.flow import DayFlow, Flow, NeverCaughtUpError, Overnight
from kitdocs.planning.day.instants import DAY, seconds
from kitdocs.planning.day.promise import chosen
from kitdocs.planning.day.run import BusyDays, drawn_days
from kitdocs.planning.day.stock import KindTimes, StockTally, times_by_kind
from kitdocs.planning.day.tally import Spread, Tally
from kitdocs.planning.day.visit import Booking
from kitdocs.practice.model import Practice
from kitdocs.practice.room import AnyStage, HandStage, MachineStage, Person, Room, machines

DAYS = 100
"""How many of the plan's days are tried, at most."""

FULL_LOADS = 60.0
"""Minutes that a part load waits where loads are to be full."""

Cause = Literal["stays", "machine", "person", "load"]

_NEVER = 10**8


@dataclass(frozen=True, slots=True, kw_only=True)
class BrokenDay:
    """What the days come to. Seconds after midnight."""

    waits: Spread
    """How many sets and add-ons are not there when they should leave the store, per day."""
    days_with_waits: float
    """The share of days on which one is not."""
    waits_by_kind: Mapping[str, float]
    """By set or add-on, on average; of those that are ever waited for, the most first."""
    first_wait: int | None
    """When the first has to wait, on half of the days on which one has to."""
    ends: Spread | None
    """When the last item is back in the store; None where nothing comes back."""
    left: Spread
    """How many sets and pouches are out when the practice opens on the morning after."""
    sets: int | None
    """How many sets there would have to be to keep the promise on such days; None where nothing comes back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Breakdown:
    """Something that breaks at a stage, by id; or one of the people who is ill."""

    cause: Cause
    stage: str
    person: str
    days: int
    stops: str
    """The stage that nothing passes any more; empty where the work goes on."""
    usual: BrokenDay
    """The same days without it."""
    broken: BrokenDay
    otherwise: BrokenDay | None = None
    """With one machine less, when a part load waits for an hour; with one person ill, when everybody takes work from
    the last stage that has some. None where that was not tried."""


def breakdowns(practice: Practice, ran: BusyDays) -> tuple[Breakdown, ...]:
    """Return what may break, in the order of the room, on the first of the plan's days."""
    study = _Study(practice, ran)
    return (*study.staying(), *study.machines(), *study.people(), *study.loads())


class _Study:
    """The days, and what they are when nothing breaks."""

    def __init__(self, practice: Practice, ran: BusyDays) -> None:
        self._practice, self._ran = practice, ran
        self._days = min(DAYS, ran.days)
        self._bookings = drawn_days(practice, days=self._days, seed=ran.seed)
        flow = Flow(practice, ran.seed)
        self._takings = flow.takings
        days = [day for _, day in flow.of_days(self._bookings)]
        self._flows = days[1:]
        self._usual = self._counted(self._flows)

    def staying(self) -> Iterator[Breakdown]:
        crew, room = crew_of(self._practice), self._practice.room
        if crew.closes is None or crew.morning is None or not self._usual.left.mean:
            return
        until = (crew.morning + DAY) // 60 - 1
        gone = [seconds(person.hours.end) for person in room.people.values()]
        last = min(crew.closes, max(gone, default=crew.closes))
        people = {
            id_: person.model_copy(update={"hours": person.hours.model_copy(update={"end": until})})
            if seconds(person.hours.end) >= last
            else person
            for id_, person in room.people.items()
        }
        stays = replace(self._practice, room=room.model_copy(update={"people": people, "closes": until}))
        days = [day for _, day in Flow(stays, self._ran.seed, self._takings).of_days(self._bookings)]
        yield self._broken("stays", "", "", days[1:])

    def machines(self) -> Iterator[Breakdown]:
        for id_, stage in machines(self._practice.room.stages).items():
            if stage.count == 1:
                yield self._stopped("machine", id_, "")
                continue
            fewer = stage.machines[:-1] if isinstance(stage.machines, tuple) else stage.machines - 1
            less = stage.model_copy(update={"machines": fewer})
            if not _takes_all(less, stage):
                yield self._stopped("machine", id_, "")
                continue
            full = less.model_copy(update={"wait": max(stage.wait, FULL_LOADS)})
            yield replace(
                self._broken("machine", id_, "", self._run(self._with_stage(id_, less))),
                otherwise=self._counted(self._run(self._with_stage(id_, full))),
            )

    def people(self) -> Iterator[Breakdown]:
        room = self._practice.room
        for id_, person in room.people.items():
            others = {other: record for other, record in room.people.items() if other != id_}
            alone = [
                stage
                for stage, record in room.stages.items()
                if isinstance(record, HandStage)
                and (not person.stages or stage in person.stages)
                and all(other.stages and stage not in other.stages for other in others.values())
            ]
            if alone:
                yield self._stopped("person", alone[0], id_)
            else:
                yield replace(
                    self._broken("person", "", id_, self._run(self._with_people(others))),
                    otherwise=self._counted(self._run(self._with_people(_from_the_end(room, others)))),
                )
        for id_, stage in room.stages.items():
            if not room.people and isinstance(stage, HandStage) and stage.people > 1:
                less = stage.model_copy(update={"people": stage.people - 1})
                yield self._broken("person", id_, "", self._run(self._with_stage(id_, less)))

    def loads(self) -> Iterator[Breakdown]:
        stages = self._practice.room.stages
        for n, (id_, stage) in enumerate(stages.items()):
            if isinstance(stage, MachineStage):
                middle = [len(day.stays[n].loads) // 2 for day in self._flows]

                def again(at: str, day: int, load: int, id_: str = id_, middle: Sequence[int] = middle) -> bool:
                    return at == id_ and day <= len(middle) and load == middle[day - 1]

                yield self._broken("load", id_, "", self._run(self._practice, again))

    def _broken(self, cause: Cause, stage: str, person: str, days: Sequence[DayFlow]) -> Breakdown:
        return self._breakdown(cause, stage, person, "", self._counted(days))

    def _stopped(self, cause: Cause, stage: str, person: str) -> Breakdown:
        """What happens when nothing passes a stage."""
        days = [_without_passing(self._practice, day, stage) for day in self._flows]
        counted = replace(self._counted(days), ends=None, sets=None)
        return self._breakdown(cause, "" if person else stage, person, stage, counted)

    def _breakdown(self, cause: Cause, stage: str, person: str, stops: str, broken: BrokenDay) -> Breakdown:
        return Breakdown(
            cause=cause, stage=stage, person=person, days=self._days, stops=stops, usual=self._usual, broken=broken
        )

    def _with_stage(self, id_: str, stage: AnyStage) -> Practice:
        room = self._practice.room
        return replace(self._practice, room=room.model_copy(update={"stages": {**room.stages, id_: stage}}))

    def _with_people(self, people: Mapping[str, Person]) -> Practice:
        return replace(self._practice, room=self._practice.room.model_copy(update={"people": people}))

    def _run(self, practice: Practice, again: Callable[[str, int, int], bool] | None = None) -> list[DayFlow]:
        """Return each day as it goes in a room that is as `practice` only on that day."""
        flow = Flow(practice, self._ran.seed, self._takings, again=again)
        count = [stage.count if isinstance(stage, MachineStage) else 0 for stage in practice.room.stages.values()]
        return [
            self._one_day(flow, count, number, self._bookings[number], usual)
            for number, usual in enumerate(self._flows, 1)
        ]

    @staticmethod
    def _one_day(flow: Flow, count: Sequence[int], number: int, bookings: Sequence[Booking], usual: DayFlow) -> DayFlow:
        busy = tuple(until[:left] for until, left in zip(usual.before.busy_until, count, strict=False))
        try:
            ((_, day),) = flow.of_days([bookings], first=number, before=usual.before._replace(busy_until=busy))
        except NeverCaughtUpError:
            return usual._replace(back=[_NEVER] * len(usual.back))
        return day

    def _counted(self, days: Sequence[DayFlow]) -> BrokenDay:
        practice, ran = self._practice, self._ran
        planned = {id_: stock.needed for id_, stock in (*ran.sets.items(), *ran.add_ons.items())}
        stock = StockTally(practice, days[0].kinds)
        opens = seconds(practice.settings.day.opens)
        waits, ends, left = Tally(), Tally(), Tally()
        firsts, by_kind = list[int](), Counter[str]()
        for day in days:
            late = 0
            first = _NEVER
            for id_, times in stock.add(times_by_kind(day)):
                at = _waits(times, planned[id_])
                by_kind[id_] += len(at)
                late += len(at)
                first = min([first, *at[:1]])
            waits.counts[late] += 1
            if late:
                firsts.append(first)
            ends.counts[day.ended(seconds(practice.settings.day.closes))] += 1
            left.counts[sum(back > DAY + opens for back in _backs(day))] += 1
        kept = chosen(stock.needs(), practice.settings.service)
        return BrokenDay(
            waits=waits.spread(),
            days_with_waits=len(firsts) / len(days),
            waits_by_kind={id_: count / len(days) for id_, count in by_kind.most_common() if count},
            first_wait=median_high(firsts) if firsts else None,
            ends=ends.spread(),
            left=left.spread(),
            sets=sum(count for id_, count in kept.counts.items() if id_ in practice.sets),
        )


def _backs(day: DayFlow) -> list[int]:
    return [*day.back, *(one.back for one in day.overnight)]


def _from_the_end(room: Room, people: Mapping[str, Person]) -> dict[str, Person]:
    """Return the people, each serving the same stages, the last of the room first."""
    return {
        id_: person.model_copy(
            update={
                "stages": tuple(
                    stage
                    for stage, record in reversed(list(room.stages.items()))
                    if isinstance(record, HandStage) and (not person.stages or stage in person.stages)
                )
            }
        )
        for id_, person in people.items()
    }


def _takes_all(less: MachineStage, stage: MachineStage) -> bool:
    """Whether the machines that are left take every size that all of them take."""
    left = {size for machine in less.each for size in machine.capacity}
    return left == {size for machine in stage.each for size in machine.capacity}


def _waits(times: KindTimes, stock: int) -> list[int]:
    """Return when something leaves the store today while as many as `stock`, or more, are out."""
    back = 0
    late = []
    for gone, time in enumerate(times.outs):
        while times.backs[back] <= time:
            back += 1
        if gone - back >= stock and time >= 0:
            late.append(time)
    return late


def _without_passing(practice: Practice, day: DayFlow, stage: str) -> DayFlow:
    """Return a day on which nothing passes a stage: what has to pass it is not back."""
    n = list(practice.room.stages).index(stage)
    stuck = {k for k, kind in enumerate(day.kinds) if practice.passes(kind.id, stage)}
    back = [_NEVER if kind in stuck else at for kind, at in zip(day.items.kind, day.back, strict=True)]
    night = tuple(
        Overnight(one.kind, one.out, _NEVER if one.kind in stuck and waiting.stage <= n else one.back)
        for one, waiting in zip(day.overnight, day.before.waiting, strict=True)
    )
    return day._replace(back=back, overnight=night)
