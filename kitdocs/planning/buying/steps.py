"""Buying in steps: what to buy first, second, third on the way to the plan, and what each step is good for.

*Short* is, for a day and a kind of set, add-on pouch or drawer, how many more would have been needed at its worst time
than there are; a day's shortage is that of all kinds together. The way is made so:

1. *Start.* From the plan's counts, one at a time is left out: the one that adds least shortage for the money it saves
   (of two alike the one named first), until nothing has to be bought.
2. *Way.* One at a time is added, the one that ends most shortage for its money (of two alike the one named first); what
   costs nothing, because its pieces are owned, comes before all others. A step goes on as long as its money buys
   anything that ends a shortage. This is marginal analysis, as for spare parts of several kinds (SOURCES: METRIC).

What one more costs is what it takes beyond what is owned; what has no price costs nothing. Counts that the practice
wrote are the end of the way as those worked out are. Spares for repair come last: a set that is not there is missed
every day.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import count, pairwise
from math import inf
from typing import Any

from kitdocs.planning.buying.orders import OrderList
from kitdocs.planning.day.chance import Chance
from kitdocs.planning.day.joint import JointNeeds, Kind
from kitdocs.planning.day.par import DrawerSlot
from kitdocs.planning.day.promise import Chosen
from kitdocs.planning.day.run import BusyDays
from kitdocs.practice.model import Piece, Practice

#: Steps below the plan, so that all of them stand beside each other on a phone.
MOST_STEPS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyingStep:
    """What there is when so much money is spent, in the practice's currency."""

    purse: Decimal
    """What may be spent."""
    spent: Decimal
    own: Mapping[str, int]
    """Sets and pouches, by id."""
    drawers: Mapping[DrawerSlot, int]
    """Of these, how many in each drawer and, for the chair `BEYOND`, of each pouch beyond the drawers; spares apart."""
    short: float
    """Sets and pouches that are short at the worst time, of all kinds together, on the average busy day."""
    kept: Chance
    """Nothing at all is short."""


def buying_steps(practice: Practice, ran: BusyDays, orders: OrderList) -> tuple[BuyingStep, ...]:
    """Return the steps from nothing bought to the plan with its spares; none where nothing has to be bought."""
    if not orders.total:
        return ()
    return steps_with(practice, ran, orders, _purses(orders.total, practice.settings.budget))


def steps_with(
    practice: Practice,
    ran: BusyDays,
    orders: OrderList,
    purses: Sequence[Decimal],
    begin: BuyingStep | None = None,
) -> tuple[BuyingStep, ...]:
    """Return what there is with each purse, the smallest first; then the plan with its spares.

    With `begin`, the way goes on from what there is then, whatever the room was: nothing that was bought is given back.
    """
    return tuple(_Way(practice, ran, orders).steps(purses, begin))


class Together:
    """The counts of sets, add-ons and drawers that keep so many of the days that were run, each chosen once."""

    def __init__(self, ran: BusyDays) -> None:
        sets, drawers = ran.chosen_sets.needs, ran.chosen_drawers.needs
        self._needs: JointNeeds[Any] = JointNeeds({**sets.kinds, **drawers.kinds}, ran.days)
        self._known: dict[int, Mapping[Any, int]] = {}

    def keeping(self, days: int) -> Mapping[Any, int]:
        if days not in self._known:
            self._known[days] = self._needs.choose(days / self._needs.days)
        return self._known[days]


def best_within(
    practice: Practice,
    ran: BusyDays,
    orders: OrderList,
    together: Together,
    purse: Decimal,
    begin: BuyingStep,
    toward: BuyingStep | None = None,
) -> BuyingStep:
    """Return what keeps nothing short most often for a purse; of two alike, what leaves less short.

    Compared are the way that ends most shortage for its money, and the counts that are chosen together for the highest
    chance that the purse pays for (`planning/day/joint.py`), with the way for what is left of it. What there is to
    `begin` with stays; with `toward`, nothing is bought that is not there in the end.
    """
    (way,) = _Way(practice, ran, orders, toward).within(purse, begin)
    best, low, high = way, way.kept.kept, toward.kept.kept if toward else ran.days
    while low < high:
        asked = (low + high + 1) // 2
        chosen = _Way(practice, ran, orders, toward).within(purse, begin, together.keeping(asked))
        low, high = (asked, high) if chosen else (low, asked - 1)
        best = max((best, *chosen), key=lambda step: (step.kept.kept, -step.short))
    return best


def bought(steps: Sequence[BuyingStep]) -> tuple[Mapping[str, int], ...]:
    """Return what each step after the first adds, by the id of set or pouch."""
    return tuple(
        {id_: more for id_ in steps[-1].own if (more := after.own.get(id_, 0) - before.own.get(id_, 0)) > 0}
        for before, after in pairwise(steps)
    )


def _purses(total: Decimal, budget: Decimal | None) -> list[Decimal]:
    """Return round amounts below the total; a budget takes the place of the one next to it."""
    purses = round_amounts(total)
    if budget and budget < total:
        nearest = min(purses[1:], key=lambda purse: abs(purse - budget), default=budget)
        purses = sorted({budget, *purses} - ({nearest} - {budget}))
    return purses


def round_amounts(total: Decimal) -> list[Decimal]:
    """Return 0 and multiples, below the total, of the smallest amount of one digit and noughts that has at most 4."""
    sizes = (Decimal(digit * 10**power) for power in count() for digit in range(1, 10))
    size = next(size for size in sizes if total <= MOST_STEPS * size)
    return [size * n for n in range(MOST_STEPS) if size * n < total]


@dataclass(slots=True)
class _Slot:
    """A kind of set or add-on in the store, or a pouch in one drawer or beyond the drawers."""

    pack: str
    pieces: Counter[Piece]
    missed: list[int]
    """By count, on how many days one more would have been needed."""
    limit: int
    """What the plan has."""
    have: int
    costs: Decimal | None = None
    """What one more costs, once it is known; it changes with what there is of each piece."""
    saves: Decimal | None = None
    """What one fewer saves, likewise."""


class _Way:
    """The way from what is owned to the plan."""

    def __init__(self, practice: Practice, ran: BusyDays, orders: OrderList, toward: BuyingStep | None = None) -> None:
        self._ran, self._orders = ran, orders
        self._owned: dict[Piece, int] = {(line.kind, line.id): line.owned for line in orders.lines}
        self._price: dict[Piece, Decimal] = {(line.kind, line.id): line.price or Decimal(0) for line in orders.lines}
        sets, drawers = ran.chosen_sets, ran.chosen_drawers
        self._sets = {kind: self._slot(practice, sets, kind, kind) for kind in sets.counts}
        self._drawers = {kind: self._slot(practice, drawers, kind, kind[1]) for kind in drawers.counts}
        self._slots = [*self._sets.values(), *self._drawers.values()]
        for slot, number in self._numbers_of(toward) if toward else ():
            slot.limit = min(number, len(slot.missed))
        self._needed: Counter[Piece] = Counter()
        self._with: dict[Piece, list[_Slot]] = {}
        for slot in self._slots:
            self._need(slot, slot.have)
            for piece in slot.pieces:
                self._with.setdefault(piece, []).append(slot)

    def _slot(self, practice: Practice, chosen: Chosen[Kind], kind: Kind, pack: str) -> _Slot:
        needs, plan = chosen.needs.kinds[kind].by_day, chosen.counts[kind]
        missed = [sum(need > number for need in needs) for number in range(max(plan, *needs))]
        return _Slot(pack=pack, pieces=practice.pieces(pack), missed=missed, limit=plan, have=plan)

    def _need(self, slot: _Slot, more: int) -> None:
        for piece, number in slot.pieces.items():
            self._needed[piece] += more * number

    def _change(self, slot: _Slot, more: int) -> None:
        slot.have += more
        self._need(slot, more)
        for piece in slot.pieces:
            for other in self._with[piece]:
                other.costs = other.saves = None

    def within(self, purse: Decimal, begin: BuyingStep, counts: Mapping[Any, int] | None = None) -> list[BuyingStep]:
        """Return what there is when a purse is spent, of these counts first; nothing where it does not pay for them."""
        self._begin_with(begin)
        if counts:
            for kind, slot in (*self._sets.items(), *self._drawers.items()):
                self._change(slot, max(0, min(counts[kind], slot.limit) - slot.have))
        if self._spent() > purse:
            return []
        self._buy(purse)
        return [self._step(purse, self._spent(), self._own())]

    def steps(self, purses: Sequence[Decimal], begin: BuyingStep | None) -> Iterator[BuyingStep]:
        if begin is None:
            self._start()
        else:
            self._begin_with(begin)
        for purse in purses:
            self._buy(purse)
            yield self._step(purse, self._spent(), self._own())
        for slot in self._slots:
            self._change(slot, slot.limit - slot.have)
        total = self._orders.total
        yield self._step(total, total, {**self._ran.stock, **self._ran.pouch_stock})

    def _start(self) -> None:
        """Leave out until nothing has to be bought."""
        while saving := [(slot, saved) for slot in self._slots if slot.have and (saved := self._saved(slot))]:
            leaves, _ = min(saving, key=lambda each: each[0].missed[each[0].have - 1] / float(each[1]))
            self._change(leaves, -1)

    def _buy(self, purse: Decimal) -> None:
        while best := self._most_for_its_money(purse - self._spent()):
            self._change(best, 1)

    def _begin_with(self, begin: BuyingStep) -> None:
        for slot, number in self._numbers_of(begin):
            self._change(slot, number - slot.have)

    def _numbers_of(self, step: BuyingStep) -> Iterator[tuple[_Slot, int]]:
        yield from ((slot, step.own.get(kind, 0)) for kind, slot in self._sets.items())
        yield from ((slot, step.drawers.get(place, 0)) for place, slot in self._drawers.items())

    def _most_for_its_money(self, purse: Decimal) -> _Slot | None:
        """Return what to buy next for no more than `purse`; None where nothing ends a shortage."""
        best, most = None, 0.0
        for slot in self._slots:
            ends = slot.missed[slot.have] if slot.have < slot.limit else 0
            if ends and (cost := self._cost(slot)) <= purse:
                worth = ends / float(cost) if cost else inf
                if worth > most:
                    best, most = slot, worth
        return best

    def _cost(self, slot: _Slot) -> Decimal:
        """Return what one more costs beyond what is owned."""
        if slot.costs is None:
            more = {piece: min(n, self._to_buy(piece) + n) for piece, n in slot.pieces.items()}
            slot.costs = self._price_of(more)
        return slot.costs

    def _saved(self, slot: _Slot) -> Decimal:
        """Return what one fewer saves."""
        if slot.saves is None:
            slot.saves = self._price_of({piece: min(n, self._to_buy(piece)) for piece, n in slot.pieces.items()})
        return slot.saves

    def _spent(self) -> Decimal:
        return self._price_of({piece: self._to_buy(piece) for piece in self._needed})

    def _to_buy(self, piece: Piece) -> int:
        return self._needed[piece] - self._owned[piece]

    def _price_of(self, pieces: Mapping[Piece, int]) -> Decimal:
        return sum((self._price[piece] * n for piece, n in pieces.items() if n > 0), Decimal(0))

    def _own(self) -> dict[str, int]:
        own: Counter[str] = Counter()
        for slot in self._slots:
            own[slot.pack] += slot.have
        return dict(own)

    def _step(self, purse: Decimal, spent: Decimal, own: Mapping[str, int]) -> BuyingStep:
        sets, drawers, days = self._ran.chosen_sets.needs, self._ran.chosen_drawers.needs, self._ran.days
        kept = sets.kept_days({kind: slot.have for kind, slot in self._sets.items()})
        kept &= drawers.kept_days({kind: slot.have for kind, slot in self._drawers.items()})
        return BuyingStep(
            purse=purse,
            spent=spent,
            own=own,
            drawers={place: slot.have for place, slot in self._drawers.items()},
            short=sum(sum(slot.missed[slot.have :]) for slot in self._slots) / days,
            kept=Chance(kept.bit_count(), days),
        )
