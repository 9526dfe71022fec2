"""Visits as they were kept: how many, how late they begin, and when the last one is over."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from kitdocs.planning.day.instants import seconds
from kitdocs.planning.day.tally import DayTally, Spread, Tally
from kitdocs.planning.day.visit import Booking
from kitdocs.practice.model import Practice


def visits_per_day(practice: Practice) -> Mapping[str, float]:
    """Return the visits of each procedure that are kept: of those in the schedule, or stated in procedures.yaml."""
    return {p: n * (1 - practice.no_shows(p)) for p, n in booked_per_day(practice).items()}


def booked_per_day(practice: Practice) -> Mapping[str, float]:
    """Return the visits of each procedure that are booked: as the schedule has them, or procedures.yaml states."""
    if not practice.schedule:
        return {procedure: record.per_day for procedure, record in practice.procedures.items()}
    days = len({visit.day for visit in practice.schedule})
    return {p: n / days for p, n in Counter(visit.procedure for visit in practice.schedule).items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptVisits:
    """The visits of busy days. Seconds."""

    booked: float
    """Per day, on average, with those that are not kept."""
    late: float
    """The share of kept visits that begin later than booked."""
    late_by: Spread
    """By how much these begin late."""
    last: Spread
    """When the last visit of a day is over."""


class VisitTally:
    """Gathers, day by day, how visits were kept."""

    def __init__(self, practice: Practice) -> None:
        self._booked = fsum(booked_per_day(practice).values())
        self._opens = seconds(practice.settings.day.opens)
        self._run_over = any(practice.overrun(procedure) for procedure in practice.procedures)
        self._late, self._last, self._visits = DayTally(), Tally(), 0

    def add(self, bookings: Sequence[Booking]) -> None:
        self._last.counts[max([booking[1] for booking in bookings], default=self._opens)] += 1
        self._visits += len(bookings)
        if self._run_over:
            self._late.add_day([booking.late for booking in bookings if booking.late])

    def result(self) -> KeptVisits:
        return KeptVisits(
            booked=self._booked,
            late=len(self._late) / max(1, self._visits),
            late_by=self._late.spread(),
            last=self._last.spread(),
        )
