"""The working day, and schedule.csv as a real one: one visit at a time at a chair, each where it is done."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from kitdocs.practice.draft import Draft
from kitdocs.practice.locations import Path
from kitdocs.practice.message import Clock, message
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules.looking import ANY, Values, error, ids, warning

#: A restocking this long before opening or after closing is taken for a slip. Common practice, no source.
_AROUND_THE_DAY = 120


def the_day_is_one(practice: Draft) -> Iterator[Problem]:
    """Opening before closing, the pause inside."""
    day = practice.settings.day
    if not day:
        return
    opens, closes, pause = Clock(day.opens), Clock(day.closes), day.pause
    if day.closes <= day.opens:
        yield error(practice, "day.closes", ("practice", "day", "closes"), closes=closes, opens=opens)
    if not pause:
        return
    path = ("practice", "day", "pause")
    if pause.end <= pause.start:
        yield error(practice, "day.pause-ends", (*path, "end"), end=Clock(pause.end), start=Clock(pause.start))
    elif day.opens < day.closes and (pause.start < day.opens or pause.end > day.closes):
        yield error(practice, "day.pause", path, opens=opens, closes=closes)


def visits_fit_the_day(practice: Draft) -> Iterator[Problem]:
    """A procedure is no longer than the longest stretch of the day without a pause."""
    day = practice.settings.day
    if not (day and practice.is_whole("practice", "day", ANY)):
        return
    cuts = [day.opens, *((day.pause.start, day.pause.end) if day.pause else ()), day.closes]
    longest = max(end - start for start, end in zip(cuts[::2], cuts[1::2], strict=True))
    for id_, procedure in practice.procedures.items():
        if procedure.minutes > longest:
            path = ("procedures", id_, "minutes")
            yield error(practice, "no-chair.minutes", path, minutes=procedure.minutes, longest=longest)


def restocking_times_are_plausible(practice: Draft) -> Iterator[Problem]:
    """Restocking times run forward, and lie near the working day."""
    day, times = practice.settings.day, practice.room.restock or ()
    for index, time in enumerate(times):
        path: Path = ("room", "restock", index)
        if index and time <= times[index - 1]:
            yield error(practice, "restock", path, time=Clock(time), before=Clock(times[index - 1]))
        elif (
            day and day.opens < day.closes and not (day.opens - _AROUND_THE_DAY <= time <= day.closes + _AROUND_THE_DAY)
        ):
            values: Values = {"time": Clock(time), "opens": Clock(day.opens), "closes": Clock(day.closes)}
            remedy = message("problems.half-of-the-day")
            yield warning(practice, "problems.restock", path, remedy=remedy, **values)


def scheduled_visits_lie_in_the_day(practice: Draft) -> Iterator[Problem]:
    """No visit starts before opening or ends after closing: most often the wrong half of the day."""
    day = practice.settings.day
    if not (day and practice.is_whole("practice", "day", ANY)):
        return
    for index, visit in practice.schedule.items():
        end = visit.start + visit.minutes
        if visit.start < day.opens or end > day.closes:
            visited: Values = {"start": Clock(visit.start), "end": Clock(end)}
            hours: Values = {"opens": Clock(day.opens), "closes": Clock(day.closes)}
            remedy = message("problems.half-of-the-day")
            path = ("schedule", index, "start")
            yield warning(practice, "problems.outside-the-day", path, remedy=remedy, **visited, **hours)


def one_visit_at_a_time_at_a_chair(practice: Draft) -> Iterator[Problem]:
    """A visit begins when the one before at its chair has ended; else the day needs more sets than it could use."""
    in_turn = sorted(practice.schedule.items(), key=lambda item: (item[1].day, item[1].chair, item[1].start, item[0]))
    for (before, one), (index, visit) in pairwise(in_turn):
        end = one.start + one.minutes
        if (one.day, one.chair) == (visit.day, visit.chair) and visit.start < end:
            line = practice.places.key("schedule", before).line
            path = ("schedule", index, "start")
            yield warning(practice, "problems.chair-taken", path, chair=visit.chair, line=str(line), end=Clock(end))


def scheduled_visits_are_at_their_chairs(practice: Draft) -> Iterator[Problem]:
    """A procedure that names its chairs is scheduled at one of them."""
    known = ids(practice, "chairs")
    for index, visit in practice.schedule.items():
        chairs = practice.procedures[visit.procedure].chairs if visit.procedure in practice.procedures else ()
        if chairs and visit.chair in known and visit.chair not in chairs:
            values: Values = {"procedure": visit.procedure, "chairs": ", ".join(chairs), "chair": visit.chair}
            yield warning(practice, "problems.another-chair", ("schedule", index, "chair"), **values)
