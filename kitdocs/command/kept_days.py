"""Busy days whose results are kept, by what they really read of a practice."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence

from kitdocs.cache import Cache, key_of
from kitdocs.planning.day.breaking import Breakdown, breakdowns
from kitdocs.planning.day.run import BusyDays, busy_days
from kitdocs.planning.day.visit import Booking
from kitdocs.planning.day.written import with_written_counts, without_written_counts
from kitdocs.practice.model import Practice
from kitdocs.practice.record import Record

#: What is in a practice and has no effect on its days: where its values stand, what is printed, said and shown.
_UNREAD = ("drawings", "folder", "pages", "photos", "places", "printed", "problems", "words")


class KeptDays:
    """`busy_days`, made only for a practice whose days are not known. Days with problems are not kept.

    A problem says where in the folder it is, which is no part of what the days read.
    """

    def __init__(self, cache: Cache) -> None:
        self._cache = cache
        self._reading = _Reading()
        #: Bookings and their digest. The days of a study are the same for all its runs.
        self._booked: tuple[Sequence[Sequence[Booking]] | None, str] = (None, "")

    def __call__(
        self,
        practice: Practice,
        *,
        days: int | None = None,
        seed: int = 1,
        bookings: Sequence[Sequence[Booking]] | None = None,
        bands: bool = True,
    ) -> BusyDays:
        """Return what `busy_days` does. Raises `PracticeError`."""
        as_run = without_written_counts(practice)
        key = key_of("busy_days", self._reading.of(as_run), days, seed, self._digest(bookings), bands)
        ran: BusyDays | None = self._cache.get(key)
        if ran is None:
            ran = busy_days(as_run, days=days, seed=seed, bookings=bookings, bands=bands)
            if not ran.problems:
                self._cache.put(key, ran)
        return with_written_counts(practice, ran)

    def breakdowns(self, practice: Practice, ran: BusyDays) -> tuple[Breakdown, ...]:
        """Return what `breakdowns` does: of what was run, it reads how many days and how many sets are needed."""
        as_run = without_written_counts(practice)
        needed = [(id_, stock.needed) for id_, stock in (*ran.sets.items(), *ran.add_ons.items())]
        key = key_of("breakdowns", self._reading.of(as_run), ran.days, ran.seed, needed)
        found: tuple[Breakdown, ...] | None = self._cache.get(key)
        if found is None:
            found = breakdowns(as_run, ran)
            self._cache.put(key, found)
        return found

    def _digest(self, bookings: Sequence[Sequence[Booking]] | None) -> str:
        if bookings is not self._booked[0]:
            self._booked = bookings, key_of("bookings", repr(bookings))
        return self._booked[1]


class _Reading:
    """Practices as text, without what their days do not read: values in the order in which they are written."""

    def __init__(self) -> None:
        #: What was said of a record, by its identity. Practices that are tried beside another share most records.
        self._said: dict[int, tuple[Record, object]] = {}

    def of(self, practice: Practice) -> str:
        fields = [field.name for field in dataclasses.fields(practice) if field.name not in _UNREAD]
        return repr([(name, self._plain(getattr(practice, name))) for name in fields])

    def _plain(self, value: object) -> object:
        """Return a value as what has a `repr` that tells everything; a mapping as its pairs, whose order counts."""
        if value is None or isinstance(value, str | int | float):
            return value
        if isinstance(value, Record):
            if id(value) not in self._said:
                own = [type(value).__name__, *((name, self._plain(part)) for name, part in value)]
                self._said[id(value)] = value, own
            return self._said[id(value)][1]
        if isinstance(value, Mapping):
            return [(name, self._plain(part)) for name, part in value.items()]
        if isinstance(value, tuple | list):
            return [self._plain(part) for part in value]
        if dataclasses.is_dataclass(value):
            own = [(field.name, self._plain(getattr(value, field.name))) for field in dataclasses.fields(value)]
            return [type(value).__name__, *own]
        return [type(value).__name__, str(value)]
