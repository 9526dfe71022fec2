"""Drawer pouches: how many should be in each drawer, and how many the practice needs of each.

A drawer is filled at the restocking times. What is opened at such a time is opened just after it is filled.
*Between two restockings* of a day: before its first, since the last of the day before; then up to each next.
The day before the first day is drawn too, only for this.

*Behind* at a restocking is how many were opened before it and are not back in the store: so many must be
owned beyond the full drawers, or a drawer stays short. What was behind at the last restocking of the day before counts
for a day too: with fewer, its drawers would not have begun the morning full.

How many belong in each drawer, and how many more to own, is chosen for all drawers together (`promise.py`).
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from kitdocs.planning.day.flow import DayFlow
from kitdocs.planning.day.instants import DAY, seconds
from kitdocs.planning.day.joint import JointNeeds, KindNeeds
from kitdocs.planning.day.promise import Chosen, Firmness, weight
from kitdocs.planning.day.tally import Spread, Tally
from kitdocs.planning.day.visit import Booking
from kitdocs.practice.message import Message, message
from kitdocs.practice.model import Practice

DrawerSlot = tuple[str, str]
"""A chair's id and a drawer pouch's; no chair's, for the pouches beyond the full drawers."""

BEYOND = ""


def pouches_of(counts: Mapping[DrawerSlot, int]) -> dict[str, int]:
    """Return how many of each pouch these counts are together, in the drawers and beyond them."""
    pouches: Counter[str] = Counter()
    for (_, pouch), count in counts.items():
        pouches[pouch] += count
    return dict(pouches)


@dataclass(frozen=True, slots=True, kw_only=True)
class Par:
    """How many of a pouch should be in a chair's drawer."""

    chair: str
    pouch: str
    opened_per_day: float
    between: Spread
    """The most that were opened there between two restockings, per day."""
    computed: int
    """Chosen with all other drawers, and at least 1; where a number is written, as if none was."""
    unwritten: int
    """As if no number was written for any drawer."""
    firmness: Firmness
    """Of what is in the drawer."""
    written: int | None
    """What chairs.yaml says; nothing for `auto`."""

    @property
    def par(self) -> int:
        return self.computed if self.written is None else self.written


def said_of_others(par: Par) -> Iterator[Message]:
    """Yield what a written count does to other drawers, or those of others to this one."""
    if par.written is None:
        if par.unwritten != par.computed:
            yield message("figures.par.raised", unwritten=par.unwritten)
    elif par.written > par.computed:
        yield message("figures.par.above")
    elif par.written < par.computed:
        yield message("figures.par.below")


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
    """Chosen with the drawers, so that on `drawer_service` of the days no drawer runs out and each can be refilled."""
    computed_beyond: int
    """The same as if no number was written for any drawer."""
    firmness: Firmness
    """Of those beyond the drawers."""
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
        self._practice = practice
        self._restock = sorted(seconds(at) for at in practice.room.restock)
        places = [(chair, pouch) for chair, record in practice.chairs.items() for pouch in record.drawer]
        self._between: dict[DrawerSlot, list[int]] = {place: [] for place in places}
        self._behind: dict[str, list[int]] = {pouch: [] for _, pouch in places}
        self._in_the_evening: Counter[str] = Counter()
        self._complete = [Tally() for _ in self._restock]
        self._opened: Counter[DrawerSlot] = Counter()
        self._drawer = frozenset(n for n, kind in enumerate(day_before[1].kinds) if kind.role == "drawer")
        self._before = _Pouches(*day_before, self._drawer)
        self._in_the_evening = self._behind_at(self._restock[-1], self._away(self._before))
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
        for place, by_day in self._between.items():
            by_day.append(most.get(place, 0))
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
        worst = self._in_the_evening
        away = [(p, o - DAY, b - DAY) for p, o, b in self._away(self._before)]
        away = [(p, opened, back) for p, opened, back in away if back > self._restock[0]]
        away += self._away(today)
        for at in self._restock:
            self._in_the_evening = self._behind_at(at, away)
            worst |= self._in_the_evening  # the larger of the two, pouch by pouch
        for pouch, by_day in self._behind.items():
            by_day.append(worst[pouch])

    @staticmethod
    def _away(day: _Pouches) -> list[tuple[str, int, int]]:
        return [(pouch, o, b) for (_, pouch), o, b in zip(day.places, day.opened, day.backs, strict=True)]

    @staticmethod
    def _behind_at(at: int, away: Sequence[tuple[str, int, int]]) -> Counter[str]:
        return Counter([pouch for pouch, opened, back in away if opened < at < back])

    def needs(self) -> JointNeeds[DrawerSlot]:
        """Return how many each day needs in every drawer and, by (`BEYOND`, pouch), beyond the full drawers."""
        chairs = self._practice.chairs
        written = {place: chairs[place[0]].drawer[place[1]] for place in self._between}
        drawers = {
            place: KindNeeds(
                by_day=tuple(by_day),
                price=weight(self._practice, place[1]),
                least=1,
                written=None if written[place] == "auto" else int(written[place]),
            )
            for place, by_day in self._between.items()
        }
        beyond = {
            (BEYOND, pouch): KindNeeds(by_day=tuple(by_day), price=weight(self._practice, pouch))
            for pouch, by_day in self._behind.items()
        }
        return JointNeeds({**drawers, **beyond}, self._days)

    def pars(self, chosen: Chosen[DrawerSlot]) -> dict[DrawerSlot, Par]:
        """Return the pars by chair and pouch, in the order of chairs.yaml."""
        firmness = chosen.firmness()
        return {
            (chair, pouch): Par(
                chair=chair,
                pouch=pouch,
                opened_per_day=self._opened[chair, pouch] / self._days,
                between=Tally(by_day).spread(),
                computed=chosen.worked_out((chair, pouch)),
                unwritten=chosen.computed[chair, pouch],
                firmness=firmness[chair, pouch],
                written=chosen.needs.kinds[chair, pouch].written,
            )
            for (chair, pouch), by_day in self._between.items()
        }

    def pouches(self, chosen: Chosen[DrawerSlot], spares: Mapping[str, int]) -> dict[str, DrawerPouch]:
        """Return the drawer pouches by id."""
        firmness = chosen.firmness()
        places: dict[str, list[DrawerSlot]] = {id_: [] for id_ in self._behind}
        for place in self._between:
            places[place[1]].append(place)
        return {
            id_: DrawerPouch(
                id=id_,
                opened_per_day=fsum(self._opened[place] / self._days for place in places[id_]),
                par=sum(chosen.counts[place] for place in places[id_]),
                behind=Tally(by_day).spread(),
                needed_beyond=chosen.counts[BEYOND, id_],
                computed_beyond=chosen.computed[BEYOND, id_],
                firmness=firmness[BEYOND, id_],
                spares=spares.get(id_, 0),
            )
            for id_, by_day in self._behind.items()
        }

    def restockings(self) -> tuple[Restocking, ...]:
        return tuple(
            Restocking(at=at, complete=tally.spread()) for at, tally in zip(self._restock, self._complete, strict=True)
        )
