"""A purse spent in steps: what to buy first, second, third, and the chance after each.

Sets and pouches are bought as `planning/buying/steps.py` buys them. What `candidates:` in room.yaml prices may stand
at any step between them:

1. *What.* Each candidate, alone and in twos, is bought with the rest of the purse for sets and pouches in the room as
   it then is, run by the plan on the same days. Taken is what leaves the best chance that nothing is short; of two
   alike, what leaves less short; then the cheaper.
2. *When.* Each of these candidates is tried at each step, with all orders between them. Taken is the order that has the
   best chances on the way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import combinations, pairwise

from kitdocs.planning.buying.orders import OrderList
from kitdocs.planning.buying.placement import orders_for
from kitdocs.planning.buying.steps import BuyingStep, Together, best_within, bought, round_amounts, steps_with
from kitdocs.planning.day.chance import Chance
from kitdocs.planning.day.run import BusyDays
from kitdocs.practice.model import Practice
from kitdocs.proposing.ways import SingleChange

#: So many candidates, alone and in twos, are tried with a purse.
MOST_TRIED = 15

Made = tuple[SingleChange, ...]
"""Candidates that are bought, in the order of room.yaml."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PurseStep:
    """What there is after a step, and what the candidates cost that are bought by then."""

    made: Made
    packs: BuyingStep
    """Its `purse` and `spent` are those of sets and pouches alone."""

    @property
    def spent(self) -> Decimal:
        return _price(self.made) + self.packs.spent


@dataclass(frozen=True, slots=True, kw_only=True)
class Spent:
    """A purse, spent."""

    steps: tuple[PurseStep, ...]
    """The first with nothing bought."""
    packs_alone: Chance
    """What the whole purse comes to when only sets and pouches are bought."""
    tried: int
    """How many candidates, and twos of them, the purse was tried with."""
    left: int
    """How many more it would pay for."""

    @property
    def made(self) -> Made:
        """Return the candidates that are bought in the end."""
        return self.steps[-1].made

    @property
    def falls(self) -> tuple[int, ...]:
        """Return the numbers, from 1, of the steps after which the chance is less than before."""
        kept = [step.packs.kept.kept for step in self.steps]
        return tuple(n for n, (before, after) in enumerate(pairwise(kept), 1) if after < before)

    def bought(self) -> Iterator[tuple[Made, dict[str, int]]]:
        """Yield what each step after the first adds: candidates, then sets and pouches by id."""
        packs = bought([step.packs for step in self.steps])
        for (before, after), more in zip(pairwise(self.steps), packs, strict=True):
            yield tuple(way for way in after.made if way not in before.made), dict(more)


def spend(
    practice: Practice,
    ran: BusyDays,
    purse: Decimal,
    ways: Sequence[SingleChange],
    run: Callable[[Made], tuple[Practice, BusyDays] | None],
) -> Spent:
    """Return how to spend a purse. `run` runs the days with changes made; None where they cannot be."""
    rooms: dict[Made, _Room] = {(): _Room.of((practice, ran))}
    payable = list(_payable(ways, purse))
    for made in payable[:MOST_TRIED]:
        changed = run(made)
        if changed is not None:
            rooms[made] = _Room.of(changed)
    nothing = rooms[()].nothing()
    ends = {made: room.best(purse - _price(made), nothing) for made, room in rooms.items()}

    def worth(made: Made) -> tuple[int, float, Decimal, bool]:
        end = ends[made]
        return end.kept.kept, -end.short, -_price(made) - end.spent, not made

    best = max(ends, key=worth)
    orders = _orders_of(best, ends[best], rooms, purse, nothing)
    steps = max(orders, key=lambda steps: sum(step.packs.kept.kept for step in steps))
    return Spent(
        steps=tuple(step for n, step in enumerate(steps) if not n or step != steps[n - 1]),
        packs_alone=ends[()].kept,
        tried=min(len(payable), MOST_TRIED),
        left=max(0, len(payable) - MOST_TRIED),
    )


@dataclass(frozen=True, slots=True)
class _Room:
    """The room with some candidates bought."""

    practice: Practice
    ran: BusyDays
    orders: OrderList
    together: Together

    @classmethod
    def of(cls, changed: tuple[Practice, BusyDays]) -> _Room:
        return cls(*changed, orders_for(*changed), Together(changed[1]))

    def nothing(self) -> BuyingStep:
        """Return what there is without any money."""
        return steps_with(self.practice, self.ran, self.orders, [Decimal(0)])[0]

    def best(self, purse: Decimal, begin: BuyingStep) -> BuyingStep:
        """Return what there is when a purse is spent on sets and pouches: the plan, where it pays for it."""
        if self.orders.total <= purse:
            return steps_with(self.practice, self.ran, self.orders, [], begin)[-1]
        return self._best(purse, begin)

    def toward(self, end: BuyingStep, purse: Decimal, begin: BuyingStep) -> BuyingStep:
        """Return what there is with some of a larger purse."""
        return self._best(purse, begin, end)

    def _best(self, purse: Decimal, begin: BuyingStep, end: BuyingStep | None = None) -> BuyingStep:
        return best_within(self.practice, self.ran, self.orders, self.together, purse, begin, end)


def _orders_of(
    made: Made, end: BuyingStep, rooms: Mapping[Made, _Room], purse: Decimal, nothing: BuyingStep
) -> Iterator[tuple[PurseStep, ...]]:
    """Yield the orders in which candidates can be bought between sets and pouches, the earliest first."""
    amounts = round_amounts(total) if (total := min(purse, _price(made) + end.spent)) else []
    some_of = (some for n in range(1, len(made)) for some in combinations(made, n) if some in rooms)
    choices: list[Made] = [made, *some_of, ()] if made else [()]

    def further(steps: tuple[PurseStep, ...]) -> Iterator[tuple[PurseStep, ...]]:
        begin, n = steps[-1], len(steps)
        if n >= len(amounts):
            yield (*steps, PurseStep(made=made, packs=end))
            return
        for some in choices:
            rest = amounts[n] - _price(some)
            if set(begin.made) <= set(some) and rest >= begin.packs.spent:
                yield from further((*steps, PurseStep(made=some, packs=rooms[some].toward(end, rest, begin.packs))))
        if begin.made != made:
            yield from further((*steps, begin))  # saved for a candidate

    first = (PurseStep(made=(), packs=nothing),)
    yield from further(first) if amounts else [first]


def _payable(ways: Sequence[SingleChange], purse: Decimal) -> Iterator[Made]:
    priced = [way for way in ways if way.price and not way.books]
    every = [*((way,) for way in priced), *(pair for pair in combinations(priced, 2) if pair[0].at != pair[1].at)]
    yield from (made for made in every if _price(made) <= purse)


def _price(ways: Iterable[SingleChange]) -> Decimal:
    return sum((way.price or Decimal(0) for way in ways), Decimal(0))
