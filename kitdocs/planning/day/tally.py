"""Counts of whole numbers by how often each was seen: all that a mean and a quantile need."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum

from kitdocs.planning.day.chance import Z


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """The spread of a number: on average, at least half of the times, and at most 95 % of the times.

    `median` and `high` (95 %) are values that were seen; see `Tally.quantile`. All 0 when nothing was seen. Between the
    two values of `median_between` and `high_between` the true ones lie with 95 % certainty; see `Tally.between`.
    """

    mean: float
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

    def between(self, share: float) -> tuple[int, int]:
        """Return the two values that were seen between which the true quantile lies, with 95 % certainty.

        How many of n values are below it is binomial, so the values are those of the ranks n × share ± 1.96 standard
        deviations (the normal approximation; the smallest or the largest value where a rank lies outside).
        """
        seen = len(self)
        half = Z * math.sqrt(share * (1 - share) / seen) if seen else 0.0
        return self.quantile(max(share - half, 0.0)), self.quantile(min(share + half + 1 / max(seen, 1), 1.0))

    def spread(self) -> Spread:
        return Spread(
            mean=self.mean,
            median=self.quantile(0.5),
            high=self.quantile(0.95),
            median_between=self.between(0.5),
            high_between=self.between(0.95),
        )
