"""The Poisson distribution: how many events there are when each comes by itself, at a known mean."""

from __future__ import annotations

import math


def probability(count: int, mean: float) -> float:
    """Return P(X = count) for a Poisson X of the given mean (0 or more)."""
    if mean == 0:
        return 1.0 if count == 0 else 0.0
    # Through the logarithm, so that a mean of thousands does not underflow.
    return math.exp(count * math.log(mean) - mean - math.lgamma(count + 1))


def quantile(share: float, mean: float) -> int:
    """Return the smallest count with P(X ≤ count) ≥ share, for 0 ≤ share < 1."""
    if not 0 <= share < 1:
        raise ValueError(f"a share of {share} is not between 0 and 1")
    if mean < 0:
        raise ValueError(f"a mean of {mean} events is less than none")
    count, reached = 0, probability(0, mean)
    while reached < share:
        count += 1
        term = probability(count, mean)
        # Rounding can leave the sum just below a share next to 1; beyond the mean a vanished term ends it.
        if term == 0.0 and count > mean:
            break
        reached += term
    return count
