"""Counts chosen together: the cheapest, or nearly, with which on so many of the simulated days nothing at all is short.

Given is, for each simulated day and each kind, how many would have been needed; how the days came about does not
matter. A day is *kept* when no kind needs more than its count. To choose, in this order:

1. *Floor.* Every kind starts at the least count that is enough for it alone on the share of days asked for: fewer can
   never do, since a day that is kept is kept for every kind.
2. *Add.* What a day that is not kept still lacks, of all kinds together, is a step. Taken is the step that makes most
   days kept for its money; of two alike the cheaper, then the one whose day comes first. Until enough days are kept.
   This is marginal analysis, as for spare parts of several kinds (SOURCES: METRIC).
3. *Prune.* Piece by piece, the dearest kind first (of two alike the first named), what can go goes.
4. *Exchange.* A piece of one kind, then several of one kind, then one of each of two kinds is taken away, and steps 2
   and 3 look for something else that does for less money; the first that is found stays, and so on until none is. Only
   so many kinds are tried in twos (`IN_TWOS`), so that a practice of forty chairs does not wait for cents.

A count that somebody *wrote* moves no other where it need not: the others are chosen as if none was written. Where the
written ones are then too few for the promise, the others become more and never fewer. So one more pouch in one drawer
changes what is posted at that drawer alone; without this, a cheaper mix would be found all over the room.

Days are bits of a whole number, so that many days are looked at in one operation. No random number is used. The order
in which kinds are named decides nothing: they stand by price, then by what the days need, then by id.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Hashable, Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field, replace
from functools import reduce
from itertools import accumulate, combinations
from operator import and_, or_
from typing import Generic, TypeVar

from kitdocs.planning.day.lacking import Lacking, Wanted, numbers

Kind = TypeVar("Kind", bound=Hashable)

IN_TWOS = 24
"""Kinds above their floor that are at most exchanged two at a time."""


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
    _enough: dict[Kind, list[int]] = field(init=False, repr=False, compare=False)
    """By kind and by count, the days on which that is enough: bit 0 is the first. The last are all days."""

    def __post_init__(self) -> None:
        if any(len(kind.by_day) != self.days for kind in self.kinds.values()):
            raise ValueError(f"not every kind has {self.days} days")
        by_what_they_are = sorted(self.kinds.items(), key=lambda each: (each[1].price, each[1].by_day, str(each[0])))
        object.__setattr__(self, "kinds", dict(by_what_they_are))
        object.__setattr__(self, "_enough", {id_: _enough_by_count(kind.by_day) for id_, kind in self.kinds.items()})

    @property
    def every_day(self) -> int:
        return (1 << self.days) - 1

    def enough(self, kind: Kind, some: int) -> int:
        """Return the days on which so many of one kind are enough, whatever the others are."""
        by_count = self._enough[kind]
        return by_count[min(some, len(by_count) - 1)] if some >= 0 else 0

    def kept_days(self, counts: Mapping[Kind, int]) -> int:
        """Return the days that are kept with these counts: bit 0 is the first."""
        kept = self.every_day
        for kind in self.kinds:
            kept &= self.enough(kind, counts[kind])
        return kept

    def kept(self, counts: Mapping[Kind, int]) -> int:
        """Return how many days are kept with these counts."""
        return self.kept_days(counts).bit_count()

    def kept_but_for(self, counts: Mapping[Kind, int]) -> dict[Kind, int]:
        """Return, for each kind, the days that would be kept with these counts if of it there were always enough."""
        enough = [self.enough(kind, counts[kind]) for kind in self.kinds]
        return dict(zip(self.kinds, _all_but_one(enough, self.every_day), strict=True))

    def price(self, counts: Mapping[Kind, int]) -> int:
        """Return what these counts cost."""
        return sum(kind.price * counts[id_] for id_, kind in self.kinds.items())

    def with_written(self, written: Mapping[Kind, int]) -> JointNeeds[Kind]:
        """Return the same needs with these written counts and no others."""
        needs = copy(self)
        kinds = {id_: replace(kind, written=written.get(id_)) for id_, kind in self.kinds.items()}
        object.__setattr__(needs, "kinds", kinds)
        return needs

    def of_days(self, days: Sequence[int]) -> JointNeeds[Kind]:
        """Return the needs of some of the days, by number from 0; one may come again."""
        return JointNeeds(
            {id_: replace(kind, by_day=tuple([kind.by_day[day] for day in days])) for id_, kind in self.kinds.items()},
            len(days),
        )

    def choose(
        self, share: float, *, exchange: bool = True, computed: Mapping[Kind, int] | None = None
    ) -> dict[Kind, int]:
        """Return the counts, by kind, that keep at least `share` of the days (0 up to 1).

        `computed` are those that are chosen without what is written, where they are known. Where written counts are too
        small for the share, the other kinds are chosen as if they were always enough. Without `exchange` step 4 is left
        out.
        """
        written = {id_: kind.written for id_, kind in self.kinds.items() if kind.written is not None}
        if not written:
            return _Choice(self, self._enough, share).made(exchange=exchange)
        if computed is None:
            computed = self.with_written({}).choose(share, exchange=exchange)
        counts = {**computed, **written}
        if self.kept(counts) >= days_asked(share, self.days):
            return counts
        return _Choice(self._at_least(computed), self._enough, share).made(exchange=exchange)

    def _at_least(self, counts: Mapping[Kind, int]) -> JointNeeds[Kind]:
        """Return the same needs, with no fewer of any kind than these counts say."""
        needs = copy(self)
        kinds = {id_: replace(kind, least=max(kind.least, counts[id_])) for id_, kind in self.kinds.items()}
        object.__setattr__(needs, "kinds", kinds)
        return needs


def _enough_by_count(by_day: Sequence[int]) -> list[int]:
    days_of = [0] * (max(by_day, default=0) + 1)
    for day, need in enumerate(by_day):
        if need:
            days_of[need] |= 1 << day
    enough = [(1 << len(by_day)) - 1]
    for days in days_of[:0:-1]:
        enough.append(enough[-1] & ~days)
    return enough[::-1]


def _all_but_one(days: Sequence[int], every_day: int) -> Iterator[int]:
    """Yield for each of some sets of days what all the others have in common."""
    before = accumulate(days, and_, initial=every_day)
    behind = list(accumulate(reversed(days), and_, initial=every_day))
    return (one & other for one, other in zip(before, behind[-2::-1], strict=False))


class _Choice(Generic[Kind]):
    """The choice for one share. Kinds are numbers here, in the order of the needs."""

    def __init__(self, needs: JointNeeds[Kind], enough: Mapping[Kind, Sequence[int]], share: float) -> None:
        self._kinds = list(needs.kinds)
        kinds = list(needs.kinds.values())
        self._asked = days_asked(share, needs.days)
        self._prices = [kind.price for kind in kinds]
        self._enough = [enough[id_] for id_ in self._kinds]
        self._possible = needs.every_day
        for id_, kind in needs.kinds.items():
            if kind.written is not None:
                self._possible &= needs.enough(id_, kind.written)
        if self._possible.bit_count() < self._asked:
            self._possible = needs.every_day
        self._floor = [self._least(n, kind) for n, kind in enumerate(kinds)]
        self._open: list[int] = []
        """The kinds of which a day may need more than the floor; of all others there is always enough."""
        above: dict[int, list[tuple[int, int]]] = {}
        for n, kind in enumerate(kinds):
            if kind.written is None and self._floor[n] < len(self._enough[n]) - 1:
                self._open.append(n)
                for day in numbers(self._possible & ~self._enough[n][self._floor[n]]):
                    above.setdefault(day, []).append((n, kind.by_day[day]))
        scarcest = sorted(self._open, key=lambda n: self._enough[n][self._floor[n]].bit_count())
        self._wanted = Wanted(self._prices, self._enough, above, scarcest)

    def _least(self, n: int, kind: KindNeeds) -> int:
        """Step 1."""
        if kind.written is not None:
            return kind.written
        possible, asked = self._possible, self._asked
        alone = next(some for some, days in enumerate(self._enough[n]) if (days & possible).bit_count() >= asked)
        return max(alone, kind.least)

    def made(self, *, exchange: bool) -> dict[Kind, int]:
        added = self._added(self._floor, self._days_kept(self._floor), self._possible)
        counts = self._pruned(added or self._floor)
        while exchange and (better := self._cheaper(counts)):
            counts = better
        return dict(zip(self._kinds, counts, strict=True))

    def _days_kept(self, counts: Sequence[int]) -> int:
        kept = self._possible
        for n in self._open:
            kept &= self._enough[n][counts[n]]
        return kept

    def _added(self, counts: Sequence[int], kept: int, within_reach: int, within: float = math.inf) -> list[int] | None:
        """Step 2, for less than `within`: some of the days within reach join those that are `kept` with these counts.

        None where that cannot be.
        """
        lacking = Lacking(self._wanted, counts, within_reach & ~kept, within)
        while (missing := self._asked - kept.bit_count()) > 0:
            if lacking.days.bit_count() < missing:
                return None
            kept |= lacking.take(lacking.best_step())
        return lacking.counts

    def _pruned(self, counts: Sequence[int]) -> list[int]:
        """Step 3."""
        counts = list(counts)
        dearest_first = sorted(self._open, key=lambda n: -self._prices[n])
        enough = [self._enough[n][counts[n]] for n in reversed(dearest_first)]
        behind = list(accumulate(enough, and_, initial=self._possible))
        others = self._possible
        for n in dearest_first:
            behind.pop()
            while counts[n] > self._floor[n]:
                if (others & behind[-1] & self._enough[n][counts[n] - 1]).bit_count() < self._asked:
                    break
                counts[n] -= 1
            others &= self._enough[n][counts[n]]
        return counts

    def _cheaper(self, counts: Sequence[int]) -> list[int] | None:
        """Step 4, once: cheaper counts, if there are any."""
        kept = self._days_kept(counts)
        lacking = sorted((self._cost(day, counts), day) for day in numbers(self._possible & ~kept))
        costs = [cost for cost, _ in lacking]
        cheapest = list(accumulate((1 << day for _, day in lacking), or_, initial=0))
        above = [n for n in self._open if counts[n] > self._floor[n]]
        several = (((n, some),) for n in above for some in range(2, counts[n] - self._floor[n] + 1))
        twos = (((n, 1), (m, 1)) for n, m in combinations(above, 2)) if len(above) <= IN_TWOS else ()
        for taken in (*(((n, 1),) for n in above), *several, *twos):
            saved = sum(some * self._prices[n] for n, some in taken)
            # A day that needs what is taken away is lost; another is worth looking at where it costs less.
            enough = reduce(and_, (self._enough[n][counts[n] - some] for n, some in taken))
            still, within_reach = kept & enough, cheapest[bisect_left(costs, saved)] & enough
            if (still | within_reach).bit_count() < self._asked:
                continue
            fewer = list(counts)
            for n, some in taken:
                fewer[n] -= some
            tried = self._added(fewer, still, within_reach, saved)
            if tried is not None:
                return self._pruned(tried)
        return None

    def _cost(self, day: int, counts: Sequence[int]) -> int:
        """Return what that which a day lacks costs."""
        return sum(max(0, need - counts[n]) * self._prices[n] for n, need in self._wanted.by_day[day])
