"""The steps that a joint choice (`joint.py`) can take: what days still lack, while more and more is added.

A step is what a day that is not kept lacks, of all kinds together. It *wins* each day that lacks nothing else. Only
days that a step changes are looked at again. Days are bits of a whole number: bit 0 is the first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import prod
from typing import NamedTuple, TypeAlias

Step: TypeAlias = "tuple[tuple[int, int], ...]"
"""Some kinds, each by its number, and how many more of it."""

_PARTS = 8
"""A step with no more parts than this is counted part by part, a larger one on all days at once."""


class Wanted(NamedTuple):
    """What days want beyond the floor. Kinds are numbers."""

    prices: Sequence[int]
    enough: Sequence[Sequence[int]]
    """By kind and by count, the days on which that is enough."""
    by_day: Mapping[int, Sequence[tuple[int, int]]]
    """By number of the day, each kind of which it needs more than the floor, and how many it needs."""
    scarcest: Sequence[int]
    """The kinds that are in `by_day`, first those of which the floor is enough on the fewest days."""


def numbers(days: int) -> Iterator[int]:
    """Yield the numbers of some days, the first first."""
    while days:
        first = days & -days
        yield first.bit_length() - 1
        days ^= first


@dataclass(slots=True)
class _Lack:
    """The days that lack the same, and what that costs. `kinds` has a bit for each kind of it."""

    days: int
    cost: int
    kinds: int
    wins: int | None = None
    """How many days the step wins; None where that has to be counted anew."""


class Lacking:
    """What days lack, while more and more is added to the counts, for less than `within` in all."""

    def __init__(self, wanted: Wanted, counts: Sequence[int], days: int, within: float) -> None:
        self._wanted, self._within = wanted, within
        self.counts = list(counts)
        self.days = 0
        """Those that what is left of `within` could still keep."""
        self._steps: dict[Step, _Lack] = {}
        self._step_of: dict[int, Step] = {}
        for day in numbers(days):
            self._note(day)

    def _note(self, day: int) -> Step:
        """Note what a day lacks; return it."""
        counts = self.counts
        step = tuple([(n, need - counts[n]) for n, need in self._wanted.by_day[day] if need > counts[n]])
        lack = self._steps.get(step)
        if lack is None:
            cost, kinds = 0, 0
            for n, more in step:
                cost += more * self._wanted.prices[n]
                kinds |= 1 << n
            if not 0 < cost < self._within:
                return step
            lack = self._steps[step] = _Lack(0, cost, kinds)
        lack.days |= 1 << day
        self.days |= 1 << day
        self._step_of[day] = step
        return step

    def best_step(self) -> Step:
        """Return the step that wins most days for its money: of two alike the cheaper, then that of the first day."""
        best: tuple[float, int, int] = (0.0, 0, 0)
        taken: Step = ()
        for step, lack in self._steps.items():
            if lack.wins is None:
                lack.wins = self._wins(step, lack)
            worth = lack.wins / lack.cost
            if worth >= best[0]:
                key = (worth, -lack.cost, -(lack.days & -lack.days))
                if key > best or not taken:
                    best, taken = key, step
        return taken

    def _wins(self, step: Step, lack: _Lack) -> int:
        if prod([more + 1 for _, more in step]) <= _PARTS:
            parts: list[Step] = [()]
            for n, more in step:
                parts = [(*part, (n, some)) if some else part for part in parts for some in range(more + 1)]
            return sum([self._steps[part].days.bit_count() for part in parts if part in self._steps])
        won, counts, enough = self.days, self.counts, self._wanted.enough
        for n, more in step:
            won &= enough[n][counts[n] + more]
        for n in self._wanted.scarcest:
            if won == lack.days:
                break
            if not lack.kinds >> n & 1:
                won &= enough[n][counts[n]]
        return won.bit_count()

    def take(self, step: Step) -> int:
        """Add a step to the counts; return the days that lack nothing any more."""
        changed = 0
        for n, more in step:
            changed |= ~self._wanted.enough[n][self.counts[n]]
            self.counts[n] += more
            self._within -= more * self._wanted.prices[n]
        changed &= self.days
        self.days ^= changed
        kept = touched = 0
        for day in numbers(changed):
            before = self._step_of[day]
            self._steps[before].days ^= 1 << day
            now = self._note(day)
            if not now:
                kept |= 1 << day
            touched |= 1 << (now or before)[0][0]  # what holds all of that holds its first kind
        for other, lack in list(self._steps.items()):
            if not lack.days or lack.cost >= self._within:
                self.days &= ~lack.days
                del self._steps[other]
            elif lack.kinds & touched:
                lack.wins = None
        return kept
