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
2. Where a procedure says `when` it is booked, the shares of its times are laid end to end from 0: morning, afternoon,
   then spans by start and end. A visit has the time in which its `…/when` lies; where that lies in none, it may begin
   at any time. A time allows the starts on the grid, from its own start on and before its end, from which the visit is
   over when the half-day is. `morning` is before the break begins, `afternoon` from then on; without a break, before
   and from 12:00. A half-day where it allows no start is none of the visit's. A time that allows every start in all
   half-days of the visit's chairs is any time.
3. The visits are booked in the order of `…/turn`. Each goes to the half-day with most time left among those of its
   chairs (a tie: to the one with the smaller `chair/ID`). It takes its minutes, rounded up to the grid of 5 minutes.
   Where it or a visit in the half-day may not begin at any time, it goes there only if they fit (`half_day`). If one no
   longer fits, the day is booked again: first those that may not begin at any time, then those with fewest half-days,
   then the longest, then by turn. If that does not fit either and some visit may not begin at any time, it is booked
   once more: the longest first, then by turn. If that does not fit either, the day cannot be booked.
   *Packed:* the first try has the longest first, then goes by turn. A long visit goes to the first half-day of a chair
   as long as it finds room in one, a short one to the last; of several, to the one with most time left. Long is what
   takes more slots than the visits of this day, at all chairs, do on average.
4. Order and starts in a half-day: `half_day`. The grid starts where the half-day starts.
5. The luck of a visit: `…/need/INSTRUMENT` for each of the `occasional` needs, then `…/any` and `…/pouches`.
6. Where visits run over or are not kept: `late`.
7. The day's bookings are in the order of their start; at one time, of their turn.

Where two numbers are equal, the order is that of the ids, then of the rows. A schedule's days take turns, in the order
of their names; a procedure's visits of a day have their rows in the order of start, then of chair, then of end. What is
scheduled is when visits are booked: they may run over and not be kept, too.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, chain, repeat
from math import ceil
from operator import itemgetter

from kitdocs.planning.day.book import Book, Kind, UnbookedVisit, kinds_of
from kitdocs.planning.day.draws import DAYS, WORDS, shares, words
from kitdocs.planning.day.instants import seconds
from kitdocs.planning.day.late import Fate, Fates, as_kept
from kitdocs.planning.day.visit import Booked, Booking
from kitdocs.planning.day.when import HalfDay, half_days, in_order
from kitdocs.practice.model import Practice, Procedure


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A procedure, as far as its numbers go.

    `purpose` begins the purposes of its numbers, `luck` ends those of the luck; `rows` is the most visits that a day
    can have.
    """

    whole: int
    fraction: float
    rows: int
    purpose: str
    luck: tuple[str, ...]
    fates: Fates
    kinds: tuple[Kind, ...]
    """Of the times at which it is booked, in their order, then of any time."""
    below: tuple[float, ...]
    """For each kind but the last: a visit is of the first one for which its number is below this."""

    def kinds_in(self, seed: int, block: int) -> Iterable[Kind]:
        if not self.below:
            return repeat(self.kinds[0])
        numbers = words(seed, block, f"{self.purpose}/when", self.rows)
        return [self.kinds[bisect_right(self.below, number)] for number in numbers]


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
        self._procedures = {p: _drawn(practice, p, self._halves, mine, rows) for p, mine in halves.items()}
        kinds = [kind for procedure in self._procedures.values() for kind in procedure.kinds]
        self._book = Book(self._halves, kinds, packed=practice.settings.book == "packed")
        self._as_booked = all(procedure.fates.as_booked for procedure in self._procedures.values())
        self._drawn_for: tuple[int, int] | None = None
        self._visits: dict[str, list[UnbookedVisit]] = {}
        self._fates: dict[str, list[Fate]] = {}
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
        if not self._as_booked:
            fates = self._fates
            bookings = as_kept((booked, fates[booked[2]][booked[3] * DAYS + place]) for booked in bookings)
            bookings.sort()
        return tuple([booking[-1] for booking in bookings])

    def _draw(self, seed: int, block: int) -> None:
        """Draw the numbers of the days of a block, whatever visits they will have."""
        for id_, procedure in self._procedures.items():
            rows, purpose = procedure.rows, procedure.purpose
            visits = zip(
                words(seed, block, f"{purpose}/turn", rows),
                repeat(id_),
                chain.from_iterable(map(repeat, range(rows), repeat(DAYS))),
                words(seed, block, f"{purpose}/place", rows),
                words(seed, block, f"{purpose}/idle", rows),
                zip(*[shares(seed, block, f"{purpose}/{each}", rows) for each in procedure.luck], strict=True),
                procedure.kinds_in(seed, block),
                strict=False,
            )
            self._visits[id_] = list(visits)
            self._counts[id_] = words(seed, block, f"{purpose}/count", 1)
            if not self._as_booked:
                self._fates[id_] = procedure.fates.drawn(seed, block, rows)
        self._places = [words(seed, block, f"chair/{half.chair}", 2)[half.row * DAYS :] for half in self._halves]

    def _scheduled(self, rows: Sequence[Booking], place: int) -> list[Booked]:
        visits = {procedure: iter(drawn[place::DAYS]) for procedure, drawn in self._visits.items()}
        bookings = []
        for booking in rows:
            turn, id_, row, _, _, luck, _ = next(visits[booking.procedure])
            bookings.append((booking.start, turn, id_, row, booking._replace(luck=luck)))
        return bookings

    def _booked_day(self, place: int) -> list[Booked]:
        visits: list[UnbookedVisit] = []
        for id_, procedure in self._procedures.items():
            count = procedure.whole + (self._counts[id_][place] < procedure.fraction * WORDS)
            visits += self._visits[id_][place : count * DAYS : DAYS]
        return self._book.day(visits, self._ranks(place))

    def _ranks(self, place: int) -> list[int]:
        """Return for each half-day which it is when there is as much time left: the largest goes first."""
        numbers = [drawn[place] for drawn in self._places]
        drawn = [(number, half.chair, half.row) for number, half in zip(numbers, self._halves, strict=True)]
        ranks = [0] * len(drawn)
        for rank, half in enumerate(sorted(range(len(drawn)), key=drawn.__getitem__, reverse=True)):
            ranks[half] = rank
        return ranks


def _drawn(
    practice: Practice, id_: str, halves: Sequence[HalfDay], mine: Sequence[int], scheduled: Mapping[str, int]
) -> _Drawn:
    procedure = practice.procedures[id_]
    whole = int(procedure.per_day)
    times = [] if practice.schedule else in_order(procedure.windows)
    return _Drawn(
        whole=whole,
        fraction=procedure.per_day - whole,
        rows=scheduled.get(id_, ceil(procedure.per_day)),
        purpose=f"procedure/{id_}",
        luck=(*(f"need/{need}" for need in occasional(procedure)), "any", "pouches"),
        fates=Fates(practice, id_),
        kinds=kinds_of(practice, procedure, halves, mine, [when for when, _ in times]),
        below=tuple(share * WORDS for share in accumulate(share for _, share in times)),
    )


def occasional(procedure: Procedure) -> tuple[str, ...]:
    """Return the needs that some but not all visits have, as written: each has its number in a visit's luck.

    That of one that comes with another need is not used (`items.py`).
    """
    return tuple(instrument for instrument, need in procedure.needs.items() if need.share < 1)


def booked_places(practice: Practice) -> tuple[tuple[str, str], ...]:
    """Return each procedure that has visits with each chair at which it may have them."""
    if practice.schedule:
        return tuple({(visit.procedure, visit.chair): None for visit in practice.schedule})
    booked = (p for p, record in practice.procedures.items() if record.per_day)
    return tuple((p, chair) for p in booked for chair in practice.chairs_for(p))


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
