"""Counts of whole numbers by how often each was seen: all that a mean and a quantile need."""

from __future__ import annotations

import math
from array import array
from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate, chain
from math import fsum

from kitdocs.planning.day.chance import Z


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """The spread of a number: on average, at least half of the times, and at most 95 % of the times.

    `median` and `high` (95 %) are values that were seen; see `Tally.quantile`. All 0 when nothing was seen. The true
    95 % value lies between those of `high_between` with 95 % certainty (`Tally.between`), and the true mean no farther
    than `mean_within` from the mean. Both hold of numbers of which none moves another, as
    those of days are; a `DayTally` gives them for numbers of which several are of one day.
    """

    mean: float
    mean_within: float
    median: int
    high: int
    high_between: tuple[int, int]


class Tally:
    """Counts of whole numbers. Adding to it is the only way it changes."""

    def __init__(self, values: Iterable[int] = ()) -> None:
        self.counts: Counter[int] = Counter(values)

    def add(self, values: Iterable[int]) -> None:
        self.counts.update(values)

    def __len__(self) -> int:
        return self.counts.total()

    @property
    def mean(self) -> float:
        seen = len(self)
        return fsum(value * times for value, times in self.counts.items()) / seen if seen else 0.0

    @property
    def mean_within(self) -> float:
        """Return 1.96 standard errors of the mean: on either side of it, the true one lies with 95 % certainty."""
        seen, mean = len(self), self.mean
        if seen < 2:
            return 0.0
        squares = fsum(times * (value - mean) ** 2 for value, times in self.counts.items())
        return Z * math.sqrt(squares / (seen - 1) / seen)

    def quantile(self, share: float) -> int:
        """Return the smallest value v that was seen such that at least `share` of all that was seen is ≤ v.

        An order statistic, nothing interpolated: of 1,000 days the 950th smallest is the 95 % quantile.
        0 when nothing was seen.
        """
        return self.quantiles((share,))[0]

    def quantiles(self, shares: Sequence[float]) -> list[int]:
        """Return several quantiles, as `quantile` does each."""
        values = sorted(self.counts)
        if not values:
            return [0 for _ in shares]
        below = list(accumulate([self.counts[value] for value in values]))
        # 0.95 is a little more or less than 95/100
        ranks = [math.ceil(share * below[-1] - 1e-9) for share in shares]
        return [values[bisect_left(below, rank)] for rank in ranks]

    def between(self, share: float) -> tuple[int, int]:
        """Return the two values that were seen between which the true quantile lies, with 95 % certainty.

        How many of n values are below it is binomial, so the values are those of the ranks n × share ± 1.96 standard
        deviations (the normal approximation; the smallest or the largest value where a rank lies outside).
        """
        low, high = self.quantiles(self._around(share))
        return low, high

    def _around(self, share: float) -> tuple[float, float]:
        seen = max(len(self), 1)
        half = Z * math.sqrt(share * (1 - share) / seen)
        return max(share - half, 0.0), min(share + half + 1 / seen, 1.0)

    def spread(self) -> Spread:
        median, high, *between = self.quantiles((0.5, 0.95, *self._around(0.95)))
        return Spread(
            mean=self.mean,
            mean_within=self.mean_within,
            median=median,
            high=high,
            high_between=(between[0], between[1]),
        )


class DayTally:
    """Whole numbers of which those of one day hang together, as waits do: a crowded day has many long ones.

    Days are what does not move one another, so the intervals are worked out from days, as surveys do it that draw
    whole clusters: the mean is a ratio of two sums over days (SOURCES: Cochran 1977), and a quantile lies where the
    share of what is below it does, for which the interval is that of such a ratio (SOURCES: Woodruff 1952). Where
    people go home, what one evening leaves ties the next day to it a little; the intervals do not know of that.
    """

    def __init__(self) -> None:
        self._days: list[array[int]] = []

    def add_day(self, values: Iterable[int]) -> None:
        self._days.append(array("i", values))

    def __len__(self) -> int:
        return sum(map(len, self._days))

    def spread(self) -> Spread:
        days = [day.tolist() for day in self._days]
        tally = Tally(chain.from_iterable(days))
        seen = len(tally)
        if not seen:
            return tally.spread()
        mean = sum(map(sum, days)) / seen
        median, high = tally.quantiles((0.5, 0.95))
        return Spread(
            mean=mean,
            mean_within=Z * _error([sum(day) - mean * len(day) for day in days], seen),
            median=median,
            high=high,
            high_between=_high_between(days, tally, high),
        )


def _high_between(days: Sequence[Sequence[int]], tally: Tally, high: int) -> tuple[int, int]:
    """Return the two values that were seen between which the true 95 % quantile lies, with 95 % certainty.

    How much the share below it varies from day to day is taken from what is at most `high` or from what is below it,
    whichever varies more: of few numbers, none is above.
    """
    seen = len(tally)
    error = max(_share_error(days, high.__ge__, seen), _share_error(days, high.__gt__, seen))
    low, most = tally.quantiles((max(0.95 - Z * error, 0.0), min(0.95 + Z * error + 1 / seen, 1.0)))
    return low, most


def _share_error(days: Sequence[Sequence[int]], is_counted: Callable[[int], bool], seen: int) -> float:
    counted = [sum(map(is_counted, day)) for day in days]
    share = sum(counted) / seen
    return _error([n - share * len(day) for n, day in zip(counted, days, strict=True)], seen)


def _error(apart: Sequence[float], seen: int) -> float:
    """Return the standard error of a ratio, what days have together to the numbers `seen`, from how far each day is
    from that ratio times its own numbers."""
    days = len(apart)
    return math.sqrt(fsum(each * each for each in apart) * days / (days - 1)) / seen if days > 1 else 0.0
