"""Counts chosen together: the cheapest, or nearly, with which on so many of the simulated days nothing at all is short.

Given is, for each simulated day and each kind, how many would have been needed; how the days came about does not
matter. A day is *kept* when no kind needs more than its count. To choose, in this order:

1. *Floor.* Every kind starts at the least count that is enough for it alone on the share of days asked for: fewer can
   never do, since a day that is kept is kept for every kind.
2. *Add.* What a day that is not kept still lacks, of all kinds together, is a step. Taken is the step that makes most
   days kept for its money; of two alike the cheaper, then the one whose day comes first. Until enough days are kept.
   This is marginal analysis, as for spare parts of several kinds (SOURCES: METRIC).
3. *Prune.* Piece by piece, the dearest kind first (of two alike the first named), what can go goes.
4. *Exchange.* A piece of one kind, then one of each of two kinds, is taken away, and steps 2 and 3 look for something
   else that does for less money; the first that is found stays, and so on until none is. Only so many kinds are tried
   in twos (`IN_TWOS`), so that a practice of forty chairs does not wait for cents.

Days are bits of a whole number, so that many days are looked at in one operation. No random number is used. The order
in which kinds are named decides nothing: they stand by price, then by what the days need, then by id.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations, count
from math import prod
from typing import Generic, TypeAlias, TypeVar

Kind = TypeVar("Kind", bound=Hashable)

Step: TypeAlias = "tuple[tuple[int, int], ...]"
"""Some kinds, each by its number, and how many more of it."""

IN_TWOS = 24
"""Kinds above their floor that are at most exchanged two at a time."""


_PARTS = 64
"""A step with no more parts than this is counted part by part, a larger one on all days at once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KindNeeds:
    """How many of one kind each day needs, and what one costs: any whole number above 0."""

    by_day: tuple[int, ...]
    price: int
    least: int = 0
    """Never fewer than these, however few are needed."""
    written: int | None = None
    """A count that is not to be chosen: it stays."""


def days_asked(share: float, days: int) -> int:
    """Return how many of the days are at least `share` of them: 950 of 1,000 are 95 %."""
    return math.ceil(share * days - 1e-9)  # 0.95 is a little more or less than 95/100


@dataclass(frozen=True, slots=True)
class JointNeeds(Generic[Kind]):
    """What each of so many simulated days needs of every kind.

    Raises ValueError where a kind does not say one number for each day.
    """

    kinds: Mapping[Kind, KindNeeds]
    days: int
    _enough: list[list[int]] = field(init=False, repr=False, compare=False)
    """By number of the kind and by count, the days on which that is enough: bit 0 is the first."""

    def __post_init__(self) -> None:
        if any(len(kind.by_day) != self.days for kind in self.kinds.values()):
            raise ValueError(f"not every kind has {self.days} days")
        by_what_they_are = sorted(self.kinds.items(), key=lambda each: (each[1].price, each[1].by_day, str(each[0])))
        object.__setattr__(self, "kinds", dict(by_what_they_are))
        object.__setattr__(self, "_enough", [_enough_by_count(kind.by_day) for kind in self.kinds.values()])

    @property
    def every_day(self) -> int:
        return (1 << self.days) - 1

    def enough(self, number: int, some: int) -> int:
        """Return the days on which so many of that kind are enough."""
        by_count = self._enough[number]
        return (by_count[some] if some < len(by_count) else self.every_day) if some >= 0 else 0

    def kept_days(self, counts: Mapping[Kind, int]) -> int:
        """Return the days that are kept with these counts: bit 0 is the first."""
        kept = self.every_day
        for number, kind in enumerate(self.kinds):
            kept &= self.enough(number, counts[kind])
        return kept

    def kept(self, counts: Mapping[Kind, int]) -> int:
        """Return how many days are kept with these counts."""
        return self.kept_days(counts).bit_count()

    def enough_alone(self, kind: Kind, some: int) -> int:
        """Return on how many days so many of one kind are enough, whatever the others are."""
        return sum(need <= some for need in self.kinds[kind].by_day)

    def price(self, counts: Mapping[Kind, int]) -> int:
        """Return what these counts cost."""
        return sum(kind.price * counts[id_] for id_, kind in self.kinds.items())

    def with_written(self, written: Mapping[Kind, int]) -> JointNeeds[Kind]:
        """Return the same needs with these written counts and no others."""
        return JointNeeds({id_: replace(kind, written=written.get(id_)) for id_, kind in self.kinds.items()}, self.days)

    def of_days(self, days: Sequence[int]) -> JointNeeds[Kind]:
        """Return the needs of some of the days, by number from 0; one may come again."""
        return JointNeeds(
            {id_: replace(kind, by_day=tuple([kind.by_day[day] for day in days])) for id_, kind in self.kinds.items()},
            len(days),
        )

    def choose(self, share: float, *, exchange: bool = True) -> dict[Kind, int]:
        """Return the counts, by kind, that keep at least `share` of the days (0 up to 1).

        Where written counts are too small for that, the other kinds are chosen as if they were always enough. Without
        `exchange` step 4 is left out.
        """
        return _Choice(self, share).made(exchange=exchange)


def _enough_by_count(by_day: Sequence[int]) -> list[int]:
    days_of = [0] * (max(by_day, default=0) + 1)
    for day, need in enumerate(by_day):
        days_of[need] |= 1 << day
    enough, so_far = [], 0
    for days in days_of:
        so_far |= days
        enough.append(so_far)
    return enough


class _Choice(Generic[Kind]):
    """The choice for one share. Kinds are numbers here, in the order of the needs."""

    def __init__(self, needs: JointNeeds[Kind], share: float) -> None:
        self._needs = needs
        kinds = list(needs.kinds.values())
        self._asked = days_asked(share, needs.days)
        self._prices = [kind.price for kind in kinds]
        self._free = [n for n, kind in enumerate(kinds) if kind.written is None]
        self._possible = needs.every_day
        for n, kind in enumerate(kinds):
            if kind.written is not None:
                self._possible &= needs.enough(n, kind.written)
        if self._possible.bit_count() < self._asked:
            self._possible = needs.every_day
        self._floor = [self._least(n, kind) for n, kind in enumerate(kinds)]
        self._above: dict[int, list[tuple[int, int]]] = {}  # by day, what needs more than its floor
        for n in self._free:
            floor = self._floor[n]
            for day, need in enumerate(kinds[n].by_day):
                if need > floor:
                    self._above.setdefault(day, []).append((n, need))

    def _least(self, n: int, kind: KindNeeds) -> int:
        """Step 1."""
        if kind.written is not None:
            return kind.written
        alone = next(c for c in count() if (self._needs.enough(n, c) & self._possible).bit_count() >= self._asked)
        return max(alone, kind.least)

    def made(self, *, exchange: bool) -> dict[Kind, int]:
        added = self._added(self._floor, {})
        counts = self._pruned(added or self._floor)
        while exchange and (better := self._cheaper(counts)):
            counts = better
        return dict(zip(self._needs.kinds, counts, strict=True))

    def _days_kept(self, counts: Sequence[int]) -> int:
        kept = self._possible
        for n in self._free:
            kept &= self._needs.enough(n, counts[n])
        return kept

    def _added(self, counts: Sequence[int], limits: Mapping[int, int], within: float = math.inf) -> list[int] | None:
        """Step 2, for less than `within`; `limits` are counts, by kind, that stay out of reach.

        None where that cannot be.
        """
        counts = list(counts)
        kept = self._days_kept(counts)
        while (missing := self._asked - kept.bit_count()) > 0:
            steps = self._steps(counts, self._possible & ~kept, limits, within)
            if sum(days for days, _ in steps.values()) < missing:
                return None
            best: tuple[float, int] | None = None
            taken: Step = ()
            for step, (_, cost) in steps.items():
                worth = self._won(counts, kept, step, steps) / cost, -cost
                if best is None or worth > best:
                    best, taken = worth, step
            for n, more in taken:
                counts[n] += more
                within -= more * self._prices[n]
            kept = self._days_kept(counts)
        return counts

    def _won(self, counts: Sequence[int], kept: int, step: Step, steps: Mapping[Step, tuple[int, int]]) -> int:
        """Return how many days more a step keeps: those that lack nothing but what is in it."""
        if prod(more + 1 for _, more in step) <= _PARTS:
            parts: list[Step] = [()]
            for n, more in step:
                parts = [(*part, (n, some)) if some else part for part in parts for some in range(more + 1)]
            return sum([steps[part][0] for part in parts if part in steps])
        stepped = list(counts)
        for n, more in step:
            stepped[n] += more
        return self._days_kept(stepped).bit_count() - kept.bit_count()

    def _steps(
        self, counts: Sequence[int], days: int, limits: Mapping[int, int], within: float
    ) -> dict[Step, tuple[int, int]]:
        """Return what each of these days lacks, where it costs less than `within`: on how many days, and its cost."""
        steps: dict[Step, tuple[int, int]] = {}
        prices, above = self._prices, self._above
        while days:
            day = (days & -days).bit_length() - 1
            days &= days - 1
            cost, lacking = 0, []
            for n, need in above[day]:
                more = need - counts[n]
                if more > 0:
                    cost += more * prices[n]
                    if cost >= within or (n in limits and need >= limits[n]):
                        break
                    lacking.append((n, more))
            else:
                step = tuple(lacking)
                steps[step] = steps.get(step, (0, 0))[0] + 1, cost
        return steps

    def _pruned(self, counts: Sequence[int]) -> list[int]:
        """Step 3."""
        counts = list(counts)
        for n in sorted(self._free, key=lambda n: -self._prices[n]):
            while counts[n] > self._floor[n]:
                counts[n] -= 1
                if self._days_kept(counts).bit_count() < self._asked:
                    counts[n] += 1
                    break
        return counts

    def _cheaper(self, counts: list[int]) -> list[int] | None:
        """Step 4, once: cheaper counts, if there are any."""
        above = [n for n in self._free if counts[n] > self._floor[n]]
        twos = combinations(above, 2) if len(above) <= IN_TWOS else ()
        for taken in (*((n,) for n in above), *twos):
            fewer = list(counts)
            for n in taken:
                fewer[n] -= 1
            saved = sum(self._prices[n] for n in taken)
            tried = self._added(fewer, {n: counts[n] for n in taken}, saved)
            if tried is not None:
                return self._pruned(tried)
        return None
