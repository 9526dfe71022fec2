"""Time inside the busy day: whole seconds after midnight, so that nothing drifts and equal is equal."""

from __future__ import annotations

DAY = 24 * 60 * 60
"""Seconds from one midnight to the next."""


def seconds(minutes: float) -> int:
    """Minutes, as the practice folder has them, in whole seconds."""
    return round(minutes * 60)


def hours_and_minutes(duration: float) -> str:
    """A duration in seconds as people say it: ``2 h 53 min``, ``25 min``."""
    hours, minutes = divmod(round(duration / 60), 60)
    return f"{hours} h {minutes} min" if hours else f"{minutes} min"
