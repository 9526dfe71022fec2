"""Sentences about an appointment book: each figure with its interval and what it rests on, and what is not stated."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from datetime import date

from kitdocs.importing.book_records import overrun_of, per_day_of, share_of_visits, when_of
from kitdocs.importing.booking_times import LEAST_DAYS, LEAST_FOR_HALF, LEAST_FOR_SPANS, BookingTimes
from kitdocs.importing.estimates import (
    LEAST_OVER,
    LEAST_VISITS,
    BookFigures,
    OverrunEstimate,
    ProcedureFigures,
)
from kitdocs.importing.evidence import Estimate
from kitdocs.importing.visits import BookedVisit, OpenDays
from kitdocs.practice.book import Window
from kitdocs.practice.message import Clock, Fixed, Joined, Message, Share, Value, counted, message


def told_of(
    figures: BookFigures, days: OpenDays, visits: Sequence[BookedVisit], scheduled: Sequence[date], *, unknown: int = 0
) -> Iterator[Message]:
    """Yield what a person should know of the book and of the figures of all visits, in the order of reading.

    `unknown` are the visits that do not count, because nobody can be asked what they are for.
    """
    standing = Counter(visit.standing for visit in visits)
    found = len({visit.day for visit in visits})
    yield counted("appointments.told.visits", len(visits), days=counted("appointments.on-days", found))
    if unknown:
        yield counted("appointments.told.unknown", unknown, all=len(visits) + unknown)
    if standing["cancelled"]:
        yield counted("appointments.told.cancelled", standing["cancelled"])
    yield from _of_days(days)
    yield from _of_seldom(visits, days)
    everyone = message("appointments.told.all-visits")
    if figures.no_shows:
        yield _no_shows(everyone, figures.no_shows)
    elif standing["absent"]:
        known = standing["absent"] + standing["kept"]
        yield message("appointments.told.no-shows-unsure", visits=known, least=LEAST_VISITS, days=LEAST_DAYS)
    if figures.overrun:
        yield _overrun(everyone, figures.overrun)
    elif any(visit.took for visit in visits):
        yield message("appointments.told.overrun-unsure", least=LEAST_VISITS, over=LEAST_OVER, days=LEAST_DAYS)
    if scheduled:
        yield counted("appointments.told.scheduled", len(scheduled), day=scheduled[0].isoformat())


def _of_days(days: OpenDays) -> Iterator[Message]:
    names: tuple[Value, ...] = tuple(message(f"appointments.weekday.{n}") for n in days.busy_weekdays)
    if names:
        yield counted("appointments.told.busy", len(days.busy), weekdays=Joined(names))
    if days.quiet:
        yield counted("appointments.told.quiet", len(days.quiet))
    if days.to_come:
        yield counted("appointments.told.to-come", len(days.to_come))
    if 0 < len(days.busy) < LEAST_DAYS:
        yield counted("appointments.told.too-few", len(days.busy), least=LEAST_DAYS)


def _of_seldom(visits: Sequence[BookedVisit], days: OpenDays) -> Iterator[Message]:
    """Which procedures have too few visits for a time of day, where there are days enough."""
    if len(days.busy) < LEAST_DAYS:
        return
    of_days: defaultdict[str, Counter[date]] = defaultdict(Counter)
    for visit in visits:
        if visit.standing != "cancelled" and visit.day not in days.to_come:
            of_days[visit.procedure][visit.day] += 1
    seldom = [id_ for id_, on in sorted(of_days.items()) if on.total() < LEAST_FOR_HALF or len(on) < LEAST_DAYS]
    if seldom:
        yield message(
            "appointments.told.when-unsure", names=Joined(tuple(seldom)), least=LEAST_FOR_HALF, days=LEAST_DAYS
        )


def told_of_procedure(id_: str, found: ProcedureFigures) -> Iterator[Message]:
    """Yield the sentences about each figure of a procedure."""
    name = id_
    if found.per_day:
        value = Fixed(found.per_day.value, 2 if per_day_of(found.per_day.value) < 1 else 1)
        between: dict[str, Value] = {"low": Fixed(found.per_day.low, 1), "high": Fixed(found.per_day.high, 1)}
        key = (
            "appointments.told.per-day" if found.per_day.low < found.per_day.high else "appointments.told.per-day-alike"
        )
        yield message(key, name=name, value=value, **between, **_rests(found.per_day))
    if found.minutes:
        minutes: dict[str, Value] = {
            "minutes": found.minutes.value,
            "low": found.minutes.low,
            "high": found.minutes.high,
        }
        key = (
            "appointments.told.minutes" if found.minutes.low < found.minutes.high else "appointments.told.minutes-alike"
        )
        yield message(key, name=name, **minutes, **_rests(found.minutes))
    if found.when:
        yield from _when(name, found.when)
    if found.no_shows:
        yield _no_shows(message("appointments.told.of", name=name), found.no_shows)
    if found.overrun:
        yield _overrun(message("appointments.told.of", name=name), found.overrun)


def _when(name: str, found: BookingTimes) -> Iterator[Message]:
    """The times, and why they are no finer where they are halves of the day."""
    written = when_of(found)
    times: list[Value] = [_time(window) for window in found.windows]
    if not isinstance(written, str):
        shared = zip(written.values(), times, strict=True)
        times = [message("appointments.told.when-share", share=share, time=time) for share, time in shared]
    key = "appointments.told.when-all" if found.all else "appointments.told.when"
    yield message(key, name=name, times=Joined(tuple(times)), **_within(found.share), **_rests(found.share))
    why = {"few": {"least": LEAST_FOR_SPANS}}.get(found.coarse or "", {})
    yield message(f"appointments.told.when-{found.coarse or 'tried'}", name=name, **why)


def _time(window: Window) -> Message:
    if window.half:
        return message(f"appointments.half.{window.half}")
    return message("appointments.told.between", start=Clock(window.start), end=Clock(window.end))


def _no_shows(of: Message, found: Estimate) -> Message:
    share = share_of_visits(found.value)
    return message("appointments.told.no-shows", of=of, share=share, **_within(found), **_rests(found))


def _overrun(of: Message, found: OverrunEstimate) -> Message:
    written = overrun_of(found)
    return message(
        "appointments.told.overrun",
        of=of,
        share=written["share"],
        **_within(found.share),
        median=written["median"],
        shortest=Fixed(found.median.low, 1),
        longest=Fixed(found.median.high, 1),
        most=written["most"],
        late=counted("appointments.visits", found.median.visits),
        **_rests(found.share),
    )


def _within(found: Estimate) -> dict[str, Value]:
    return {"low": Share(found.low, 1), "high": Share(min(1.0, found.high), 1)}


def _rests(found: Estimate) -> dict[str, Value]:
    """On how much a figure rests."""
    return {
        "visits": counted("appointments.visits", found.visits),
        "days": counted("appointments.on-days", found.days),
    }
