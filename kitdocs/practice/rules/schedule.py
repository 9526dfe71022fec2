"""schedule.csv as a real day: inside the working day, one visit at a time at a chair, each where it is done."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from kitdocs.practice.draft import Draft
from kitdocs.practice.message import Clock, message
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules.looking import ANY, Values, ids, warning, whole


def scheduled_visits_lie_in_the_day(practice: Draft) -> Iterator[Problem]:
    """No visit starts before opening or ends after closing: most often the wrong half of the day."""
    day = practice.settings.day
    if not (day and whole(practice, "practice", "day", ANY)):
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
