"""People of the room, what is left overnight, and days on which something is broken, as the plan's JSON has them."""

from __future__ import annotations

from typing import Any

from kitdocs.planning.day.breaking import Breakdown, BrokenDay
from kitdocs.planning.day.evening import Nights, PersonDay
from kitdocs.practice.values import clock_text

Plain = dict[str, Any]


def person_json(person: PersonDay) -> Plain:
    """Return one of the people on a busy day."""
    return {
        "there_minutes": round(person.there / 60, 1),
        "work_minutes_mean": round(person.work.mean / 60, 1),
        "work_minutes_95_percent": round(person.work.high / 60, 1),
        "utilisation_percent": round(person.utilisation * 100, 1),
    }


def nights_json(nights: Nights | None) -> Plain | None:
    """Return what is left in the evening; None where the room is never left."""
    if nights is None:
        return None
    return {
        "closes_at": clock_text(nights.closes / 60),
        "evenings_percent": round(nights.nights * 100, 1),
        "sets_and_pouches_left_mean": round(nights.items.mean, 2),
        "sets_and_pouches_left_95_percent": nights.items.high,
        "sets_left_mean": round(nights.sets.mean, 2),
        "second_night_percent": round(nights.second * 100, 1),
        "waiting_at_stages_mean": {id_: round(count, 2) for id_, count in nights.waiting_at.items()},
    }


def breakdown_json(breakdown: Breakdown) -> Plain:
    """Return what a day comes to when something breaks, beside the same days without it."""
    return {
        "cause": breakdown.cause,
        "stage": breakdown.stage or None,
        "person": breakdown.person or None,
        "days": breakdown.days,
        "stops_at_stage": breakdown.stops or None,
        "usual": _day(breakdown.usual),
        "broken": _day(breakdown.broken),
        "otherwise": breakdown.otherwise and _day(breakdown.otherwise),
    }


def _day(day: BrokenDay) -> Plain:
    return {
        "waits_per_day_mean": round(day.waits.mean, 2),
        "waits_per_day_95_percent": day.waits.high,
        "days_with_waits_percent": round(day.days_with_waits * 100, 1),
        "waits_per_day_mean_of": {id_: round(count, 2) for id_, count in day.waits_by_kind.items()},
        "first_wait_at_median": None if day.first_wait is None else clock_text(day.first_wait / 60),
        "ends_at_median": day.ends and clock_text(day.ends.median / 60),
        "ends_at_95_percent": day.ends and clock_text(day.ends.high / 60),
        "sets_and_pouches_out_in_the_morning_mean": round(day.left.mean, 2),
        "sets_and_pouches_out_in_the_morning_95_percent": day.left.high,
        "sets_for_the_promise": day.sets,
    }
