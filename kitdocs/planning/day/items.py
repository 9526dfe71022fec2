"""The items of a visit: its set, its add-ons, and the drawer pouches that are opened in it.

Luck decides, so that what lies together is used together:

- A *need* is met by the set, else by one of the procedure's add-ons that holds it, else by a pouch in the chair's
  drawer that holds it. Add-ons, then drawer pouches, are gone through one by one: next is always the one that holds
  most of the needs still unmet, of several the one with fewest pieces in it, of several the first in the order of the
  visit.
- A *drawer pouch* is opened when it meets a need, with the largest share among the needs it meets.
- An *add-on* is taken with its own share.
- Either goes by the luck of its leading need: the one with the largest share among those it meets, of several the first
  by id. When every visit has that need, or an add-on meets none, it goes by the last number but one of the luck.

The *order of the visit* is drawn for each visit, so that no order in the folder matters. It is one of the orders of the
procedure's n add-ons with each of those of the m pouches in the chair's drawer that hold a need which the set does not:
number [luck × min(n! m!, 120)], rounded down, with the last number of the luck. Such a number x orders a list that is
sorted by id: what stands at place x mod n, from 0 on, is taken out of it, then the quotient x div n says in the same
way which of the n - 1 that are left is next, and so on; what is left of x then orders the drawer.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import factorial, fsum
from typing import Literal, NamedTuple

from kitdocs.planning.day.bookings import Booking, booked_places, occasional
from kitdocs.planning.day.instants import seconds
from kitdocs.practice.model import Practice

Role = Literal["set", "add-on", "drawer"]

_MOST_ORDERS = 120


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemKind:
    """A set or a pouch. `size` is the cassette, or the size of pouch, that machines know it by."""

    id: str
    role: Role
    size: str

    @property
    def in_cassette(self) -> bool:
        return self.role == "set"


class Taken(NamedTuple):
    """A kind (by number) that a visit takes when number `luck` is below `share`, so many seconds `before` its start."""

    kind: int
    luck: int
    share: float
    before: int


class DayItems(NamedTuple):
    """A day's items, as columns, in the order in which they come to receiving.

    That is by the end of the visit, then by its start, then by its turn (`bookings.py`); within a visit the set, its
    add-ons, then drawer pouches, in the order of the visit. Seconds after midnight. `out` is when a set or add-on
    leaves the store and when a drawer pouch is opened; `visit` is a number in the day's bookings.
    """

    kind: list[int]
    visit: list[int]
    out: list[int]
    received: list[int]


class Takings:
    """The items that each procedure takes at each chair, worked out once for a practice."""

    def __init__(self, practice: Practice) -> None:
        self._practice = practice
        self.kinds = tuple(_kinds(practice))
        self._carry = seconds(practice.room.carry)
        self._number = {kind.id: n for n, kind in enumerate(self.kinds)}
        self._orders = {
            (procedure, chair): _Orders(practice, procedure, chair, self._number)
            for procedure in practice.procedures
            for chair in practice.chairs
        }

    def of_day(self, bookings: Sequence[Booking]) -> DayItems:
        kinds: list[int] = []
        visits: list[int] = []
        outs: list[int] = []
        received: list[int] = []
        carry = self._carry
        for visit in sorted(range(len(bookings)), key=[b.end for b in bookings].__getitem__):
            start, end, chair, procedure, luck = bookings[visit]
            orders = self._orders[procedure, chair]
            for kind, lucky, share, before in orders[int(luck[-1] * orders.count)]:
                if luck[lucky] < share:
                    kinds.append(kind)
                    visits.append(visit)
                    outs.append(start - before)
                    received.append(end + carry)
        return DayItems(kinds, visits, outs, received)

    def mean_taken(self, procedure: str, chair: str) -> Mapping[str, float]:
        """Return how many of each kind, by id, a visit takes on average."""
        orders = self._orders[procedure, chair]
        shares: dict[str, list[float]] = {}
        for n in orders.different:
            for taken in orders[n]:
                shares.setdefault(self.kinds[taken.kind].id, []).append(taken.share)
        return {id_: fsum(each) / len(orders.different) for id_, each in shares.items()}

    def in_use(self) -> frozenset[int]:
        """Return the numbers of the kinds that a visit may take, where there are such visits."""
        return self._taken_at(booked_places(self._practice))

    def could_be_taken(self) -> frozenset[int]:
        """Return the numbers of the kinds that a visit would take, also of procedures that nobody books."""
        practice = self._practice
        return self._taken_at([(p, chair) for p in practice.procedures for chair in practice.chairs_for(p)])

    def _taken_at(self, places: Iterable[tuple[str, str]]) -> frozenset[int]:
        orders = [self._orders[place] for place in places]
        return frozenset(taken.kind for each in orders for n in range(each.count) for taken in each[n] if taken.share)


def _kinds(practice: Practice) -> Iterator[ItemKind]:
    """Yield the kinds that can leave the store: what a procedure uses, and what is in a drawer."""
    procedures = practice.procedures.values()
    for id_, set_ in practice.sets.items():
        if any(p.set == id_ for p in procedures):
            yield ItemKind(id=id_, role="set", size=set_.cassette)
    for id_, pouch in practice.pouches.items():
        if pouch.kind == "add-on" and any(id_ in p.add_ons for p in procedures):
            yield ItemKind(id=id_, role="add-on", size=pouch.size)
        if pouch.kind == "drawer" and any(id_ in c.drawer for c in practice.chairs.values()):
            yield ItemKind(id=id_, role="drawer", size=pouch.size)


class _Orders(dict[int, tuple[Taken, ...]]):
    """What a procedure takes at a chair, by the number of the order of the visit; worked out when it is asked for."""

    def __init__(self, practice: Practice, procedure: str, chair: str, number: Mapping[str, int]) -> None:
        self._practice = practice
        self._record = practice.procedures[procedure]
        self._setup = seconds(practice.room.setup)
        self._number = number
        in_set = practice.sets[self._record.set].contents
        self._unmet = sorted(need for need in self._record.needs if need not in in_set)
        self._add_ons = sorted(self._record.add_ons)
        drawer = practice.chairs[chair].drawer
        self._drawer = sorted(p for p in drawer if set(practice.pouches[p].contents).intersection(self._unmet))
        self._lucky = {need: n for n, need in enumerate(occasional(self._record))}
        self.count = min(factorial(len(self._add_ons)) * factorial(len(self._drawer)), _MOST_ORDERS)
        alike = self._share_a_need(self._add_ons) or self._share_a_need(self._drawer)
        self.different = range(self.count) if alike else range(1)
        """The orders in which what is taken may differ; in all others only its order does."""

    def _share_a_need(self, pouches: Sequence[str]) -> bool:
        held = [need for p in pouches for need in set(self._practice.pouches[p].contents).intersection(self._unmet)]
        return len(held) > len(set(held))

    def __missing__(self, n: int) -> tuple[Taken, ...]:
        self[n] = taken = tuple(self._taken(n))
        return taken

    def _taken(self, n: int) -> Iterator[Taken]:
        add_ons, n = _ordered(self._add_ons, n)
        drawer, _ = _ordered(self._drawer, n)
        unmet = list(self._unmet)
        yield Taken(self._number[self._record.set], len(self._lucky), 1.0, self._setup)
        met = self._met(add_ons, unmet)
        for add_on in add_ons:
            yield Taken(self._number[add_on], met[add_on][0], self._record.add_ons[add_on], self._setup)
        met = self._met(drawer, unmet)
        for pouch in drawer:
            luck, share = met[pouch]
            if share:
                yield Taken(self._number[pouch], luck, share, 0)

    def _met(self, pouches: Sequence[str], unmet: list[str]) -> dict[str, tuple[int, float]]:
        """Return luck and share of each pouch's leading need; what they meet is unmet no more."""
        contents = {pouch: self._practice.pouches[pouch].contents for pouch in pouches}
        met: dict[str, tuple[int, float]] = {}
        while len(met) < len(pouches):
            left = [pouch for pouch in pouches if pouch not in met]
            pouch = min(left, key=lambda p: (-len(set(contents[p]).intersection(unmet)), len(contents[p])))
            here = [need for need in unmet if need in contents[pouch]]
            unmet[:] = [need for need in unmet if need not in here]
            leading = max(here, key=self._record.needs.__getitem__, default="")
            share = self._record.needs[leading] if here else 0.0
            met[pouch] = (self._lucky.get(leading, len(self._lucky)), share)
        return met


def _ordered(ids: Sequence[str], n: int) -> tuple[list[str], int]:
    """Return the ids in their order number `n`, and what is left of the number."""
    left = list(ids)
    ordered = []
    while left:
        n, place = divmod(n, len(left))
        ordered.append(left.pop(place))
    return ordered, n
