"""The appointment book of a day: which visit goes to which half-day, and when it begins.

The rules stand in `bookings` (the order in which visits are booked, and where they go) and in `half_day`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from operator import itemgetter
from typing import TypeAlias

from kitdocs.planning.day.draws import BITS, WORDS
from kitdocs.planning.day.half_day import Times, fit, order, starts
from kitdocs.planning.day.instants import seconds
from kitdocs.planning.day.visit import Booked, Booking
from kitdocs.planning.day.when import GRID, HalfDay, starts_allowed
from kitdocs.practice.book import Window
from kitdocs.practice.model import Practice, Procedure
from kitdocs.practice.problems import KitdocsError


class OverbookedError(KitdocsError):
    """The visits of a day do not fit its chairs. Minutes; `procedure` is the visit that found no place."""

    def __init__(self, *, booked: float, available: float, procedure: str) -> None:
        self.booked, self.available, self.procedure = booked, available, procedure
        super().__init__(f"{booked:g} chair-minutes booked, {available:g} available")


@dataclass(frozen=True, slots=True)
class Kind:
    """Visits of a procedure that may be booked at the same times. `halves` are numbers of half-days."""

    seconds: int
    slots: int
    halves: tuple[int, ...]
    of_halves: Callable[[Sequence[int]], Sequence[int]]
    """Takes what belongs to its half-days out of a list for all of them."""
    times: Mapping[int, Times] | None
    """By half-day, when it may begin there; None when that is at any time."""


UnbookedVisit: TypeAlias = tuple[int, str, int, int, int, tuple[float, ...], Kind]
"""A visit to be booked: turn, id, row, place, idle, luck, kind. Sorted, visits are in the order of their turn."""

_by_place = itemgetter(3, 1, 2)
_idle = itemgetter(4)


def _longest(visit: UnbookedVisit) -> int:
    return -visit[-1].slots


def _hardest(visit: UnbookedVisit) -> tuple[bool, int, int]:
    kind = visit[-1]
    return kind.times is None, len(kind.halves), -kind.slots


class Book:
    """A book with the half-days of some chairs; `packed` or spread."""

    def __init__(self, halves: Sequence[HalfDay], kinds: Iterable[Kind], *, packed: bool) -> None:
        self._halves, self._packed = halves, packed
        self._at_any_time = all(kind.times is None for kind in kinds)

    def day(self, visits: list[UnbookedVisit], ranks: Sequence[int]) -> list[Booked]:
        """Return the visits as they are booked, half-day by half-day.

        Of two half-days with as much time left, the one with the larger of the `ranks` is taken. Raises
        `OverbookedError`.
        """
        timed = not self._at_any_time and any(visit[-1].times is not None for visit in visits)
        for in_turn in (_longest if self._packed else None, _hardest, *((_longest,) if timed else ())):
            visits.sort()
            if in_turn:
                visits.sort(key=in_turn)
            booked = self._booked(visits, ranks)
            if booked is not None:
                return self._packed_day(booked, _average(visits)) if self._packed else self._spread_day(booked)
        raise self._overbooked(visits, ranks)

    def _spread_day(self, booked: Sequence[list[UnbookedVisit]]) -> list[Booked]:
        day: list[Booked] = []
        note, new, booking = day.append, tuple.__new__, Booking  # as Booking does, without its detour
        for number, (half, mine) in enumerate(zip(self._halves, booked, strict=True)):
            mine.sort(key=_by_place)
            if not self._at_any_time and any(visit[-1].times is not None for visit in mine):
                day += self._timed(number, mine, sorted(map(_idle, mine)))
                continue
            steps = half.slots - sum([visit[-1].slots for visit in mine]) + 1
            start, chair = half.start, half.chair
            for (turn, id_, row, _, _, luck, kind), idle in zip(mine, sorted(map(_idle, mine)), strict=True):
                at = start + (idle * steps >> BITS) * GRID
                note((at, turn, id_, row, new(booking, (at, at + kind.seconds, chair, id_, luck, 0))))
                start += kind.slots * GRID
        return day

    def _packed_day(self, booked: Sequence[list[UnbookedVisit]], average: int) -> list[Booked]:
        day: list[Booked] = []
        for number, mine in enumerate(booked):
            mine.sort(key=_by_place)
            mine.sort(key=_longest)
            day += self._timed(number, mine, None, average)
        return day

    def _timed(
        self, number: int, mine: Sequence[UnbookedVisit], idle: Sequence[int] | None, average: int = 0
    ) -> Iterator[Booked]:
        """Yield the visits of a half-day, given by preference. Without `idle`, those above the `average` are long."""
        half = self._halves[number]
        times = [self._times(visit[-1], number) for visit in mine]
        sequence = order(times)
        if idle is None:
            idle = [0 if times[n].slots > average else WORDS - 1 for n in sequence]
        for n, begin in zip(sequence, starts([times[n] for n in sequence], idle), strict=True):
            turn, id_, row, _, _, luck, kind = mine[n]
            at = half.start + begin * GRID
            yield at, turn, id_, row, Booking(at, at + kind.seconds, half.chair, id_, luck)

    def _times(self, kind: Kind, half: int) -> Times:
        """Return when a visit may begin in a half-day."""
        if kind.times is not None:
            return kind.times[half]
        return Times(0, self._halves[half].slots - kind.slots, kind.slots)

    def _booked(self, visits: Sequence[UnbookedVisit], ranks: Sequence[int]) -> list[list[UnbookedVisit]] | None:
        """Return the visits of each half-day, or nothing when one finds no place."""
        if self._packed or not self._at_any_time:
            return self._booked_one_by_one(visits, ranks)
        count = len(ranks)
        half_of = sorted(range(count), key=ranks.__getitem__)
        # What is left and the rank in one number, as this is the busiest loop: slots × count + rank.
        left = [half.slots * count + rank for half, rank in zip(self._halves, ranks, strict=True)]
        booked: list[list[UnbookedVisit]] = [[] for _ in left]
        for visit in visits:
            kind = visit[-1]
            best = max(kind.of_halves(left))
            takes = kind.slots * count
            if best < takes:
                return None
            half = half_of[best % count]
            left[half] = best - takes
            booked[half].append(visit)
        return booked

    def _booked_one_by_one(
        self, visits: Sequence[UnbookedVisit], ranks: Sequence[int]
    ) -> list[list[UnbookedVisit]] | None:
        """Do the same where the book is packed, or some visits may not begin at any time."""
        booked: list[list[UnbookedVisit]] = [[] for _ in ranks]
        left = [half.slots for half in self._halves]
        average = _average(visits)
        for visit in visits:
            kind = visit[-1]
            halves = sorted(kind.halves, key=lambda half: (-left[half], -ranks[half]))
            if self._packed:
                halves.sort(key=lambda half: self._halves[half].row, reverse=kind.slots <= average)
            for half in halves:
                if left[half] >= kind.slots and self._fits(visit, booked[half], half):
                    break
            else:
                return None
            left[half] -= kind.slots
            booked[half].append(visit)
        return booked

    def _fits(self, visit: UnbookedVisit, there: Sequence[UnbookedVisit], half: int) -> bool:
        """Whether a visit fits among those of a half-day, which has time enough."""
        together = [*there, visit]
        if not any(each[-1].times is not None for each in together):
            return True
        together.sort(key=_by_place)
        if self._packed:
            together.sort(key=_longest)
        return fit([self._times(each[-1], half) for each in together])

    def _overbooked(self, visits: Sequence[UnbookedVisit], ranks: Sequence[int]) -> OverbookedError:
        fitting = next(n for n in range(len(visits)) if self._booked(visits[: n + 1], ranks) is None)
        return OverbookedError(
            booked=sum(visit[-1].seconds for visit in visits) / 60,
            available=sum(h.slots for h in self._halves) * GRID / 60,
            procedure=visits[fitting][1],
        )


def _average(visits: Sequence[UnbookedVisit]) -> int:
    """Return how many slots visits take on average, rounded down: long is a visit that takes more."""
    return sum([visit[-1].slots for visit in visits]) // max(1, len(visits))


def kinds_of(
    practice: Practice, procedure: Procedure, halves: Sequence[HalfDay], mine: Sequence[int], times: Iterable[Window]
) -> tuple[Kind, ...]:
    """Return the kinds of a procedure's visits: one for each of these `times`, and last that of any time.

    `mine` are the numbers of its chairs' half-days.
    """
    takes = seconds(procedure.minutes)
    slots = -(-takes // GRID)
    allowed = [starts_allowed(practice, when, slots, {n: halves[n] for n in mine}) for when in times]
    return tuple(_kind(takes, slots, mine, each) for each in (*allowed, None))


def _kind(takes: int, slots: int, halves: Sequence[int], times: Mapping[int, Times] | None) -> Kind:
    mine = tuple(halves if times is None else times)
    of_halves = itemgetter(*mine, mine[0]) if mine else lambda left: ()  # of at least two, so that it gives a row
    return Kind(takes, slots, mine, of_halves, times)
