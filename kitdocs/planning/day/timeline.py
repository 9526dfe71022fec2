"""Pictures of the busy day as numbers: what is out of the store at each time, and the machines' loads."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from operator import add

from kitdocs.planning.day.flow import DayFlow
from kitdocs.planning.day.instants import DAY, seconds
from kitdocs.planning.day.items import ItemKind
from kitdocs.planning.day.stock import KindTimes, times_by_kind
from kitdocs.planning.day.tally import Tally
from kitdocs.practice.model import Practice

STEP = 10 * 60
"""Seconds between two times of a band."""

_ROWS = DAY // STEP


@dataclass(frozen=True, slots=True, kw_only=True)
class TimelineBand:
    """How many of a set are out of the store at each time: on half of the days at most `median`, on 95 % `high`.

    Times in seconds after midnight; after the last one nothing is out on 95 % of days.
    """

    id: str
    times: tuple[int, ...]
    median: tuple[int, ...]
    high: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadBar:
    """A load of a machine (counted from 1) and how many sets and pouches are in it."""

    stage: str
    machine: int
    start: int
    end: int
    sets: int
    pouches: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    """One day. `out` holds, for each set, (time, how many are out from then on); seconds after midnight."""

    day: int
    visits: int
    out: dict[str, tuple[tuple[int, int], ...]]
    loads: tuple[LoadBar, ...]
    ends: int


class BandTally:
    """Gathers, day by day, how many of each set are out at each time."""

    def __init__(self, practice: Practice, kinds: Sequence[ItemKind]) -> None:
        self._first = (seconds(practice.settings.day.opens) - seconds(practice.room.setup)) // STEP * STEP
        self._sets = [(n, kind.id) for n, kind in enumerate(kinds) if kind.role == "set"]
        # A count c at row r is tallied as c * rows + r, so that a whole day is added in one go.
        self._seen: dict[str, Counter[int]] = {id_: Counter() for _, id_ in self._sets}

    def add(self, times: Sequence[KindTimes]) -> None:
        """A day, kind by kind."""
        first = self._first
        for n, id_ in self._sets:
            outs, backs, *_ = times[n]
            if not outs:
                continue
            rows = min(_row(backs[-1] - first), _ROWS)  # from there on nothing is out
            change = [0] * (rows + 1)
            for out in outs:
                row = -((first - out) // STEP)  # as _row does; a call for each item would take as long as all else here
                change[row if 0 <= row <= rows else rows if row > 0 else 0] += _ROWS
            for back in backs:
                row = -((first - back) // STEP)
                change[row if 0 <= row <= rows else rows if row > 0 else 0] -= _ROWS
            self._seen[id_].update(map(add, accumulate(change), range(rows)))

    def result(self, days: int) -> dict[str, TimelineBand]:
        return {id_: self._band(id_, days) for _, id_ in self._sets}

    def _band(self, id_: str, days: int) -> TimelineBand:
        seen = self._seen[id_]
        rows = [Tally() for _ in range(min(max((key % _ROWS for key in seen), default=0) + 2, _ROWS))]
        for key, times in seen.items():
            count, row = divmod(key, _ROWS)
            rows[row].counts[count] = times
        for row_tally in rows:
            row_tally.counts[0] += days - len(row_tally)
        median, high = zip(*(tally.quantiles((0.5, 0.95)) for tally in rows), strict=True)
        shown = max((n for n, count in enumerate(high) if count), default=-1) + 2
        return TimelineBand(
            id=id_,
            times=tuple(self._first + n * STEP for n in range(min(shown, _ROWS))),
            median=median[:shown],
            high=high[:shown],
        )


def _row(since_first: int) -> int:
    """Return the first row at or after a time."""
    return -(-since_first // STEP) if since_first > 0 else 0


def timeline(practice: Practice, number: int, day: DayFlow, visits: int) -> Timeline:
    """Return the timeline of day `number` of a run."""
    return Timeline(
        day=number,
        visits=visits,
        out={
            kind.id: out_steps(times.outs, times.backs)
            for kind, times in zip(day.kinds, times_by_kind(day), strict=True)
            if kind.role == "set"
        },
        loads=tuple(_bars(practice, day)),
        ends=day.ended(seconds(practice.settings.day.closes)),
    )


def out_steps(outs: Sequence[int], backs: Sequence[int]) -> tuple[tuple[int, int], ...]:
    """Return (time, how many are out from then on) wherever that changes."""
    change = Counter(outs)
    change.subtract(backs)
    times = sorted(time for time, by in change.items() if by)
    return tuple(zip(times, accumulate(change[time] for time in times), strict=True))


def _bars(practice: Practice, day: DayFlow) -> list[LoadBar]:
    bars = []
    for id_, stay in zip(practice.room.stages, day.stays, strict=True):
        for load in stay.loads:
            kinds = [day.kinds[day.in_room[item]] for item in stay.loaded[load.first : load.end]]
            sets = sum(kind.in_cassette for kind in kinds)
            bars.append(
                LoadBar(
                    stage=id_,
                    machine=load.machine + 1,
                    start=load.start,
                    end=load.done,
                    sets=sets,
                    pouches=len(kinds) - sets,
                )
            )
    return bars
