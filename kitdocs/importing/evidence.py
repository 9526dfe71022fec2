"""A figure with its interval of 95 %, and on how many visits and days it rests.

Wilson's interval for shares, Student's t for means.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean, stdev

from kitdocs.importing.visits import BookedVisit
from kitdocs.planning.day.chance import Z, wilson


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A figure with its 95 % interval, and on how many visits and days it rests."""

    value: float
    low: float
    high: float
    visits: int
    days: int


def t_of(freedom: int) -> float:
    """Return the 97.5 % quantile of Student's t, to 0.01 from 5 degrees of freedom on.

    SOURCES: Abramowitz and Stegun 1964, 26.7.5. Checked against scipy.
    """
    z, n = Z, freedom
    return (
        z
        + (z**3 + z) / (4 * n)
        + (5 * z**5 + 16 * z**3 + 3 * z) / (96 * n**2)
        + (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / (384 * n**3)
    )


def mean_of(numbers: Sequence[float], visits: int, days: int) -> Estimate:
    """Return the mean of at least two numbers, with the interval that Student's t gives."""
    mean = fmean(numbers)
    half = t_of(len(numbers) - 1) * stdev(numbers) / sqrt(len(numbers))
    return Estimate(value=mean, low=mean - half, high=mean + half, visits=visits, days=days)


def share_of(some: int, visits: Sequence[BookedVisit]) -> Estimate:
    """Return the share that `some` are of visits, with Wilson's interval."""
    low, high = wilson(some, len(visits))
    return Estimate(value=some / len(visits), low=low, high=high, visits=len(visits), days=days_of(visits))


def days_of(visits: Iterable[BookedVisit]) -> int:
    """Return on how many days visits are."""
    return len({visit.day for visit in visits})
