"""The visits of a busy day: drawn from the procedures, or taken from the practice's schedule.

A booking knows nothing of sets and pouches. What a visit takes is decided by its `luck`, numbers that
are drawn with the booking, so that the same visits can be tried with other sets and pouches
(common random numbers).

Every number is drawn for a purpose (`draws.py`), named here as `procedure/ID/…`, or `chair/ID`; its row is which of
the procedure's visits it is, from 0 on (at a chair: 0 for its first half-day, 1 for its second). So no order in the
folder, nothing that no visit uses, and no other procedure moves it. *Idle* is a chair where no procedure that has
visits may be done, and with a schedule one without a visit in it: nothing is booked there, and it counts as no
chair-minutes.

How a day is drawn:

1. A procedure has `per_day` visits; a fraction is one visit more when `…/count` is below it.
2. The visits are booked in the order of `…/turn`. Each goes to the half-day with most time left among those of its
   chairs (a tie: to the one with the smaller `chair/ID`). It takes its minutes, rounded up to the grid of 5 minutes. If
   one no longer fits, the day is booked again: first those with fewest chairs, then the longest, then by turn. If that
   does not fit either, the day cannot be booked.
3. In a half-day the visits follow each other in the order of `…/place`. How much of the idle time lies before each is
   drawn, `…/idle` × (steps of the grid that are idle + 1), rounded down, and sorted, so that none overlaps. The
   grid starts where the half-day starts.
4. The luck of a visit: `…/need/INSTRUMENT` for each of the `occasional` needs, then `…/any` and `…/pouches`.
5. The day's bookings are in the order of their start; at one time, of their turn.

Where two numbers are equal, the order is that of the ids, then of the rows. A schedule's days take turns, in the order
of their names; a procedure's visits of a day have their rows in the order of start, then of chair, then of end.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import chain, repeat
from math import ceil
from operator import itemgetter
from typing import NamedTuple, TypeAlias

from kitdocs.planning.day.draws import DAYS, WORDS, shares, words
from kitdocs.planning.day.instants import seconds
from kitdocs.practice.model import Practice, Procedure
from kitdocs.practice.problems import KitdocsError

GRID = 5 * 60
"""Seconds between two times at which a visit can start."""


class Booking(NamedTuple):
    """A visit. Times in seconds after midnight. A tuple, as a thousand days have eighty thousand of them."""

    start: int
    end: int
    chair: str
    procedure: str
    luck: tuple[float, ...]
    """From 0 up to 1: for each of the procedure's `occasional` needs, for what meets none, and for the order of its
    pouches."""


class OverbookedError(KitdocsError):
    """The visits of a day do not fit its chairs. Minutes; `procedure` is the visit that found no place."""

    def __init__(self, *, booked: float, available: float, procedure: str) -> None:
        self.booked, self.available, self.procedure = booked, available, procedure
        super().__init__(f"{booked:g} chair-minutes booked, {available:g} available")


@dataclass(frozen=True, slots=True)
class HalfDay:
    """A chair from opening to the break, or from the break to closing. `slots` of the grid fit in."""

    chair: str
    row: int
    start: int
    slots: int


@dataclass(frozen=True, slots=True)
class _Kind:
    """A procedure, as far as the diary cares. `halves` are numbers of half-days.

    `purpose` begins those of its numbers, `luck` ends those of the luck; `rows` is the most visits that a day can have.
    """

    seconds: int
    slots: int
    whole: int
    fraction: float
    rows: int
    halves: tuple[int, ...]
    of_halves: itemgetter[Sequence[int]]
    """Takes what belongs to its half-days out of a list for all of them."""
    purpose: str
    luck: tuple[str, ...]


_Visit: TypeAlias = tuple[int, str, int, int, int, tuple[float, ...], _Kind]
"""A visit to be booked: turn, id, row, place, idle, luck, kind. Sorted, visits are in the order of their turn."""

_by_place = itemgetter(3, 1, 2)
_idle = itemgetter(4)
_booking = partial(tuple.__new__, Booking)  # as Booking does, without its detour

_Booked: TypeAlias = tuple[int, int, str, int, Booking]
"""A booking with what it is sorted by: start, turn, id and row."""


class Diary:
    """A diary that draws the bookings of `practice`; nothing in it changes from day to day."""

    def __init__(self, practice: Practice) -> None:
        booked = booked_places(practice)
        used = {chair for _, chair in booked}
        self._halves = tuple(half for half in half_days(practice) if half.chair in used)
        self._schedule = _schedule(practice)
        rows = _most_in_a_day(self._schedule)
        halves: dict[str, list[int]] = {}
        for procedure, chair in booked:
            halves.setdefault(procedure, []).extend(n for n, half in enumerate(self._halves) if half.chair == chair)
        self._kinds = {p: _kind(p, practice.procedures[p], mine, rows) for p, mine in halves.items()}
        self._drawn_for: tuple[int, int] | None = None
        self._visits: dict[str, list[_Visit]] = {}
        self._counts: dict[str, tuple[int, ...]] = {}
        self._places: list[tuple[int, ...]] = []

    def day(self, seed: int, number: int) -> tuple[Booking, ...]:
        """Return the bookings of day `number` of the run with `seed`.

        Raises `OverbookedError`. A practice with a schedule gets its days in turn; only luck and turns are drawn.
        """
        block, place = divmod(number, DAYS)
        if self._drawn_for != (seed, block):
            self._draw(seed, block)
            self._drawn_for = seed, block
        if self._schedule:
            bookings = self._scheduled(self._schedule[(number - 1) % len(self._schedule)], place)
        else:
            bookings = self._booked_day(place)
        bookings.sort()  # never as far as the booking: no visit has the id and row of another
        return tuple([booking[-1] for booking in bookings])

    def _draw(self, seed: int, block: int) -> None:
        """Draw the numbers of the days of a block, whatever visits they will have."""
        for id_, kind in self._kinds.items():
            rows = kind.rows
            visits = zip(
                words(seed, block, f"{kind.purpose}/turn", rows),
                repeat(id_),
                chain.from_iterable(map(repeat, range(rows), repeat(DAYS))),
                words(seed, block, f"{kind.purpose}/place", rows),
                words(seed, block, f"{kind.purpose}/idle", rows),
                zip(*[shares(seed, block, f"{kind.purpose}/{each}", rows) for each in kind.luck], strict=True),
                repeat(kind),
                strict=False,
            )
            self._visits[id_] = list(visits)
            self._counts[id_] = words(seed, block, f"{kind.purpose}/count", 1)
        self._places = [words(seed, block, f"chair/{half.chair}", 2)[half.row * DAYS :] for half in self._halves]

    def _scheduled(self, rows: Sequence[Booking], place: int) -> list[_Booked]:
        visits = {procedure: iter(drawn[place::DAYS]) for procedure, drawn in self._visits.items()}
        bookings = []
        for booking in rows:
            turn, id_, row, _, _, luck, _ = next(visits[booking.procedure])
            bookings.append((booking.start, turn, id_, row, booking._replace(luck=luck)))
        return bookings

    def _booked_day(self, place: int) -> list[_Booked]:
        visits: list[_Visit] = []
        for id_, kind in self._kinds.items():
            count = kind.whole + (self._counts[id_][place] < kind.fraction * WORDS)
            visits += self._visits[id_][place : count * DAYS : DAYS]
        visits.sort()
        ranks = self._ranks(place)
        booked = self._booked(visits, ranks)
        if booked is None:
            visits.sort(key=lambda visit: (len(visit[-1].halves), -visit[-1].slots))
            booked = self._booked(visits, ranks)
            if booked is None:
                raise self._overbooked(visits, ranks)
        day = []
        for half, mine in zip(self._halves, booked, strict=True):
            mine.sort(key=_by_place)
            steps = half.slots - sum([visit[-1].slots for visit in mine]) + 1
            start = half.start
            for (turn, id_, row, _, _, luck, kind), idle in zip(mine, sorted(map(_idle, mine)), strict=True):
                at = start + idle * steps // WORDS * GRID
                day.append((at, turn, id_, row, _booking((at, at + kind.seconds, half.chair, id_, luck))))
                start += kind.slots * GRID
        return day

    def _ranks(self, place: int) -> list[int]:
        """Return for each half-day which it is when there is as much time left: the largest goes first."""
        numbers = [drawn[place] for drawn in self._places]
        drawn = [(number, half.chair, half.row) for number, half in zip(numbers, self._halves, strict=True)]
        ranks = [0] * len(drawn)
        for rank, half in enumerate(sorted(range(len(drawn)), key=drawn.__getitem__, reverse=True)):
            ranks[half] = rank
        return ranks

    def _booked(self, visits: Sequence[_Visit], ranks: Sequence[int]) -> list[list[_Visit]] | None:
        """Return the visits of each half-day, or nothing when one finds no place."""
        count = len(ranks)
        half_of = sorted(range(count), key=ranks.__getitem__)
        # What is left and the rank in one number, as this is the busiest loop: slots × count + rank.
        left = [half.slots * count + rank for half, rank in zip(self._halves, ranks, strict=True)]
        booked: list[list[_Visit]] = [[] for _ in left]
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

    def _overbooked(self, visits: Sequence[_Visit], ranks: Sequence[int]) -> OverbookedError:
        fitting = next(n for n in range(len(visits)) if self._booked(visits[: n + 1], ranks) is None)
        return OverbookedError(
            booked=sum(visit[-1].seconds for visit in visits) / 60,
            available=sum(h.slots for h in self._halves) * GRID / 60,
            procedure=visits[fitting][1],
        )


def occasional(procedure: Procedure) -> tuple[str, ...]:
    """Return the needs that some but not all visits have, as written: each has its number in a visit's luck."""
    return tuple(need for need, share in procedure.needs.items() if share < 1)


def booked_places(practice: Practice) -> tuple[tuple[str, str], ...]:
    """Return each procedure that has visits with each chair at which it may have them."""
    if practice.schedule:
        return tuple({(visit.procedure, visit.chair): None for visit in practice.schedule})
    booked = (p for p, record in practice.procedures.items() if record.per_day)
    return tuple((p, chair) for p in booked for chair in practice.chairs_for(p))


def half_days(practice: Practice) -> tuple[HalfDay, ...]:
    """Return every chair's half-days, in the order of the chairs; whole days when there is no break."""
    day = practice.settings.day
    spans = [(day.opens, day.closes)]
    if day.pause:
        spans = [(day.opens, day.pause.start), (day.pause.end, day.closes)]
    return tuple(
        HalfDay(chair, row, seconds(start), seconds(end - start) // GRID)
        for chair in practice.chairs
        for row, (start, end) in enumerate(spans)
    )


def _kind(id_: str, procedure: Procedure, halves: Sequence[int], scheduled: Mapping[str, int]) -> _Kind:
    takes = seconds(procedure.minutes)
    whole = int(procedure.per_day)
    return _Kind(
        seconds=takes,
        slots=-(-takes // GRID),
        whole=whole,
        fraction=procedure.per_day - whole,
        rows=scheduled.get(id_, ceil(procedure.per_day)),
        halves=tuple(halves),
        of_halves=itemgetter(*(*halves, halves[0])),  # of at least two, so that it gives a row
        purpose=f"procedure/{id_}",
        luck=(*(f"need/{need}" for need in occasional(procedure)), "any", "pouches"),
    )


def _schedule(practice: Practice) -> tuple[tuple[Booking, ...], ...]:
    """Return the real days by name, the visits of each by start, chair and end. Their luck is still to be drawn."""
    days: dict[str, list[Booking]] = {}
    for visit in practice.schedule:
        start = seconds(visit.start)
        booking = Booking(start, start + seconds(visit.minutes), visit.chair, visit.procedure, ())
        days.setdefault(visit.day, []).append(booking)
    return tuple(tuple(sorted(days[name], key=itemgetter(0, 2, 1))) for name in sorted(days))


def _most_in_a_day(schedule: Iterable[Sequence[Booking]]) -> dict[str, int]:
    """Return how many visits of each procedure a day of the schedule has at most."""
    counts = [Counter([booking.procedure for booking in day]) for day in schedule]
    return {procedure: max(count[procedure] for count in counts) for count in counts for procedure in count}
