"""Figures of procedures from an appointment book of several weeks, each with its interval and what it rests on.

Nothing is stated that rests on too little: the limits stand here by name. Intervals are of 95 %: Wilson's for shares,
Student's t for means (of the logarithms, for how long visits run over).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp, log
from statistics import NormalDist, median, stdev

from kitdocs.importing.booking_times import LEAST_DAYS, BookingTimes, WorkingHours, booking_times
from kitdocs.importing.evidence import Estimate, days_of, mean_of, share_of
from kitdocs.importing.visits import BookedVisit, OpenDays

#: Shares of less than so many visits say little: at 6 %, the interval of 50 reaches from 2 to 16 %.
LEAST_VISITS = 50
#: So many must have run over for their distribution, and so many have a booked time.
LEAST_OVER, LEAST_BOOKED = 20, 5
#: What visits run over by is at most this, in minutes; more is a slip of the pen. As procedures.yaml allows.
_LONGEST_OVER = 240
_Z_95 = NormalDist().inv_cdf(0.95)


@dataclass(frozen=True, slots=True, kw_only=True)
class OverrunEstimate:
    """How visits run over: their share, and the lognormal minutes of those that do."""

    share: Estimate
    median: Estimate
    most: float
    """95 % of them run over by less."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcedureFigures:
    """What a book says of one procedure; None where it says too little. Minutes; shares from 0 to 1."""

    per_day: Estimate | None = None
    minutes: Estimate | None = None
    """The usual booked time, their median; its interval is that of the middle half of visits."""
    when: BookingTimes | None = None
    no_shows: Estimate | None = None
    """Only where it differs from that of all visits."""
    overrun: OverrunEstimate | None = None
    """Likewise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BookFigures:
    """What a book says of the practice, and of each procedure by id."""

    procedures: Mapping[str, ProcedureFigures]
    no_shows: Estimate | None
    overrun: OverrunEstimate | None


def figures_of(visits: Sequence[BookedVisit], days: OpenDays, hours: WorkingHours) -> BookFigures:
    """Return what a book says. All visits but cancelled ones count as booked; a day counts when it is busy."""
    over = [visit for visit in visits if visit.day not in set(days.to_come)]
    no_shows, overrun = _no_shows(over), _overrun(over)
    procedures = {}
    for id_ in sorted({visit.procedure for visit in visits}):
        mine = [visit for visit in over if visit.procedure == id_]
        minutes = _minutes(mine)
        procedures[id_] = ProcedureFigures(
            per_day=_per_day(mine, days),
            minutes=minutes,
            when=_when(mine, minutes, days, hours),
            no_shows=_if_apart(_no_shows(mine), no_shows),
            overrun=_overrun_if_apart(_overrun(mine), overrun),
        )
    return BookFigures(procedures=procedures, no_shows=no_shows, overrun=overrun)


def _per_day(mine: Sequence[BookedVisit], days: OpenDays) -> Estimate | None:
    if len(days.busy) < LEAST_DAYS:
        return None
    busy = set(days.busy)
    counts = Counter(visit.day for visit in mine if visit.standing != "cancelled" and visit.day in busy)
    if not counts:
        return None
    found = mean_of([counts[day] for day in days.busy], counts.total(), len(days.busy))
    return Estimate(value=found.value, low=max(0.0, found.low), high=found.high, visits=found.visits, days=found.days)


def _minutes(mine: Sequence[BookedVisit]) -> Estimate | None:
    booked = [visit for visit in mine if visit.booked and visit.standing != "cancelled"]
    if len(booked) < LEAST_BOOKED:
        return None
    times = sorted(visit.booked or 0 for visit in booked)
    quarter = len(times) // 4
    # A median that lies between two times that are in use is none of them: the lower one is.
    usual = times[(len(times) - 1) // 2] if median(times) not in times else median(times)
    return Estimate(value=usual, low=times[quarter], high=times[-1 - quarter], visits=len(booked), days=days_of(booked))


def _when(
    mine: Sequence[BookedVisit], minutes: Estimate | None, days: OpenDays, hours: WorkingHours
) -> BookingTimes | None:
    enough = len(days.busy) >= LEAST_DAYS
    return booking_times(mine, minutes.value if minutes else 0, hours) if enough else None


def _no_shows(visits: Sequence[BookedVisit]) -> Estimate | None:
    known = [visit for visit in visits if visit.standing in ("kept", "absent")]
    absent = sum(visit.standing == "absent" for visit in known)
    if len(known) < LEAST_VISITS or days_of(known) < LEAST_DAYS or not absent:
        return None
    return share_of(absent, known)


def _overrun(visits: Sequence[BookedVisit]) -> OverrunEstimate | None:
    over = [
        (visit, visit.took - visit.booked)
        for visit in visits
        if visit.took and visit.booked and visit.standing in ("kept", "booked")
    ]
    timed = [visit for visit, by in over if by <= _LONGEST_OVER]
    late = [(visit, log(by)) for visit, by in over if 0 < by <= _LONGEST_OVER]
    if len(timed) < LEAST_VISITS or days_of(timed) < LEAST_DAYS or len(late) < LEAST_OVER:
        return None
    logs = [by for _, by in late]
    mean = mean_of(logs, len(late), days_of(visit for visit, _ in late))
    middle = Estimate(value=exp(mean.value), low=exp(mean.low), high=exp(mean.high), visits=mean.visits, days=mean.days)
    most = exp(mean.value + _Z_95 * stdev(logs))
    return OverrunEstimate(share=share_of(len(late), timed), median=middle, most=most)


def _if_apart(mine: Estimate | None, all_: Estimate | None) -> Estimate | None:
    """A procedure's own figure, where that of all visits lies outside its interval."""
    if mine is None or all_ is None or mine.low <= all_.value <= mine.high:
        return None
    return mine


def _overrun_if_apart(mine: OverrunEstimate | None, all_: OverrunEstimate | None) -> OverrunEstimate | None:
    if mine is None or all_ is None:
        return None
    apart = _if_apart(mine.share, all_.share) or _if_apart(mine.median, all_.median)
    return mine if apart else None
