"""The visits of one half-day at one chair: which may follow which, and when each begins.

Times here are steps of the grid, from 0 where the half-day begins. A visit takes its `slots`, and begins at `earliest`
at the soonest and at `latest` at the latest: the whole of the half-day for most (0 up to its steps - slots), less for
one whose procedure says `when` it is booked.

*Do they fit?* They are tried one after another: of the visits that may begin by now (if there are none, now is moved on
to the earliest that may), the one that would have to be over first (the smallest `latest` + slots; a tie: the first by
preference) begins now. They fit when none begins after its `latest`. (Jackson's rule, as Schrage has it. Now and then
it finds no way where there is one; then the half-day counts as taken.)

*Preference* is the order of `place`, then of ids and rows. In a packed book it is: the longest first, then the same.

*The order.* Now is 0. The first by preference is next that can begin now, or else as soon as it may, no later than its
`latest`, so that the rest fit from its end on, as above; its end is now; and so on.

*When each begins.* In that order the soonest and the last times are worked out: S(1) = earliest(1), S(n) = the later of
earliest(n) and S(n - 1) + slots(n - 1); L(last) = latest(last), L(n) = the earlier of latest(n) and L(n + 1) -
slots(n). With a share u(n) from 0 up to 1, the visit begins at S(n) + [u(n) × (L(n) - S(n) + 1)], rounded down, or when
the one before is over, if that is later.

- *Spread:* the u(n) are the numbers `idle` of these visits, sorted, the smallest for the first.
- *Packed:* u is 0 for a long visit (`bookings`), so S(n), and 1 - 2⁻³² for a short one, so L(n).

Where every visit may begin at any time this is: visits in the order of `place`, and the idle time, sorted, in between.
Packed: the longest first, from the start on, and the short ones up to the end, the longest of them first.

SOURCES: Jackson 1955; SOURCES: Carlier 1982.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from kitdocs.planning.day.draws import WORDS


class Times(NamedTuple):
    """When a visit can begin, and how long it takes, in steps of the grid."""

    earliest: int
    latest: int
    slots: int


def fit(visits: Sequence[Times], now: int = 0) -> bool:
    """Whether visits, in the order of preference, fit one after another from `now` on."""
    waiting = list(visits)
    while waiting:
        soonest = min(visit.earliest for visit in waiting)
        now = max(now, soonest)
        due = [visit.latest + visit.slots if visit.earliest <= now else WORDS for visit in waiting]
        first = waiting.pop(due.index(min(due)))
        if now > first.latest:
            return False
        now += first.slots
    return True


def order(visits: Sequence[Times]) -> list[int]:
    """Return the order of visits that fit and are given in the order of preference, by their number there."""
    left = list(range(len(visits)))
    found: list[int] = []
    now = 0
    while left:
        for number in left:
            visit = visits[number]
            start = max(now, visit.earliest)
            if start <= visit.latest and fit([visits[n] for n in left if n != number], start + visit.slots):
                break
        left.remove(number)
        found.append(number)
        now = start + visit.slots
    return found


def starts(visits: Sequence[Times], shares: Sequence[int]) -> list[int]:
    """Return when visits in their order begin; `shares` are words below `WORDS`, which stands for 1."""
    soonest: list[int] = []
    now = 0
    for visit in visits:
        now = max(now, visit.earliest)
        soonest.append(now)
        now += visit.slots
    last: list[int] = []
    for visit in reversed(visits):
        last.append(min(visit.latest, last[-1] - visit.slots) if last else visit.latest)
    last.reverse()
    begin: list[int] = []
    now = 0
    for visit, soon, late, share in zip(visits, soonest, last, shares, strict=True):
        at = max(now, soon + share * (late - soon + 1) // WORDS)
        begin.append(at)
        now = at + visit.slots
    return begin
