"""A visit of a busy day, as everything after the appointment book knows it."""

from __future__ import annotations

from typing import NamedTuple, TypeAlias


class Booking(NamedTuple):
    """A visit, when it really begins and ends. Seconds after midnight. A tuple, as 1,000 days have 80,000 of them."""

    start: int
    end: int
    chair: str
    procedure: str
    luck: tuple[float, ...]
    """From 0 up to 1: for each of the procedure's `occasional` needs, for what meets none, and for the order of its
    pouches."""
    late: int = 0
    """How much later than booked it begins."""


Booked: TypeAlias = tuple[int, int, str, int, Booking]
"""A booking with what it is sorted by: start, turn, id and row."""
