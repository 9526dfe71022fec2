"""The appointment book: times at which a visit can begin, and how visits run over."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, fsum

from kitdocs.practice.book import Overrun, Window, window
from kitdocs.practice.draft import Draft
from kitdocs.practice.locations import Path
from kitdocs.practice.message import Clock
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules.looking import ANY, Values, error
from kitdocs.practice.settings import WorkingDay

#: Minutes between two times at which a visit can begin, counted from the start of the half-day.
_GRID = 5

_NOON = 12 * 60


def visits_can_begin_when_they_are_booked(practice: Draft) -> Iterator[Problem]:
    """At each time at which a procedure is booked, one visit at least is over before the break or closing."""
    day = practice.settings.day
    if not (day and day.opens < day.closes and practice.is_whole("practice", "day", ANY)):
        return
    for id_, procedure in practice.procedures.items():
        if not practice.is_whole("procedures", id_, "minutes"):
            continue
        for when in procedure.windows:
            if not _can_begin(day, when, procedure.minutes):
                path: Path = ("procedures", id_, "when")
                in_shares = procedure.when is not when
                start, end = _span(day, when)
                yield error(
                    practice,
                    "when.no-start",
                    (*path, _as_written(practice, path, when)) if in_shares else path,
                    at_key=in_shares,
                    when=when,
                    minutes=procedure.minutes,
                    start=Clock(max(start, day.opens)),
                    end=Clock(min(end, day.closes)),
                )


def shares_of_times_are_shares_of_one(practice: Draft) -> Iterator[Problem]:
    """The times at which a procedure is booked take no more than all of its visits."""
    for id_, procedure in practice.procedures.items():
        together = fsum(procedure.windows.values())
        if together > 1 + 1e-9:
            yield error(practice, "when.shares", ("procedures", id_, "when"), percent=100 * together)


def visits_run_over_by_more_at_most(practice: Draft) -> Iterator[Problem]:
    """What 95 % of the visits that run over stay below is not less than what half of them do."""
    written: list[tuple[Path, Overrun | None]] = [(("practice", "overrun"), practice.settings.read.get("overrun"))]
    written += [(("procedures", id_, "overrun"), procedure.overrun) for id_, procedure in practice.procedures.items()]
    for path, overrun in written:
        if overrun and overrun.most < overrun.median:
            values: Values = {"most": overrun.most, "median": overrun.median}
            yield error(practice, "overrun", (*path, "most"), **values)


def _span(day: WorkingDay, when: Window) -> tuple[int, int]:
    noon = day.pause.start if day.pause else _NOON
    return {"morning": (0, noon), "afternoon": (noon, 24 * 60)}.get(when.half or "", (when.start, when.end))


def _can_begin(day: WorkingDay, when: Window, minutes: float) -> bool:
    begin, until = _span(day, when)
    takes = ceil(minutes / _GRID) * _GRID
    cuts = [day.opens, *((day.pause.start, day.pause.end) if day.pause else ()), day.closes]
    for opens, closes in zip(cuts[::2], cuts[1::2], strict=True):
        first = opens + max(0, ceil((begin - opens) / _GRID)) * _GRID
        if first < until and first + takes <= closes:
            return True
    return False


def _as_written(practice: Draft, path: Path, when: Window) -> str:
    """Return the key of a share as somebody wrote it: 8:00 and 08:00 are one time."""
    for known in practice.places.keys:
        if known[:-1] == path and window(known[-1]) == when:
            return str(known[-1])
    return str(when)
