"""Visits of an appointment book, as far as figures need them: when, where, for what, and what became of them."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import fmean, median
from typing import Literal

#: `kept` and `absent` say what became of a visit; `booked` says nothing of it; `cancelled` took no time.
Standing = Literal["kept", "absent", "cancelled", "booked"]

#: A weekday is busy with this share of the visits that the busiest weekday has; a day with half of what busy days have.
#: Ours; tests/importing/test_estimates.py tries them.
_BUSY_WEEKDAY, _BUSY_DAY = 0.75, 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class BookedVisit:
    """One visit in the book. Minutes; `start` after midnight."""

    day: date
    start: float
    booked: float | None
    """How long it was booked for; None when the book does not say."""
    took: float | None
    """How long it really took; None when the book does not say."""
    chair: str
    """The id of the chair; '' when that is not known."""
    procedure: str
    """The id of the procedure."""
    standing: Standing


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenDays:
    """The days of a book. Busy are those weekdays that have about as many visits as the busiest weekday."""

    busy: tuple[date, ...]
    quiet: tuple[date, ...]
    """Days of other weekdays, and days with less than half of what busy ones have."""
    to_come: tuple[date, ...]
    """Days whose visits have no outcome yet, where those of other days have."""
    weekdays: Mapping[int, float]
    """Visits a day on average, by weekday from Monday, 0, on."""

    @property
    def busy_weekdays(self) -> tuple[int, ...]:
        return tuple(sorted({day.weekday() for day in self.busy}))


def open_days(visits: Sequence[BookedVisit], closed: Iterable[date] = ()) -> OpenDays:
    """Return which days of a book are busy ones. `closed` are days that a calendar says the practice is closed."""
    booked = [visit for visit in visits if visit.standing != "cancelled" and visit.day not in set(closed)]
    counts = Counter(visit.day for visit in booked)
    over = {visit.day for visit in booked if visit.standing != "booked"}
    to_come = set(counts) - over if over else set()
    by_weekday: defaultdict[int, list[int]] = defaultdict(list)
    for day, count in counts.items():
        if day not in to_come:
            by_weekday[day.weekday()].append(count)
    usual = {weekday: fmean(found) for weekday, found in sorted(by_weekday.items())}
    enough = _BUSY_WEEKDAY * max(usual.values(), default=0)
    likely = sorted(day for day in counts if day not in to_come and usual[day.weekday()] >= enough)
    half = _BUSY_DAY * median(counts[day] for day in likely) if likely else 0
    busy = tuple(day for day in likely if counts[day] >= half)
    return OpenDays(
        busy=busy,
        quiet=tuple(sorted(set(counts) - set(busy) - to_come)),
        to_come=tuple(sorted(to_come)),
        weekdays=usual,
    )


def busiest_day(visits: Sequence[BookedVisit], days: OpenDays) -> date | None:
    """Return the busy day with most visits; of several, that with most booked minutes, then the latest."""
    counts = Counter(visit.day for visit in visits if visit.standing != "cancelled")
    minutes: Counter[date] = Counter()
    for visit in visits:
        if visit.standing != "cancelled":
            minutes[visit.day] += round(visit.booked or 0)
    return max(days.busy, key=lambda day: (counts[day], minutes[day], day), default=None)
