"""A purse spent in steps: what to buy first, second, third, and the chance after each.

Sets and pouches are bought as `planning/buying/steps.py` buys them. What `candidates:` in room.yaml prices is tried
first of all, alone and in twos, with the rest of the purse for sets and pouches in the room as it then is; each is run
by the plan on the same days. Told is what leaves the best chance that nothing is short; of two alike, the cheaper.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import combinations, pairwise

from kitdocs.planning.buying.placement import orders_for
from kitdocs.planning.buying.steps import BuyingStep, round_amounts, steps_with
from kitdocs.planning.day.chance import Chance
from kitdocs.planning.day.run import BusyDays
from kitdocs.practice.model import Practice
from kitdocs.proposing.ways import SingleChange

#: So many candidates, alone and in twos, are tried with a purse.
MOST_TRIED = 15


@dataclass(frozen=True, slots=True, kw_only=True)
class Spent:
    """A purse, spent."""

    first: tuple[SingleChange, ...]
    """What is bought before any set or pouch; often nothing."""
    price: Decimal
    """Of that."""
    steps: tuple[BuyingStep, ...]
    """The first with no set or pouch bought; `purse` and `spent` without the price of what comes first."""
    packs_alone: Chance
    """What the whole purse comes to when only sets and pouches are bought."""
    tried: int
    """How many candidates, and twos of them, the purse was tried with."""
    left: int
    """How many more it would pay for."""

    @property
    def falls(self) -> tuple[int, ...]:
        """Return the numbers, from 1, of the steps after which the chance is less than before."""
        kept = [step.kept.kept for step in self.steps]
        return tuple(n for n, (before, after) in enumerate(pairwise(kept), 1) if after < before)


def spend(
    practice: Practice,
    ran: BusyDays,
    purse: Decimal,
    ways: Sequence[SingleChange],
    run: Callable[[tuple[SingleChange, ...]], tuple[Practice, BusyDays] | None],
) -> Spent:
    """Return how to spend a purse. `run` runs the days with changes made; None where they cannot be."""
    alone = _within(practice, ran, purse)
    best: tuple[tuple[SingleChange, ...], Decimal, tuple[BuyingStep, ...]] = ((), Decimal(0), alone)
    payable = list(_payable(ways, purse))
    for made in payable[:MOST_TRIED]:
        changed = run(made)
        if changed is None:
            continue
        price = _price(made)
        steps = _within(*changed, purse - price)
        if _worth(price, steps) > _worth(*best[1:]):
            best = (made, price, steps)
    return Spent(
        first=best[0],
        price=best[1],
        steps=best[2],
        packs_alone=alone[-1].kept,
        tried=min(len(payable), MOST_TRIED),
        left=max(0, len(payable) - MOST_TRIED),
    )


def _within(practice: Practice, ran: BusyDays, purse: Decimal) -> tuple[BuyingStep, ...]:
    """Return the steps with no more than a purse; where it pays for the plan, up to the plan."""
    orders = orders_for(practice, ran)
    below = round_amounts(min(purse, orders.total)) if purse and orders.total else [Decimal(0)]
    steps = steps_with(practice, ran, orders, below if orders.total <= purse else [*below, purse])
    return steps if orders.total <= purse else steps[:-1]


def _payable(ways: Sequence[SingleChange], purse: Decimal) -> Iterator[tuple[SingleChange, ...]]:
    priced = [way for way in ways if way.price and not way.books]
    every = [*((way,) for way in priced), *(pair for pair in combinations(priced, 2) if pair[0].at != pair[1].at)]
    yield from (made for made in every if _price(made) <= purse)


def _price(ways: Sequence[SingleChange]) -> Decimal:
    return sum((way.price or Decimal(0) for way in ways), Decimal(0))


def _worth(price: Decimal, steps: Sequence[BuyingStep]) -> tuple[int, Decimal]:
    return steps[-1].kept.kept, -(price + steps[-1].spent)
