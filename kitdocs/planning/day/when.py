"""Half-days, and at which times of them a visit may be booked to begin."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kitdocs.planning.day.half_day import Times
from kitdocs.planning.day.instants import DAY, seconds
from kitdocs.practice.book import Window
from kitdocs.practice.model import Practice

GRID = 5 * 60
"""Seconds between two times at which a visit can start."""


@dataclass(frozen=True, slots=True)
class HalfDay:
    """A chair from opening to the break, or from the break to closing. `slots` of the grid fit in."""

    chair: str
    row: int
    start: int
    slots: int


def half_days(practice: Practice) -> tuple[HalfDay, ...]:
    """Return every chair's half-days, in the order of the chairs; whole days when there is no break."""
    day = practice.settings.day
    spans = [(day.opens, day.closes)]
    if day.pause:
        spans = [(day.opens, day.pause.start), (day.pause.end, day.closes)]
    return tuple(
        HalfDay(chair, row, seconds(start), seconds(end - start) // GRID)
        for chair in practice.chairs
        for row, (start, end) in enumerate(spans)
    )


def in_order(times: Mapping[Window, float]) -> list[tuple[Window, float]]:
    """Return the times of a procedure with their shares: morning, afternoon, then spans by start and end."""
    halves = ("morning", "afternoon", None)
    return sorted(times.items(), key=lambda each: (halves.index(each[0].half), each[0].start, each[0].end))


def starts_allowed(
    practice: Practice, when: Window, slots: int, halves: Mapping[int, HalfDay]
) -> Mapping[int, Times] | None:
    """Return when visits of so many slots may begin, by half-day; None when that is at any time of all of them."""
    begin, end = _span(practice, when)
    found = {}
    at_any_time = True
    for n, half in halves.items():
        last = half.slots - slots
        earliest, latest = (-(-(at - half.start) // GRID) for at in (begin, end))
        times = Times(max(0, earliest), min(last, latest - 1), slots)
        at_any_time &= (times.earliest, times.latest) == (0, last)
        if times.earliest <= times.latest:
            found[n] = times
    return None if at_any_time else found


def _span(practice: Practice, when: Window) -> tuple[int, int]:
    """Return from when on and before when a visit begins, in seconds after midnight."""
    pause = practice.settings.day.pause
    noon = seconds(pause.start) if pause else DAY // 2
    if when.half == "morning":
        return 0, noon
    if when.half == "afternoon":
        return noon, DAY
    return seconds(when.start), seconds(when.end)
