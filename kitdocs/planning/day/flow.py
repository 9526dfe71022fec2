"""One day's items on their way through the stages of reprocessing, until the last is back in the store.

An item that skips a stage is through it the moment it comes there: it waits for nothing, and takes its turn at the next
stage as if it had been done at that moment. Of two that come to the next stage at one time, the first is the one that
came to the skipped stage first.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from kitdocs.planning.day.bookings import Booking
from kitdocs.planning.day.items import DayItems, ItemKind, Takings
from kitdocs.planning.day.stages import Load, Pass, stage_pass
from kitdocs.practice.model import Practice


class Stay(NamedTuple):
    """A stage's day, in the order of its queue: which item, when it joined, was started and was done.

    DayItems that skip the stage are not in it.
    """

    queue: list[int]
    joined: list[int]
    starts: list[int]
    ends: list[int]
    loads: tuple[Load, ...]


class DayFlow(NamedTuple):
    """A day: its items in the order of receiving, its stages, and when each item is back in the store."""

    kinds: tuple[ItemKind, ...]
    items: DayItems
    stays: tuple[Stay, ...]
    back: list[int]


class Flow:
    """The way of `practice`'s items; nothing of it changes from day to day."""

    def __init__(self, practice: Practice) -> None:
        self.takings = Takings(practice)
        self.kinds = self.takings.kinds
        in_use = self.takings.in_use()
        self._stages: list[tuple[Pass, frozenset[int]]] = []
        for id_, stage in practice.room.stages.items():
            passing = frozenset(n for n in in_use if practice.passes(self.kinds[n].id, id_))
            self._stages.append((stage_pass(stage, self.kinds, passing), in_use - passing))

    def of_day(self, bookings: Sequence[Booking]) -> DayFlow:
        """Return the day of the items that a day's bookings take."""
        items = self.takings.of_day(bookings)
        queue, kind, joined = list(range(len(items.kind))), items.kind, items.received
        stays: list[Stay] = []
        order: list[int] | None
        for run, skipping in self._stages:
            if skipping:
                ends, order = self._pass_some(run, skipping, stays, queue, joined, kind)
            else:
                starts, ends, order, loads = run(joined, kind)
                stays.append(Stay(queue, joined, starts, ends, loads))
            joined = ends
            if order is not None:
                queue = [queue[n] for n in order]
                kind = [kind[n] for n in order]
                joined = [ends[n] for n in order]
        back = joined
        if queue != sorted(queue):
            back = [end for _, end in sorted(zip(queue, joined, strict=True))]
        return DayFlow(self.kinds, items, tuple(stays), back)

    @staticmethod
    def _pass_some(
        run: Pass, skipping: frozenset[int], stays: list[Stay], queue: list[int], joined: list[int], kind: list[int]
    ) -> tuple[list[int], list[int]]:
        """Run a stage that some items skip: when each item is done, and the order in which they are."""
        places = [n for n, k in enumerate(kind) if k not in skipping]
        at = [joined[n] for n in places]
        starts, ends, _, loads = run(at, [kind[n] for n in places])
        stays.append(Stay([queue[n] for n in places], at, starts, ends, loads))
        done = list(joined)
        for place, end in zip(places, ends, strict=True):
            done[place] = end
        return done, sorted(range(len(done)), key=done.__getitem__)
