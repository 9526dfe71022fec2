"""The visits of a busy day: drawn from the procedures, or taken from the practice's schedule.

A booking knows nothing of sets and pouches. What a visit takes is decided by its `luck`, numbers that
are drawn with the booking, so that the same visits can be tried with other sets and pouches
(common random numbers).

How a day is drawn, in this order, from one stream of random numbers:

1. Procedure by procedure, as written: `per_day` visits; the fraction is one visit more or none.
2. The half-days of all chairs are put in a random order, and so are the visits.
3. Visit by visit: it goes to the half-day with most time left among those of its chairs (a tie: to the
   first in the order drawn). A visit takes its minutes, rounded up to the grid of 5 minutes. If one
   no longer fits, the day is booked again with the visits that have fewest chairs first, then the longest
   first. If that does not fit either, the day cannot be booked.
4. Half-day by half-day, in the order of the chairs: each visit draws how much of the idle time lies before it,
   on the grid; sorted, so that the visits keep their order and none overlaps. The grid starts where the half-day
   starts. Then the luck of each of its visits: one number for each of its procedure's `occasional` needs, and one more.

Only `Random.random` is used: Python promises the same numbers from it in every version.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import islice
from operator import itemgetter
from random import Random
from typing import NamedTuple, TypeVar

from kitdocs.planning.day.instants import seconds
from kitdocs.practice.model import Practice, Procedure
from kitdocs.practice.problems import KitdocsError

T = TypeVar("T")

GRID = 5 * 60
"""Seconds between two times at which a visit can start."""


class Booking(NamedTuple):
    """A visit. Times in seconds after midnight. A tuple, as a thousand days have eighty thousand of them."""

    start: int
    end: int
    chair: str
    procedure: str
    luck: tuple[float, ...]
    """From 0 up to 1, for each of the procedure's `occasional` needs, and one more for an add-on that meets none."""


class OverbookedError(KitdocsError):
    """The visits of a day do not fit its chairs. Minutes; `procedure` is the visit that found no place."""

    def __init__(self, *, booked: float, available: float, procedure: str) -> None:
        self.booked, self.available, self.procedure = booked, available, procedure
        super().__init__(f"{booked:g} chair-minutes booked, {available:g} available")


@dataclass(frozen=True, slots=True)
class HalfDay:
    """A chair from opening to the break, or from the break to closing. `slots` of the grid fit in."""

    chair: str
    start: int
    slots: int


@dataclass(frozen=True, slots=True)
class _Kind:
    """A procedure, as far as the diary cares. `halves` are numbers of half-days."""

    id: str
    seconds: int
    slots: int
    whole: int
    fraction: float
    halves: frozenset[int]
    luck: int


class Diary:
    """A diary that draws the bookings of `practice`; nothing in it changes from day to day."""

    def __init__(self, practice: Practice) -> None:
        self._halves = half_days(practice)
        self._kinds = tuple(_kind(practice, p, self._halves) for p in practice.procedures)
        self._schedule = _schedule(practice)

    def day(self, seed: int, number: int) -> tuple[Booking, ...]:
        """Return the bookings of day `number` of the run with `seed`, by start, then in the order of the chairs.

        Raises `OverbookedError`. A practice with a schedule gets its days in turn; only luck is drawn.
        """
        random = Random(f"{seed}/{number}").random
        if self._schedule:
            rows = self._schedule[(number - 1) % len(self._schedule)]
            luck = iter(random, 1.0)
            return tuple(b._replace(luck=tuple(islice(luck, len(b.luck)))) for b in rows)
        return self._draw(random)

    def _draw(self, random: Callable[[], float]) -> tuple[Booking, ...]:
        visits = [k for k in self._kinds for _ in range(k.whole + (random() < k.fraction))]
        order = _shuffled(range(len(self._halves)), random)
        visits = _shuffled(visits, random)
        booked = self._booked(visits, order)
        if booked is None:
            visits.sort(key=lambda k: (len(k.halves), -k.slots))
            booked = self._booked(visits, order)
            if booked is None:
                raise self._overbooked(visits, order)
            booked = [_shuffled(visits_of_half, random) for visits_of_half in booked]
        luck = iter(random, 1.0)  # never 1.0: without end
        make = partial(tuple.__new__, Booking)  # as Booking does, without its detour
        day: list[Booking] = []
        for half, mine in zip(self._halves, booked, strict=True):
            idle = half.slots - sum([k.slots for k in mine]) + 1
            before = sorted([int(random() * idle) for _ in mine])
            start = half.start
            for kind, gap in zip(mine, before, strict=True):
                at = start + gap * GRID
                own = tuple(islice(luck, kind.luck))
                day.append(make((at, at + kind.seconds, half.chair, kind.id, own)))
                start += kind.slots * GRID
        day.sort(key=itemgetter(0))
        return tuple(day)

    def _booked(self, visits: Sequence[_Kind], order: Sequence[int]) -> list[list[_Kind]] | None:
        """Return the visits of each half-day, or nothing when one finds no place."""
        left = [half.slots for half in self._halves]
        booked: list[list[_Kind]] = [[] for _ in left]
        choices = {k.id: [h for h in order if h in k.halves] for k in self._kinds}
        most_left = left.__getitem__
        for kind in visits:
            best = max(choices[kind.id], key=most_left, default=None)
            if best is None or left[best] < kind.slots:
                return None
            left[best] -= kind.slots
            booked[best].append(kind)
        return booked

    def _overbooked(self, visits: Sequence[_Kind], order: Sequence[int]) -> OverbookedError:
        fitting = next(n for n in range(len(visits)) if self._booked(visits[: n + 1], order) is None)
        return OverbookedError(
            booked=sum(k.seconds for k in visits) / 60,
            available=sum(h.slots for h in self._halves) * GRID / 60,
            procedure=visits[fitting].id,
        )


def occasional(procedure: Procedure) -> tuple[str, ...]:
    """Return the needs that some but not all visits have, as written: each has its number in a visit's luck."""
    return tuple(need for need, share in procedure.needs.items() if share < 1)


def half_days(practice: Practice) -> tuple[HalfDay, ...]:
    """Return every chair's half-days, in the order of the chairs; whole days when there is no break."""
    day = practice.settings.day
    spans = [(day.opens, day.closes)]
    if day.pause:
        spans = [(day.opens, day.pause.start), (day.pause.end, day.closes)]
    return tuple(
        HalfDay(chair, seconds(start), seconds(end - start) // GRID)
        for chair in practice.chairs
        for start, end in spans
    )


def _kind(practice: Practice, procedure: str, halves: Sequence[HalfDay]) -> _Kind:
    record = practice.procedures[procedure]
    takes = seconds(record.minutes)
    chairs = practice.chairs_for(procedure)
    return _Kind(
        id=procedure,
        seconds=takes,
        slots=-(-takes // GRID),
        whole=int(record.per_day),
        fraction=record.per_day - int(record.per_day),
        halves=frozenset(n for n, half in enumerate(halves) if half.chair in chairs),
        luck=len(occasional(record)) + 1,
    )


def _schedule(practice: Practice) -> tuple[tuple[Booking, ...], ...]:
    """Return the real days, in the order in which they were first written."""
    chairs = {chair: n for n, chair in enumerate(practice.chairs)}
    days: dict[str, list[Booking]] = {}
    for visit in practice.schedule:
        start = seconds(visit.start)
        luck = (0.0,) * (len(occasional(practice.procedures[visit.procedure])) + 1)
        end = start + seconds(visit.minutes)
        days.setdefault(visit.day, []).append(Booking(start, end, visit.chair, visit.procedure, luck))
    return tuple(tuple(sorted(day, key=lambda b: (b.start, chairs[b.chair]))) for day in days.values())


def _shuffled(things: Sequence[T], random: Callable[[], float]) -> list[T]:
    keys = [random() for _ in things]
    return [thing for _, thing in sorted(zip(keys, things, strict=True), key=itemgetter(0))]
