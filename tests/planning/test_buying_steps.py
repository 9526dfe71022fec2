"""Buying in steps, held against every choice that can be made with the same money, and against the order list."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise, product
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from practice_builder import build, procedure

from kitdocs.handbook.brief import brief_for
from kitdocs.planning.buying.orders import order_list
from kitdocs.planning.buying.placement import orders_for
from kitdocs.planning.buying.steps import buying_steps, round_amounts
from kitdocs.planning.day.run import BusyDays, busy_days
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice, StockLine
from kitdocs.report.steps import budget_answer

PRICES = {"mirror": 9, "scaler": 30, "plier": 104}


def test_round_amounts_are_few_and_below_the_total() -> None:
    assert [int(each) for each in round_amounts(Decimal("15138.50"))] == [0, 4000, 8000, 12000]
    assert [int(each) for each in round_amounts(Decimal(16000))] == [0, 4000, 8000, 12000]
    assert [int(each) for each in round_amounts(Decimal(36001))] == [0, 10000, 20000, 30000]
    assert [int(each) for each in round_amounts(Decimal("0.5"))] == [0]


def small(owned: dict[str, int], *, visits: float = 7.0) -> tuple[Practice, BusyDays]:
    """Three kinds that share no instrument: two sets and a pouch in the drawer of one chair."""
    practice = build(
        instruments={id_: {"price": price} for id_, price in PRICES.items()},
        sets={"exam": ("slim", ["mirror"]), "core": ("slim", ["scaler"])},
        pouches={"bends": ("drawer", ["plier"])},
        procedures={
            "look": procedure(set="exam", per_day=visits),
            "change": procedure(set="core", per_day=visits, needs={"scaler": "always", "plier": "40%"}),
        },
        drawers=[{"bends": "auto"}],
    )
    stock = {
        id_: StockLine.model_validate({"instrument": id_, "on_hand": number, "in_repair": 0})
        for id_, number in owned.items()
    }
    practice = replace(practice, stock=stock)
    return practice, busy_days(practice, days=60, seed=3)


def shortage(ran: BusyDays, have: dict[Any, int]) -> float:
    """Of the average day, straight from what each day needs."""
    kinds = {**ran.chosen_sets.needs.kinds, **ran.chosen_drawers.needs.kinds}
    return sum(max(0, need - have[kind]) for kind, needs in kinds.items() for need in needs.by_day) / ran.days


def choices(practice: Practice, ran: BusyDays) -> Iterator[tuple[int, float]]:
    """Every choice up to the plan: what it costs beyond what is owned, and its shortage."""
    plan: dict[Any, int] = {**ran.chosen_sets.counts, **ran.chosen_drawers.counts}
    of = {kind: practice.contents(kind if isinstance(kind, str) else kind[1]) for kind in plan}
    for counts in product(*(range(number + 1) for number in plan.values())):
        have = dict(zip(plan, counts, strict=True))
        cost = 0
        for instrument, price in PRICES.items():
            needed = sum(number for kind, number in have.items() if instrument in of[kind])
            stock = practice.stock.get(instrument)
            cost += price * max(0, needed - (stock.on_hand if stock else 0))
        yield cost, shortage(ran, have)


@given(st.fixed_dictionaries({id_: st.integers(0, 3) for id_ in PRICES}))
def test_no_choice_for_the_same_money_leaves_much_less_short(owned: dict[str, int]) -> None:
    """Against every choice. What marginal analysis leaves of a purse would not pay for one more piece, and one more
    piece ends less than one shortage a day (the bound of a knapsack that is filled greedily, from memory)."""
    practice, ran = small(owned)
    every = list(choices(practice, ran))
    for step in buying_steps(practice, ran, orders_for(practice, ran))[:-1]:
        best = min(short for cost, short in every if cost <= step.purse)
        assert best - 1e-9 <= step.short <= best + 1


def test_a_step_costs_what_the_order_list_says(example: Practice, example_plan: Plan) -> None:
    steps = example_plan.steps
    assert steps[-1].spent == example_plan.orders.total
    for step in steps[:-1]:
        sets = {id_: number for id_, number in step.own.items() if id_ in example.sets}
        pouches = {id_: number for id_, number in step.own.items() if id_ in example.pouches}
        lines = order_list(example, sets_to_own=sets, pouches_to_own=pouches, uses_per_day={}).lines
        cost = sum(
            ((line.price or Decimal(0)) * max(0, line.in_sets + line.in_pouches - line.owned) for line in lines),
            Decimal(0),
        )
        assert cost == step.spent <= step.purse


def test_each_step_has_all_that_the_one_before_has_and_is_less_short(example_plan: Plan) -> None:
    steps = example_plan.steps
    for before, then in pairwise(steps):
        assert all(then.own[id_] >= number for id_, number in before.own.items())
        assert then.short <= before.short
        assert then.kept.share >= before.kept.share
    assert steps[0].spent == 0
    assert steps[-1].own == {**example_plan.days.stock, **example_plan.days.pouch_stock}
    assert steps[-1].kept == example_plan.days.promises.all.kept


def test_the_budget_is_a_step_and_an_answer_on_the_first_page(example: Practice, example_plan: Plan) -> None:
    with_budget = replace(example, settings=example.settings.model_copy(update={"budget": Decimal(6100)}))
    steps = buying_steps(with_budget, example_plan.days, example_plan.orders)
    assert [int(step.purse) for step in steps] == [0, 4000, 6100, 12000, int(example_plan.orders.total)]
    step = steps[2]
    assert 5000 < step.spent <= 6100
    brief = brief_for(with_budget, replace(example_plan, steps=steps), "")
    said = brief.words.say(budget_answer(brief)["budget"])
    assert said.startswith("USD 6,100.00 is enough for 4")
    assert f"nothing is short on {100 * step.kept.share:.1f} % of busy days" in said
    rich = replace(example, settings=example.settings.model_copy(update={"budget": Decimal(99999)}))
    assert budget_answer(brief_for(rich, example_plan, "")) == {}


def test_where_nothing_has_to_be_bought_there_are_no_steps() -> None:
    practice, ran = small(dict.fromkeys(PRICES, 99))
    assert buying_steps(practice, ran, orders_for(practice, ran)) == ()
