"""Counts of whole numbers by how often each was seen: all that a mean and a quantile need."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import fsum

from kitdocs.planning.day.chance import Z


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """The spread of a number: on average, at least half of the times, and at most 95 % of the times.

    `median` and `high` (95 %) are values that were seen; see `Tally.quantile`. All 0 when nothing was seen. The true
    ones lie between the values of `median_between` and `high_between` with 95 % certainty (`Tally.between`); so does
    the true mean, no farther than `mean_within` from the mean. Both hold of numbers of which none moves another, as
    those of days are.
    """

    mean: float
    mean_within: float
    median: int
    high: int
    median_between: tuple[int, int]
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
        shares = (0.5, 0.95, *self._around(0.5), *self._around(0.95))
        median, high, *between = self.quantiles(shares)
        return Spread(
            mean=self.mean,
            mean_within=self.mean_within,
            median=median,
            high=high,
            median_between=(between[0], between[1]),
            high_between=(between[2], between[3]),
        )
