"""The joint choice as the text of `kitdocs.planning.day.joint` says it: day by day, kind by kind, and slowly.

It shares no code with what it is held against but the needs themselves.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from itertools import combinations, count
from types import MappingProxyType

from kitdocs.planning.day.joint import JointNeeds

Step = tuple[tuple[str, int], ...]
Counts = dict[str, int]
NONE: Mapping[str, int] = MappingProxyType({})


def plainly_chosen(needs: JointNeeds[str], share: float, *, exchange: bool = True) -> Counts:
    """First as if nothing was written; the others become more only where the promise is not kept so."""
    written = {name: kind.written for name, kind in needs.kinds.items() if kind.written is not None}
    counts = PlainChoice(needs.with_written({}), share).made(exchange=exchange)
    days = zip(*(kind.by_day for kind in needs.kinds.values()), strict=True)
    enough = [counts[name] if written.get(name) is None else written[name] for name in needs.kinds]
    kept = sum(all(need <= some for need, some in zip(day, enough, strict=True)) for day in days)
    if written and kept < share * needs.days - 1e-9:
        return PlainChoice(needs, share, counts).made(exchange=exchange)
    return counts | written


class PlainChoice:
    def __init__(self, needs: JointNeeds[str], share: float, at_least: Mapping[str, int] = NONE) -> None:
        named = sorted(needs.kinds.items(), key=lambda each: (each[1].price, each[1].by_day, each[0]))
        self.kinds = dict(named)
        self.asked = next(days for days in count() if days >= share * needs.days - 1e-9)
        self.free = [name for name, kind in named if kind.written is None]
        written = {name: kind.written for name, kind in named if kind.written is not None}
        self.days = [
            day
            for day in range(needs.days)
            if all(self.kinds[name].by_day[day] <= number for name, number in written.items())
        ]
        if len(self.days) < self.asked:
            self.days = list(range(needs.days))
        self.floor = {name: written.get(name, max(self.least(name), at_least.get(name, 0))) for name in self.kinds}

    def least(self, name: str) -> int:
        kind = self.kinds[name]
        alone = (some for some in count() if sum(kind.by_day[day] <= some for day in self.days) >= self.asked)
        return max(next(alone), kind.least)

    def made(self, *, exchange: bool) -> Counts:
        counts = self.pruned(self.added(self.floor) or self.floor)
        while exchange and (cheaper := self.cheaper(counts)):
            counts = cheaper
        return counts

    def lacks(self, day: int, counts: Mapping[str, int]) -> Step:
        short = ((name, self.kinds[name].by_day[day] - counts[name]) for name in self.free)
        return tuple((name, more) for name, more in short if more > 0)

    def kept(self, counts: Mapping[str, int]) -> int:
        return sum(not self.lacks(day, counts) for day in self.days)

    def cost(self, step: Sequence[tuple[str, int]]) -> int:
        return sum(more * self.kinds[name].price for name, more in step)

    def added(
        self, counts: Mapping[str, int], taken: Collection[str] = (), within: float = float("inf")
    ) -> Counts | None:
        """None of `taken` may be added again, and all together has to cost less than `within`."""
        counts = dict(counts)
        while self.kept(counts) < self.asked:
            best: tuple[float, int, int] | None = None
            steps = [(day, self.lacks(day, counts)) for day in self.days]
            for day, step in steps:
                if not step or any(name in taken for name, _ in step) or self.cost(step) >= within:
                    continue
                wins = self.kept({**counts, **{name: counts[name] + more for name, more in step}}) - self.kept(counts)
                worth = (wins / self.cost(step), -self.cost(step), -day)
                if best is None or worth > best:
                    best = worth
            if best is None:
                return None
            step = dict(steps)[-best[2]]
            for name, more in step:
                counts[name] += more
            within -= self.cost(step)
        return counts

    def pruned(self, counts: Mapping[str, int]) -> Counts:
        counts = dict(counts)
        for name in sorted(self.free, key=lambda name: -self.kinds[name].price):
            while counts[name] > self.floor[name] and self.kept({**counts, name: counts[name] - 1}) >= self.asked:
                counts[name] -= 1
        return counts

    def cheaper(self, counts: Mapping[str, int]) -> Counts | None:
        above = [name for name in self.free if counts[name] > self.floor[name]]
        several = [{name: some} for name in above for some in range(2, counts[name] - self.floor[name] + 1)]
        twos = [dict.fromkeys(pair, 1) for pair in combinations(above, 2)]
        for taken in [*({name: 1} for name in above), *several, *twos]:
            fewer = {name: some - taken.get(name, 0) for name, some in counts.items()}
            tried = self.added(fewer, taken, self.cost([*taken.items()]))
            if tried:
                return self.pruned(tried)
        return None
