"""The items of a visit: its set, its add-ons, and the drawer pouches that are opened in it.

What a visit wants is its own and does not depend on how it is packed: each need has its own luck. So a pouch that
serves two rare needs is opened for either of them, and two needs of 5 % and 4 % open it in 8.8 % of visits, not in 5 %:
to bundle is not free. A need that comes with another (`4% with bird-beak`) goes by the luck of that one: every visit
that wants the rarer wants the other, too, and a pouch with both is opened in 5 %.

- A *need* is met by the set, else by one of the procedure's add-ons that holds it, else by a pouch in the chair's
  drawer that holds it. Where a visit needs several of an instrument, each of them is a need, and one pouch of a kind
  is opened. Add-ons, then drawer pouches, are gone through one by one: next is always the one that meets most of the
  needs still unmet, of several the one with fewest pieces in it, of several the first in the order of the visit.
- A *drawer pouch* is opened when at least one of the needs that it meets is wanted: when the luck of one is below its
  share.
- An *add-on* is taken with its own share. It goes by the luck of its leading need: the one with the largest share among
  those it meets, of several the first by id. When every visit has that need, or it meets none, it goes by the last
  number but one of the luck.

The *order of the visit* is drawn for each visit, so that no order in the folder matters. It is one of the orders of the
procedure's n add-ons with each of those of the m pouches in the chair's drawer that hold a need which the set does not:
number [luck × min(n! m!, 120)], rounded down, with the last number of the luck. Such a number x orders a list that is
sorted by id: what stands at place x mod n, from 0 on, is taken out of it, then the quotient x div n says in the same
way which of the n - 1 that are left is next, and so on; what is left of x then orders the drawer.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import factorial, fsum
from typing import Literal, NamedTuple, TypeAlias

from kitdocs.planning.day.bookings import booked_places, occasional
from kitdocs.planning.day.instants import seconds
from kitdocs.planning.day.visit import Booking
from kitdocs.practice.model import Practice
from kitdocs.practice.needs import any_of

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


Wish: TypeAlias = tuple[int, float]
"""A need that is wanted when that number of the luck is below the share."""


class Taken(NamedTuple):
    """A kind (by number) that a visit takes, so many seconds `before` its start.

    It is taken when number `luck` is below `share`, or when one of the `others` is wanted.
    """

    kind: int
    luck: int
    share: float
    before: int
    others: tuple[Wish, ...] = ()

    @property
    def mean(self) -> float:
        """The share of visits that take it."""
        return any_of((self.share, *(share for _, share in self.others)))


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
        self._orders = dict(self._by_place())

    def of_day(self, bookings: Sequence[Booking]) -> DayItems:
        kinds: list[int] = []
        visits: list[int] = []
        outs: list[int] = []
        received: list[int] = []
        carry = self._carry
        for visit in sorted(range(len(bookings)), key=[b.end for b in bookings].__getitem__):
            start, end, chair, procedure, luck, _ = bookings[visit]
            orders = self._orders[procedure, chair]
            for kind, lucky, share, before, others in orders[int(luck[-1] * orders.count)]:
                if luck[lucky] < share or (others and any(luck[n] < rare for n, rare in others)):
                    kinds.append(kind)
                    visits.append(visit)
                    outs.append(start - before)
                    received.append(end + carry)
        return DayItems(kinds, visits, outs, received)

    def mean_taken(self, procedure: str, chair: str) -> Mapping[str, float]:
        """Return how many of each kind, by id, a visit takes on average."""
        return {self.kinds[kind].id: mean for kind, mean in self._orders[procedure, chair].mean.items()}

    def in_use(self) -> frozenset[int]:
        """Return the numbers of the kinds that a visit may take, where there are such visits."""
        return self._taken_at(booked_places(self._practice))

    def could_be_taken(self) -> frozenset[int]:
        """Return the numbers of the kinds that a visit would take, also of procedures that nobody books."""
        practice = self._practice
        return self._taken_at([(p, chair) for p in practice.procedures for chair in practice.chairs_for(p)])

    def _by_place(self) -> Iterator[tuple[tuple[str, str], _Orders]]:
        """Yield what is taken by procedure and chair; chairs with the same pouches of use in the drawer share it."""
        practice = self._practice
        holding: dict[str, set[str]] = {}
        for id_ in {id_ for chair in practice.chairs.values() for id_ in chair.drawer}:
            for instrument in practice.pouches[id_].contents:
                holding.setdefault(instrument, set()).add(id_)
        for procedure in practice.procedures:
            alike: dict[frozenset[str], _Orders] = {}
            of_use = {id_ for need in _needs_beyond_set(practice, procedure) for id_ in holding.get(need, ())}
            for chair, record in practice.chairs.items():
                drawer = frozenset(of_use.intersection(record.drawer))
                if drawer not in alike:
                    alike[drawer] = _Orders(practice, procedure, drawer, self._number)
                yield (procedure, chair), alike[drawer]

    def _taken_at(self, places: Iterable[tuple[str, str]]) -> frozenset[int]:
        taken: set[int] = set()
        for place in places:
            orders = self._orders[place]
            for n in orders.different:
                if orders.kinds <= taken:
                    break
                taken.update(one.kind for one in orders[n] if one.share)
        return frozenset(taken)


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


class _Pouch(NamedTuple):
    """A pouch as a visit may need it. `holds` are bits: which of the needs that the set does not meet.

    Of an instrument of which several are needed, it holds all of them, or so many as `fewer` says beside their bits.
    """

    kind: int
    holds: int
    pieces: int
    fewer: tuple[tuple[int, int], ...]

    def meets(self, unmet: int) -> int:
        """Return the needs that it meets."""
        here = self.holds & unmet
        for several, held in self.fewer:
            for _ in range((here & several).bit_count() - held):
                here ^= 1 << (here & several).bit_length() - 1
        return here


class _Orders(dict[int, tuple[Taken, ...]]):
    """What a procedure takes with certain pouches in the drawer, by the number of the order of the visit.

    It is worked out when it is asked for. Of the needs that the set does not meet, the leading ones are the lower bits.
    """

    def __init__(self, practice: Practice, procedure: str, drawer: Iterable[str], number: Mapping[str, int]) -> None:
        record = practice.procedures[procedure]
        lucky = {need: n for n, need in enumerate(occasional(record))}
        self._any = len(lucky)
        lucky |= {i: lucky[need.along] for i, need in record.needs.items() if need.along in lucky}
        beyond = _needs_beyond_set(practice, procedure)
        unmet = sorted(beyond, key=lambda need: (-record.needs[need].share, need))
        self._leading: list[Wish] = []
        bits: dict[str, int] = {}
        for need in unmet:
            bits[need] = ((1 << beyond[need]) - 1) << len(self._leading)
            self._leading += [(lucky.get(need, self._any), record.needs[need].share)] * beyond[need]
        self._unmet = (1 << len(self._leading)) - 1

        def pouches(ids: Iterable[str]) -> list[_Pouch]:
            return [_pouch(number[id_], practice.pouches[id_].contents, bits) for id_ in sorted(ids)]

        self._setup = seconds(practice.room.setup)
        self._set = Taken(number[record.set], self._any, 1.0, self._setup)
        self._share = {number[id_]: share for id_, share in record.add_ons.items()}
        self._add_ons, self._drawer = pouches(record.add_ons), pouches(drawer)
        self.kinds = frozenset(pouch.kind for pouch in (*self._add_ons, *self._drawer)) | {self._set.kind}
        """Everything that may be taken, and perhaps something that never is."""
        self.count = min(factorial(len(self._add_ons)) * factorial(len(self._drawer)), _MOST_ORDERS)
        alike = _share_a_need(self._add_ons) or _share_a_need(self._drawer)
        self.different = range(self.count) if alike else range(1)
        """The orders in which what is taken may differ; in all others only its order does."""

    def __missing__(self, n: int) -> tuple[Taken, ...]:
        self[n] = taken = tuple(self._taken(n))
        return taken

    @cached_property
    def mean(self) -> dict[int, float]:
        """How many of each kind a visit takes on average."""
        shares: dict[int, list[float]] = {}
        for n in self.different:
            for taken in self[n]:
                shares.setdefault(taken.kind, []).append(taken.mean)
        return {kind: fsum(each) / len(self.different) for kind, each in shares.items()}

    def _taken(self, n: int) -> Iterator[Taken]:
        add_ons, n = _ordered(self._add_ons, n)
        drawer, _ = _ordered(self._drawer, n)
        yield self._set
        met, unmet = self._met(add_ons, self._unmet)
        for add_on in add_ons:
            (luck, _), *_ = met.get(add_on, ((self._any, 0.0),))
            yield Taken(add_on.kind, luck, self._share[add_on.kind], self._setup)
        met, _ = self._met(drawer, unmet)
        for pouch in drawer:
            (luck, share), *others = met.get(pouch, ((self._any, 0.0),))
            if share:
                yield Taken(pouch.kind, luck, share, 0, tuple(others))

    def _met(self, pouches: Iterable[_Pouch], unmet: int) -> tuple[dict[_Pouch, list[Wish]], int]:
        """Return the needs that each pouch meets, the leading one first, and the needs still unmet."""
        # Of pouches that hold the same, only the first meets anything, unless it holds fewer than are needed.
        first: dict[tuple[int, ...], _Pouch] = {}
        for pouch in pouches:
            first.setdefault((pouch.holds, pouch.pieces, *((pouch.kind,) if pouch.fewer else ())), pouch)
        left = list(first.values())
        met: dict[_Pouch, list[Wish]] = {}
        while left := [pouch for pouch in left if pouch.holds & unmet and pouch not in met]:
            pouch = min(left, key=lambda p: (-p.meets(unmet).bit_count(), p.pieces))
            here = pouch.meets(unmet)
            wishes: dict[int, float] = {}  # of one luck, the largest share: it comes first
            for n, (luck, share) in enumerate(self._leading):
                if here >> n & 1:
                    wishes.setdefault(luck, share)
            met[pouch] = list(wishes.items())
            unmet &= ~here
        return met, unmet


def _pouch(kind: int, contents: Sequence[str], bits: Mapping[str, int]) -> _Pouch:
    """Return a pouch with these contents; `bits` are those of the needs by instrument."""
    held = {need: contents.count(need) for need in bits if need in contents}
    return _Pouch(
        kind,
        holds=sum(bits[need] for need in held),
        pieces=len(contents),
        fewer=tuple((bits[need], count) for need, count in held.items() if count < bits[need].bit_count()),
    )


def _needs_beyond_set(practice: Practice, procedure: str) -> dict[str, int]:
    """Return how many of each instrument a visit needs beyond those in its set."""
    record = practice.procedures[procedure]
    in_set = practice.sets[record.set].contents
    lacking = {instrument: need.count - in_set.count(instrument) for instrument, need in record.needs.items()}
    return {instrument: count for instrument, count in lacking.items() if count > 0}


def _share_a_need(pouches: Iterable[_Pouch]) -> bool:
    so_far = 0
    for pouch in pouches:
        if so_far & pouch.holds:
            return True
        so_far |= pouch.holds
    return False


def _ordered(pouches: Sequence[_Pouch], n: int) -> tuple[list[_Pouch], int]:
    """Return the pouches in their order number `n`, and what is left of the number."""
    left = list(pouches)
    ordered = []
    while left:
        n, place = divmod(n, len(left))
        ordered.append(left.pop(place))
    return ordered, n
