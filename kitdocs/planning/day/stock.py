"""Sets and add-on pouches to own: the day's peak of what is out of the store.

The day is run with as many as wanted; the largest number out at once is then exactly the stock with
which nobody would have waited that day. Something that is back at an instant can leave again at that instant.

An implant-related set or add-on is held back until the spore test of its load is read: it counts as out for that time
more, and what is still held in the morning counts from there. Every day is taken for the working day before the next.

How many to own is chosen for all kinds together (`promise.py`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import sub
from typing import NamedTuple

from kitdocs.planning.day.flow import DayFlow
from kitdocs.planning.day.instants import DAY, seconds
from kitdocs.planning.day.items import ItemKind
from kitdocs.planning.day.joint import JointNeeds, KindNeeds
from kitdocs.planning.day.promise import Chosen, Firmness, weight
from kitdocs.planning.day.tally import DayTally, Spread, Tally
from kitdocs.practice.model import Practice


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """How many of a set or an add-on pouch to own. `away` in seconds, from leaving the store to being back."""

    id: str
    taken_per_day: float
    away: Spread
    peak: Spread
    """Out of the store at once, per day."""
    needed: int
    """Chosen with all other sets and add-ons, so that on `service` of the days nobody waits for any."""
    firmness: Firmness
    spares: int
    """For those that are away for repair as a whole."""
    held: bool = False
    """Whether it is held back until a spore test is read."""

    @property
    def own(self) -> int:
        return self.needed + self.spares


def peak_out(outs: Sequence[int], backs: Sequence[int]) -> int:
    """Return the most that are out at once, from the sorted times of leaving and of coming back."""
    back = most = 0
    for gone, time in enumerate(outs, 1):
        while backs[back] <= time:
            back += 1
        if gone - back > most:  # noqa: PLR1730 - max() would take half the time of this loop
            most = gone - back
    return most


class KindTimes(NamedTuple):
    """When a kind's items left the store (or were opened) and when they were back, each sorted by itself, with those
    that are still out from the days before, which left before midnight.

    `own_backs` and how long they were `away` (in any order) are of the day's own items only.
    """

    outs: list[int]
    backs: list[int]
    away: list[int]
    own_backs: list[int]


def _nothing_yet() -> KindTimes:
    backs: list[int] = []
    return KindTimes([], backs, [], backs)


def times_by_kind(day: DayFlow) -> tuple[KindTimes, ...]:
    """Return the times of a day's items, by the number of their kind."""
    times = [_nothing_yet() for _ in day.kinds]
    note_out = [kind.outs.append for kind in times]
    note_back = [kind.backs.append for kind in times]
    for kind, out, back in zip(day.items.kind, day.items.out, day.back, strict=True):
        note_out[kind](out)
        note_back[kind](back)
    for of_kind in times:
        of_kind.away.extend(map(sub, of_kind.backs, of_kind.outs))
        of_kind.outs.sort()
        of_kind.backs.sort()
    for kind, out, back in day.overnight:
        outs, backs, away, own = times[kind]
        times[kind] = KindTimes(sorted([out, *outs]), sorted([back, *backs]), away, own)
    return tuple(times)


class StockTally:
    """Gathers, day by day, what sets and add-ons to own depends on."""

    def __init__(self, practice: Practice, kinds: Sequence[ItemKind]) -> None:
        test = practice.room.supplies.spore_test
        held = seconds(test.read_after) if test and test.read_after else 0
        self._practice = practice
        self._held = {n: held for n, kind in enumerate(kinds) if held and practice.is_implant_related(kind.id)}
        self._outstanding: dict[int, list[int]] = {n: [] for n in self._held}
        self._kinds = [(n, kind) for n, kind in enumerate(kinds) if kind.role != "drawer"]
        self._peaks: dict[int, list[int]] = {n: [] for n, _ in self._kinds}
        self._away = [DayTally() for _ in kinds]
        self._days = 0

    def add(self, times: Sequence[KindTimes]) -> Sequence[tuple[str, KindTimes]]:
        """A day, kind by kind. Return the times as they count, by the ids of sets and add-ons."""
        self._days += 1
        counted = []
        for n, kind in self._kinds:
            of_kind = times[n] if n not in self._held else self._with_held(n, times[n])
            self._peaks[n].append(peak_out(of_kind.outs, of_kind.backs))
            self._away[n].add_day(of_kind.away)
            counted.append((kind.id, of_kind))
        return counted

    def _with_held(self, n: int, times: KindTimes) -> KindTimes:
        """Return the times with the wait for the spore test, and with what earlier days still hold."""
        held, before = self._held[n], self._outstanding[n]
        backs = sorted([*before, *(back + held for back in times.own_backs)])
        self._outstanding[n] = [back - DAY for back in backs if back > DAY]
        outs = [*([0] * len(before)), *(out for out in times.outs if out >= 0)]
        return KindTimes(outs, backs, [away + held for away in times.away], backs)

    def needs(self) -> JointNeeds[str]:
        """Return how many of each set and add-on every day needs."""
        return JointNeeds(
            {
                kind.id: KindNeeds(by_day=tuple(self._peaks[n]), price=weight(self._practice, kind.id))
                for n, kind in self._kinds
            },
            self._days,
        )

    def result(self, chosen: Chosen[str], spares: Mapping[str, int]) -> dict[str, Stock]:
        firmness = chosen.firmness()
        return {
            kind.id: Stock(
                id=kind.id,
                taken_per_day=len(self._away[n]) / self._days,
                away=self._away[n].spread(),
                peak=Tally(self._peaks[n]).spread(),
                needed=chosen.counts[kind.id],
                firmness=firmness[kind.id],
                spares=spares.get(kind.id, 0),
                held=n in self._held,
            )
            for n, kind in self._kinds
        }
