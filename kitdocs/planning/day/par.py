"""Drawer pouches: how many should be in each drawer, and how many the practice needs of each.

A drawer is filled at the restocking times. What is opened at such a time is opened just after it is filled.
*Between two restockings* of a day: before its first, since the last of the day before; then up to each next.
The day before the first day is drawn too, only for this.

*Behind* at a restocking is how many were opened before it and are not back in the store: so many must be
owned beyond the full drawers, or a drawer stays short.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from kitdocs.planning.day.bookings import Booking
from kitdocs.planning.day.flow import DayFlow
from kitdocs.planning.day.instants import DAY, seconds
from kitdocs.planning.day.tally import Spread, Tally
from kitdocs.practice.model import Practice

DrawerSlot = tuple[str, str]
"""A chair's id and a drawer pouch's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Par:
    """How many of a pouch should be in a chair's drawer."""

    chair: str
    pouch: str
    opened_per_day: float
    between: Spread
    """The most that were opened there between two restockings, per day."""
    computed: int
    """The `service` quantile of that, and at least 1."""
    written: int | None
    """What chairs.yaml says; nothing for `auto`."""

    @property
    def par(self) -> int:
        return self.computed if self.written is None else self.written


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawerPouch:
    """How many of a drawer pouch to own."""

    id: str
    opened_per_day: float
    par: int
    """In all drawers together."""
    behind: Spread
    """The most that were behind at a restocking, per day."""
    needed_beyond: int
    """The `service` quantile of that."""
    spares: int

    @property
    def own(self) -> int:
        return self.par + self.needed_beyond + self.spares


@dataclass(frozen=True, slots=True, kw_only=True)
class Restocking:
    """A restocking time, and when all that was opened since the one before it is back. Seconds after midnight."""

    at: int
    complete: Spread


class _Pouches:
    """A day's drawer pouches: where each was opened, when, and when it was back."""

    __slots__ = ("backs", "opened", "places")

    def __init__(self, bookings: Sequence[Booking], day: DayFlow, drawer: frozenset[int]) -> None:
        items = day.items
        which = [n for n, kind in enumerate(items.kind) if kind in drawer]
        self.places = [(bookings[items.visit[n]].chair, day.kinds[items.kind[n]].id) for n in which]
        self.opened = [items.out[n] for n in which]
        self.backs = [day.back[n] for n in which]


class ParTally:
    """Gathers, day by day, what drawer pouches depend on."""

    def __init__(self, practice: Practice, day_before: tuple[Sequence[Booking], DayFlow]) -> None:
        self._chairs = practice.chairs
        self._restock = sorted(seconds(at) for at in practice.room.restock)
        places = [(chair, pouch) for chair, record in practice.chairs.items() for pouch in record.drawer]
        self._between = {place: Tally() for place in places}
        self._behind = {pouch: Tally() for pouch in dict.fromkeys(pouch for _, pouch in places)}
        self._complete = [Tally() for _ in self._restock]
        self._opened: Counter[DrawerSlot] = Counter()
        self._drawer = frozenset(n for n, kind in enumerate(day_before[1].kinds) if kind.role == "drawer")
        self._before = _Pouches(*day_before, self._drawer)
        self._days = 0

    def add(self, bookings: Sequence[Booking], day: DayFlow) -> None:
        """The next day."""
        today = _Pouches(bookings, day, self._drawer)
        rounds = [bisect_right(self._restock, at) for at in today.opened]
        last = len(self._restock)
        late = [n for n, at in enumerate(self._before.opened) if at >= self._restock[-1]]
        since: Counter[tuple[DrawerSlot, int]] = Counter(zip(today.places, rounds, strict=True))
        since.update((self._before.places[n], 0) for n in late)
        most: dict[DrawerSlot, int] = {}
        for (place, nth), count in since.items():
            if nth < last and count > most.get(place, 0):
                most[place] = count
        for place, tally in self._between.items():
            tally.counts[most.get(place, 0)] += 1
        self._add_complete(today, rounds, [self._before.backs[n] - DAY for n in late])
        self._add_behind(today)
        self._opened.update(today.places)
        self._before = today
        self._days += 1

    def _add_complete(self, today: _Pouches, rounds: Sequence[int], backs_before: Sequence[int]) -> None:
        complete = [*self._restock, 0]
        for back in backs_before:
            complete[0] = max(complete[0], back)
        for nth, back in zip(rounds, today.backs, strict=True):
            complete[nth] = max(complete[nth], back)
        for tally, at in zip(self._complete, complete, strict=False):
            tally.counts[at] += 1

    def _add_behind(self, today: _Pouches) -> None:
        worst = dict.fromkeys(self._behind, 0)
        away = [(p, o - DAY, b - DAY) for (_, p), o, b in self._times(self._before)]
        away = [(p, opened, back) for p, opened, back in away if back > self._restock[0]]
        away += [(pouch, opened, back) for (_, pouch), opened, back in self._times(today)]
        for at in self._restock:
            behind = Counter([pouch for pouch, opened, back in away if opened < at < back])
            for pouch, count in behind.items():
                worst[pouch] = max(worst[pouch], count)
        for pouch, count in worst.items():
            self._behind[pouch].counts[count] += 1

    @staticmethod
    def _times(day: _Pouches) -> zip[tuple[DrawerSlot, int, int]]:
        return zip(day.places, day.opened, day.backs, strict=True)

    def pars(self, service: float) -> dict[DrawerSlot, Par]:
        """Return the pars by chair and pouch, in the order of chairs.yaml."""
        return {
            (chair, pouch): Par(
                chair=chair,
                pouch=pouch,
                opened_per_day=self._opened[chair, pouch] / self._days,
                between=tally.spread(),
                computed=max(1, tally.quantile(service)),
                written=None if (written := self._chairs[chair].drawer[pouch]) == "auto" else written,
            )
            for (chair, pouch), tally in self._between.items()
        }

    def pouches(self, service: float, spares: Mapping[str, int]) -> dict[str, DrawerPouch]:
        """Return the drawer pouches by id."""
        pars = self.pars(service)
        return {
            id_: DrawerPouch(
                id=id_,
                opened_per_day=fsum(p.opened_per_day for p in pars.values() if p.pouch == id_),
                par=sum(p.par for p in pars.values() if p.pouch == id_),
                behind=tally.spread(),
                needed_beyond=tally.quantile(service),
                spares=spares.get(id_, 0),
            )
            for id_, tally in self._behind.items()
        }

    def restockings(self) -> tuple[Restocking, ...]:
        return tuple(
            Restocking(at=at, complete=tally.spread()) for at, tally in zip(self._restock, self._complete, strict=True)
        )
