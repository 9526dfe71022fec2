"""Counts of whole numbers by how often each was seen: all that a mean and a quantile need."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """The spread of a number: on average, at least half of the times, and at most 95 % of the times.

    `median` and `high` (95 %) are values that were seen; see `Tally.quantile`. All 0 when nothing was seen.
    """

    mean: float
    median: int
    high: int


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

    def quantile(self, share: float) -> int:
        """Return the smallest value v that was seen such that at least `share` of all that was seen is ≤ v.

        An order statistic, nothing interpolated: of 1,000 days the 950th smallest is the 95 % quantile.
        0 when nothing was seen.
        """
        rank = math.ceil(share * len(self) - 1e-9)  # 0.95 is a little more or less than 95/100
        below = 0
        for value in sorted(self.counts):
            below += self.counts[value]
            if below >= rank:
                return value
        return 0

    def spread(self) -> Spread:
        return Spread(mean=self.mean, median=self.quantile(0.5), high=self.quantile(0.95))
