"""Time inside the busy day: whole seconds after midnight, so that nothing drifts and equal is equal."""

from __future__ import annotations

DAY = 24 * 60 * 60
"""Seconds from one midnight to the next."""


def seconds(minutes: float) -> int:
    """Minutes, as the practice folder has them, in whole seconds."""
    return round(minutes * 60)
