"""Transfers of what one practice has too many of and another has to buy, and one order list for the rest.

Of each kind as many pieces move as can: the smaller of all surplus and of all that is to be bought. They go first where
a new one costs most, so that, in one currency, no list saves more; and from who has most to who needs most, so that few
parcels are packed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from heapq import heapify, heappop, heappush
from typing import TypeAlias

from kitdocs.group.summary import OwnedKind, Summary
from kitdocs.practice.values import Text

#: What is one thing in every practice: its kind, its id, and by what it is known as the same.
Thing: TypeAlias = tuple[str, str, tuple[str | float, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Transfer:
    """So many pieces go from one practice to another; `price` is what one costs the other new, in its currency."""

    kind: str
    id: str
    name: Text
    pieces: int
    giver: str
    taker: str
    price: Decimal | None
    currency: str

    @property
    def saves(self) -> Decimal | None:
        return None if self.price is None else self.price * self.pieces


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderedFor:
    """What one practice orders of a kind."""

    practice: str
    pieces: int
    price: Decimal | None
    currency: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderTogether:
    """One line of the order list of all practices."""

    kind: str
    id: str
    name: Text
    shares: tuple[OrderedFor, ...]

    @property
    def pieces(self) -> int:
        return sum(share.pieces for share in self.shares)

    def cost(self, currency: str) -> Decimal:
        """Return what is stated of its cost in a currency."""
        mine = [s for s in self.shares if s.currency == currency and s.price is not None]
        return sum((share.pieces * share.price for share in mine if share.price is not None), Decimal(0))

    @property
    def without_price(self) -> int:
        return sum(share.pieces for share in self.shares if share.price is None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchange:
    """Everything that moves, and everything that is still to be bought."""

    transfers: tuple[Transfer, ...]
    orders: tuple[OrderTogether, ...]

    def saved(self, currency: str) -> Decimal:
        """Return what the transfers save in a currency, of what has a price."""
        mine = (each.saves for each in self.transfers if each.currency == currency)
        return sum((saves for saves in mine if saves is not None), Decimal(0))

    def cost(self, currency: str) -> Decimal:
        """Return what is still to be paid in a currency, of what has a price."""
        return sum((line.cost(currency) for line in self.orders), Decimal(0))


@dataclass(slots=True)
class _Left:
    """How many pieces of one kind a practice can still give or has still to get."""

    practice: str
    kind: OwnedKind
    currency: str
    pieces: int


def exchange(practices: Mapping[str, Summary]) -> Exchange:
    """Return what moves between practices and what they buy together, kinds in the order of their names."""
    givers, takers = _by_thing(practices, "at_hand"), _by_thing(practices, "buy")
    transfers: list[Transfer] = []
    orders: list[OrderTogether] = []
    for thing in sorted(takers, key=lambda thing: (thing[0] != "instrument", thing[1], thing[2])):
        transfers += _moved(givers.get(thing, []), takers[thing])
        if shares := _bought(takers[thing]):
            first = takers[thing][0].kind
            orders.append(OrderTogether(kind=first.kind, id=first.id, name=first.name, shares=shares))
    return Exchange(transfers=tuple(transfers), orders=tuple(orders))


def _by_thing(practices: Mapping[str, Summary], what: str) -> dict[Thing, list[_Left]]:
    found: dict[Thing, list[_Left]] = defaultdict(list)
    for name, summary in practices.items():
        for kind in summary.kinds:
            pieces: int = getattr(kind, what)
            if pieces > 0:
                left = _Left(practice=name, kind=kind, currency=summary.currency, pieces=pieces)
                found[kind.kind, kind.id, kind.alike].append(left)
    return found


def _moved(givers: Sequence[_Left], takers: Sequence[_Left]) -> list[Transfer]:
    moved: list[Transfer] = []
    dearest = sorted(takers, key=lambda taker: (-(taker.kind.price or Decimal(0)), -taker.pieces, taker.practice))
    most = [(-giver.pieces, number) for number, giver in enumerate(givers)]
    heapify(most)
    for taker in dearest:
        while taker.pieces and most:
            number = heappop(most)[1]
            giver = givers[number]
            pieces = min(giver.pieces, taker.pieces)
            giver.pieces -= pieces
            taker.pieces -= pieces
            if giver.pieces:
                heappush(most, (-giver.pieces, number))
            moved.append(
                Transfer(
                    kind=taker.kind.kind,
                    id=taker.kind.id,
                    name=taker.kind.name,
                    pieces=pieces,
                    giver=giver.practice,
                    taker=taker.practice,
                    price=taker.kind.price,
                    currency=taker.currency,
                )
            )
    return moved


def _bought(takers: Sequence[_Left]) -> tuple[OrderedFor, ...]:
    return tuple(
        OrderedFor(practice=taker.practice, pieces=taker.pieces, price=taker.kind.price, currency=taker.currency)
        for taker in takers
        if taker.pieces
    )
