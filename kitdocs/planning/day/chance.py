"""A chance that was counted on simulated days, with its interval: how far the days can be from the truth."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

Z = 1.959963984540054
"""The standard normal's 97.5 % quantile: an interval around a share has 2.5 % on either side."""


@dataclass(frozen=True, slots=True)
class Chance:
    """On so many of the days it was so. Shares from 0 to 1; `days` is at least 1."""

    kept: int
    days: int

    @property
    def share(self) -> float:
        return self.kept / self.days

    @property
    def low(self) -> float:
        """The lower end of the 95 % interval (Wilson)."""
        return wilson(self.kept, self.days)[0]

    @property
    def high(self) -> float:
        """The upper end of the 95 % interval (Wilson)."""
        return wilson(self.kept, self.days)[1]


def wilson(kept: float, days: int) -> tuple[float, float]:
    """Return the 95 % interval of a share: `kept` of so many days.

    SOURCES: Wilson 1927. Checked against scipy.
    """
    share, spread = kept / days, Z * Z / days
    middle = (share + spread / 2) / (1 + spread)
    half = Z * sqrt(share * (1 - share) / days + spread / days / 4) / (1 + spread)
    return max(0.0, min(share, middle - half)), min(1.0, max(share, middle + half))  # rounding puts no share outside
