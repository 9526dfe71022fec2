"""One day of a run, with the history of every item, for tests that count again what the run counts."""

from __future__ import annotations

from dataclasses import dataclass

from kitdocs.planning.day.bookings import Diary
from kitdocs.planning.day.flow import DayFlow, Flow
from kitdocs.planning.day.items import ItemKind
from kitdocs.planning.day.visit import Booking
from kitdocs.practice.model import Practice


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemHistory:
    """One item's day. Seconds after midnight; `stages` holds (joined, started, done) of each stage that it passes."""

    kind: ItemKind
    visit: int
    out: int
    received: int
    stages: tuple[tuple[int, int, int], ...]
    back: int


def simulate_day(practice: Practice, *, day: int = 1, seed: int = 1) -> tuple[tuple[Booking, ...], DayFlow]:
    """Return the bookings of one day of a run, and the way of its items."""
    bookings = Diary(practice).day(seed, day)
    return bookings, Flow(practice).of_day(bookings)


def histories(day: DayFlow) -> tuple[ItemHistory, ...]:
    """Return every item's day, in the order of receiving."""
    stages: list[list[tuple[int, int, int]]] = [[] for _ in day.back]
    for stay in day.stays:
        for item, *times in zip(stay.queue, stay.joined, stay.starts, stay.ends, strict=True):
            stages[item].append((times[0], times[1], times[2]))
    return tuple(
        ItemHistory(
            kind=day.kinds[kind],
            visit=visit,
            out=out,
            received=received,
            stages=tuple(stages[item]),
            back=day.back[item],
        )
        for item, (kind, visit, out, received) in enumerate(zip(*day.items, strict=True))
    )
