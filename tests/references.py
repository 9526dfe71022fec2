"""Independent libraries that tests compare with. Each is imported at its first use: colour-science takes a second."""

from __future__ import annotations

import warnings
from functools import cache
from typing import Any


@cache
def colour_science() -> Any:
    """Return the package `colour` of colour-science."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it says at import that plotting is not installed
        import colour  # noqa: PLC0415
    return colour


def poisson_cdf(count: int, mean: float) -> float:
    """Return P(X <= count) for a Poisson distribution of that mean, by SciPy (Cephes, `pdtr`)."""
    from scipy.special import pdtr  # noqa: PLC0415

    return float(pdtr(count, mean))


def poisson_quantile(share: float, mean: float) -> int:
    """Return the smallest count whose P(X <= count) reaches the share, by SciPy."""
    return next(count for count in range(10_000) if poisson_cdf(count, mean) >= share)
