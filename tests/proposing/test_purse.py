"""A purse in steps, held against every choice of candidates, sets and pouches, bought in every order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from itertools import product

import pytest
from practice_builder import build, hand, procedure, rest, washer

from kitdocs.planning.buying.placement import orders_for
from kitdocs.planning.buying.steps import round_amounts
from kitdocs.planning.day.run import BusyDays, busy_days
from kitdocs.practice.model import Practice
from kitdocs.proposing.purse import Made, Spent, spend
from kitdocs.proposing.ways import SingleChange, together, ways_of

DAYS = 40
PRICES = {"mirror": 40, "scaler": 90, "plier": 104}
HOLDS = {"exam": "mirror", "core": "scaler", "bends": "plier"}


def small(visits: int, wash: int, pack: int, share: str) -> Practice:
    """Two sets and an add-on that share no instrument; minutes of a wash and of packing a cassette."""
    wanting = {"scaler": "always", "plier": share}
    return build(
        instruments={i: {"price": price} for i, price in PRICES.items()},
        sets={"exam": ("slim", ["mirror"]), "core": ("slim", ["scaler"])},
        pouches={"bends": ("add-on", ["plier"])},
        procedures={
            "look": procedure(set="exam", per_day=visits),
            "change": procedure(set="core", per_day=visits, add_ons={"bends": share}, needs=wanting),
        },
        drawers=[{}, {}, {}],
        stages={
            "wash": washer(cycle=f"{wash} min"),
            "pack": hand(1, f"{pack} min", "2 min"),
            "heat": washer(name="Heat", area="sterilization", cycle="50 min"),
            "cool": rest(),
        },
    )


class Purse:
    """A small practice, two candidates with their prices, and a purse: a share of what the plan costs."""

    def __init__(self, practice: Practice, washer: int, packer: int, share: float) -> None:
        self.practice = practice
        ways = {way.id: way for way in ways_of(practice)}
        self.candidates = (
            replace(ways["machine.wash"], price=Decimal(washer)),
            replace(ways["hands.pack"], price=Decimal(packer)),
        )
        one, other = ((way,) for way in self.candidates)
        self.rooms: dict[Made, BusyDays] = {
            made: self.run(made)[1]
            for made in ((), one, other, (*one, *other))  # each room run by itself
        }
        self.purse = Decimal(int(float(orders_for(practice, self.rooms[()]).total) * share))

    def run(self, made: Made) -> tuple[Practice, BusyDays]:
        changed = together({way.id: way for way in made}, tuple(way.id for way in made))(self.practice)
        return changed, busy_days(changed, days=DAYS)

    def spent(self) -> Spent:
        return spend(self.practice, self.rooms[()], self.purse, self.candidates, self.run)

    @property
    def amounts(self) -> list[Decimal]:
        return [*round_amounts(self.purse), self.purse]

    def cost(self, made: Sequence[SingleChange], own: Mapping[str, int]) -> Decimal:
        packs = sum(PRICES[HOLDS[kind]] * number for kind, number in own.items())
        return sum((way.price or Decimal(0) for way in made), Decimal(packs))

    def kept(self, made: Made, own: Mapping[str, int]) -> int:
        """Days on which nothing is short, counted one by one."""
        needs = self.rooms[made].chosen_sets.needs.kinds
        return sum(all(need.by_day[day] <= own[kind] for kind, need in needs.items()) for day in range(DAYS))

    def best(self) -> tuple[int, int]:
        """Of all that can be bought in any order: the most days kept in the end, and over all amounts on such a way.

        A table over what there can be at each amount: what there is before is a part of it.
        """
        most = {kind: max(ran.chosen_sets.counts[kind] for ran in self.rooms.values()) for kind in HOLDS}
        choices = [dict(zip(most, n, strict=True)) for n in product(*(range(n + 1) for n in most.values()))]
        states = [
            (made, own, self.cost(made, own), self.kept(made, own))
            for made in self.rooms
            for own in choices
            if self.cost(made, own) <= self.purse
        ]
        way = {n: kept for n, (_, _, cost, kept) in enumerate(states) if cost == 0}
        for amount in self.amounts[1:]:
            further = {}
            for n, (made, own, cost, kept) in enumerate(states):
                before = [
                    days
                    for m, days in way.items()
                    if set(states[m][0]) <= set(made) and all(states[m][1][kind] <= own[kind] for kind in own)
                ]
                if cost <= amount and before:
                    further[n] = max(before) + kept
            way = further
        end = max(states[n][3] for n in way)
        return end, max(days for n, days in way.items() if states[n][3] == end)


CASES = [
    (small(9, 90, 12, "60%"), 120, 50, 0.8),
    (small(9, 90, 8, "30%"), 80, 100, 0.9),
    (small(8, 120, 8, "30%"), 40, 50, 0.95),
    (small(7, 60, 6, "40%"), 300, 100, 0.7),
    (small(9, 40, 4, "40%"), 120, 30, 0.8),
    (small(9, 60, 4, "40%"), 40, 100, 0.8),
]


@pytest.fixture(scope="module", params=range(len(CASES)))
def purse(request: pytest.FixtureRequest) -> Purse:
    return Purse(*CASES[request.param])


@pytest.mark.whole
def test_no_choice_in_any_order_keeps_more_than_one_day_in_forty_more(purse: Purse) -> None:
    """And on the way to it, at the average amount, no order keeps five points of chance more."""
    spent, (end, way) = purse.spent(), purse.best()
    assert spent.steps[-1].packs.kept.kept >= end - 1
    kept = 0
    for amount in purse.amounts:
        kept += [step.packs.kept.kept for step in spent.steps if step.spent <= amount][-1]
    assert kept >= way - 0.05 * DAYS * len(purse.amounts)


def test_each_step_costs_what_is_told_and_nothing_is_given_back(purse: Purse) -> None:
    spent = purse.spent()
    own: dict[str, int] = dict.fromkeys(HOLDS, 0)
    made: Made = ()
    for step, (ways, packs) in zip(spent.steps[1:], spent.bought(), strict=True):
        made = tuple(way for way in purse.candidates if way in (*made, *ways))
        own = {kind: number + packs.get(kind, 0) for kind, number in own.items()}
        assert (step.made, step.packs.own) == (made, own)
        assert step.spent == purse.cost(made, own) <= purse.purse
        assert step.packs.kept.kept == purse.kept(made, own)
    alone = spend(purse.practice, purse.rooms[()], purse.purse, (), purse.run)
    assert spent.packs_alone == alone.steps[-1].packs.kept
    assert spent.steps[-1].packs.kept.kept >= spent.packs_alone.kept


def test_a_candidate_is_bought_where_it_is_worth_most_not_before_all_else() -> None:
    steps = [Purse(*case).spent().steps for case in CASES]
    bought = [[len(step.made) for step in of] for of in steps]
    assert any(0 < of.index(1) < len(of) - 1 for of in bought if 1 in of), "between sets and pouches"
    assert any(of[1] for of in bought), "before them"
    assert any(not of[-1] for of in bought), "never"
