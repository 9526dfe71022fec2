"""What is promised, counted again on the simulated days in the plainest way: item by item, drawer by drawer."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from practice_builder import at
from simulated_day import ItemHistory, histories, simulate_day
from test_stock_and_par import practice

from kitdocs.planning.buying.ladder import ASKED, ladder
from kitdocs.planning.buying.orders import uses_per_day
from kitdocs.planning.buying.placement import orders_for, taken_per_day
from kitdocs.planning.day.par import BEYOND
from kitdocs.planning.day.promise import worth
from kitdocs.planning.day.run import BusyDays, busy_days
from kitdocs.planning.day.visit import Booking
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice, StockLine

DAY = 24 * 3600
DAYS = 60
RESTOCK = [at(time) for time in ("09:45", "12:30", "16:00")]
Days = list[tuple[tuple[Booking, ...], tuple[ItemHistory, ...]]]


@pytest.fixture(scope="module")
def run() -> BusyDays:
    return busy_days(practice(), days=DAYS, seed=3)


@pytest.fixture(scope="module")
def days() -> Days:
    """The day before the first, and every day."""
    drawn = [simulate_day(practice(), day=number, seed=3) for number in range(DAYS + 1)]
    return [(bookings, histories(day)) for bookings, day in drawn]


def waits(items: tuple[ItemHistory, ...], own: dict[str, int]) -> bool:
    """Whether somebody waits: at a moment when an item leaves the store, more are out than there are."""
    for item in items:
        if item.kind.role != "drawer":
            out = sum(i.kind.id == item.kind.id and i.out <= item.out < i.back for i in items)
            if out > own[item.kind.id]:
                return True
    return False


def drawer_days(run: BusyDays, days: Days) -> Iterator[bool]:
    """Whether each day's drawers hold out: every drawer filled and emptied pouch by pouch, from one day to the next.

    A pouch that is back lies in the store. At a restocking each drawer is filled up from there, as far as that reaches.
    A day counts from the last restocking of the day before to its own last one, both among it.
    """
    opened = sorted(
        (item.out + number * DAY, item.back + number * DAY, bookings[item.visit].chair, item.kind.id)
        for number, (bookings, items) in enumerate(days)
        for item in items
        if item.kind.role == "drawer"
    )
    drawer = Counter({place: par.par for place, par in run.pars.items()})
    store = Counter({id_: pouch.needed_beyond for id_, pouch in run.drawer_pouches.items()})
    on_its_way: list[tuple[int, str]] = []
    times = [number * DAY + time for number in range(len(days)) for time in RESTOCK]
    lasted, complete = [], []  # by restocking
    for n, now in enumerate(times):
        since = times[n - 1] if n else 0
        ran_out = False
        for out, back, chair, pouch in opened:
            if since <= out < now:
                drawer[chair, pouch] -= 1
                ran_out |= drawer[chair, pouch] < 0
                on_its_way.append((back, pouch))
        store.update(pouch for back, pouch in on_its_way if back <= now)
        on_its_way = [(back, pouch) for back, pouch in on_its_way if back > now]
        for place, par in run.pars.items():
            filled = min(par.par - drawer[place], store[par.pouch])
            drawer[place] += filled
            store[par.pouch] -= filled
        lasted.append(not ran_out)
        complete.append(all(drawer[place] == par.par for place, par in run.pars.items()))
    for first in range(len(RESTOCK), len(times), len(RESTOCK)):
        yield all(lasted[first : first + len(RESTOCK)]) and all(complete[first - 1 : first + len(RESTOCK)])


def test_nobody_waits_on_as_many_days_as_are_promised(run: BusyDays, days: Days) -> None:
    own = {id_: stock.needed for id_, stock in {**run.sets, **run.add_ons}.items()}
    kept = [not waits(items, own) for _, items in days[1:]]
    assert sum(kept) == run.promises.sets.kept.kept >= 0.95 * DAYS
    assert run.promises.sets.asked == 0.95
    held = list(drawer_days(run, days))
    assert sum(held) == run.promises.drawers.kept.kept
    assert sum(map(all, zip(kept, held, strict=True))) == run.promises.all.kept.kept
    assert run.promises.all.asked is None


@pytest.mark.parametrize("written", ["auto", 2, 4])
def test_no_drawer_runs_out_on_as_many_days_as_are_promised(written: Any) -> None:
    """With a number that is written too low, one that is enough, and none."""
    drawers = ({"bends": "auto", "ties": written}, {"ties": "auto"}, {"bends": 1})
    of = practice(drawers=drawers)
    ran = busy_days(of, days=DAYS, seed=4)
    drawn = [simulate_day(of, day=number, seed=4) for number in range(DAYS + 1)]
    held = list(drawer_days(ran, [(bookings, histories(day)) for bookings, day in drawn]))
    assert sum(held) == ran.promises.drawers.kept.kept
    assert 0 < sum(held) < DAYS
    if ran.pars["chair-1", "ties"].par >= ran.pars["chair-1", "ties"].computed:
        assert sum(held) >= 0.95 * DAYS or ran.problems


def test_each_count_says_how_often_one_fewer_would_do(run: BusyDays, days: Days) -> None:
    own = {id_: stock.needed for id_, stock in {**run.sets, **run.add_ons}.items()}
    for id_, stock in {**run.sets, **run.add_ons}.items():
        alone = dict.fromkeys(own, DAYS * 99)
        fewer = own[id_] - 1
        sure = stock.firmness
        assert sure.enough.kept == sum(not waits(items, {**alone, id_: own[id_]}) for _, items in days[1:])
        assert sure.one_fewer.kept == sum(not waits(items, {**alone, id_: fewer}) for _, items in days[1:])
        assert sure.promise_with_one_fewer.kept == sum(not waits(i, {**own, id_: fewer}) for _, i in days[1:])
        assert sure.promise_with_one_fewer.kept < 0.95 * DAYS, "one fewer would do on these days"
        assert sure.firm is (sure.promise_with_one_fewer.high < 0.95)


def test_drawers_have_a_promise_of_their_own() -> None:
    settings = practice().settings.model_copy(update={"drawer_service": 0.6})
    of = replace(practice(drawers=({"bends": "auto", "ties": "auto"},) * 3), settings=settings)
    ran = busy_days(of, days=DAYS, seed=3)
    usual = busy_days(practice(drawers=({"bends": "auto", "ties": "auto"},) * 3), days=DAYS, seed=3)
    assert (ran.promises.sets.asked, ran.promises.drawers.asked) == (0.95, 0.6)
    assert 0.6 <= ran.promises.drawers.kept.share < usual.promises.drawers.kept.share
    assert ran.stock == usual.stock
    assert sum(ran.pouch_stock.values()) < sum(usual.pouch_stock.values())


def test_what_lies_in_the_store_moves_no_count_and_lowers_what_to_buy(example: Practice) -> None:
    plan = make_plan(example, days=40)
    more = {
        id_: StockLine(instrument=id_, on_hand=stock.on_hand + 3, in_repair=stock.in_repair)
        for id_, stock in example.stock.items()
    }
    richer = make_plan(replace(example, stock=more), days=40)
    assert (richer.days.stock, richer.days.pouch_stock) == (plan.days.stock, plan.days.pouch_stock)
    assert 0 < richer.orders.total < plan.orders.total


def test_a_set_is_worth_its_instruments_and_its_cassette(example: Practice) -> None:
    kit = example.sets["exam"]
    prices = [example.instruments[i].price for i in kit.contents]
    by_hand = sum((price for price in prices if price), Decimal(0))
    assert worth(example, "exam") == by_hand + (example.cassettes[kit.cassette].price or 0)
    pouch = example.pouches["bends"]
    assert worth(example, "bends") == sum(example.instruments[i].price or 0 for i in pouch.contents)


def test_on_other_days_counts_are_judged_that_had_no_part_in_the_choice(example_plan: Plan) -> None:
    """Each fifth of the days, judged with the counts that the other four fifths chose."""
    chosen = example_plan.days.chosen_sets
    kept = 0
    for fold in range(5):
        others = chosen.needs.of_days([day for day in range(chosen.needs.days) if day % 5 != fold])
        counts = others.choose(chosen.asked, exchange=False)
        judged = [day for day in range(chosen.needs.days) if day % 5 == fold]
        kept += sum(all(kind.by_day[d] <= counts[k] for k, kind in chosen.needs.kinds.items()) for d in judged)
    assert example_plan.on_other_days["sets"].kept == kept
    drawers = example_plan.days.chosen_drawers.on_other_days()
    both = (chosen.on_other_days() or 0) & (drawers or 0)
    assert example_plan.on_other_days["all"].kept == both.bit_count() > 0
    assert make_plan_of_few_days(example_plan) is None


def make_plan_of_few_days(plan: Plan) -> object:
    few = plan.days.chosen_sets.needs.of_days(range(19))
    return replace(plan.days.chosen_sets, needs=few).on_other_days()


def test_the_ladder_leads_from_one_of_each_fewer_over_the_plan_to_999_in_a_thousand(
    example: Practice, example_plan: Plan
) -> None:
    rungs, ran = example_plan.ladder, example_plan.days
    (plan,) = (rung for rung in rungs if rung.is_plan)
    assert plan.buy == plan.buy_for_sets == plan.buy_for_drawers == example_plan.orders.total
    promises = ran.promises
    assert (plan.sets, plan.drawers, plan.all) == (promises.sets.kept, promises.drawers.kept, promises.all.kept)
    assert [rung.all.kept for rung in rungs] == sorted(rung.all.kept for rung in rungs)
    asked = [rung.asked for rung in rungs if rung.asked is not None]
    assert set(ASKED) - {0.95} <= set(asked) and max(asked) == 0.999
    for rung in rungs:
        if rung.asked is not None:
            assert rung.sets.share >= rung.asked - 1e-9
            assert rung.all.kept <= min(rung.sets.kept, rung.drawers.kept)
    (fewer,) = (rung for rung in rungs if rung.asked is None and not rung.is_plan)
    assert fewer.all.kept < plan.all.kept and fewer.buy < plan.buy
    # The same again from the plan's figures, all drawers and sets with one fewer, as somebody else would work it out.
    counts = {id_: stock.needed - 1 for id_, stock in {**ran.sets, **ran.add_ons}.items()}
    assert fewer.sets.kept == ran.chosen_sets.needs.kept(counts)
    drawers = {
        place: par.par if par.written is not None else max(1, par.par - 1) for place, par in ran.pars.items()
    } | {(BEYOND, id_): max(0, pouch.needed_beyond - 1) for id_, pouch in ran.drawer_pouches.items()}
    assert fewer.drawers.kept == ran.chosen_drawers.needs.kept(drawers)
    uses = uses_per_day(example, taken_per_day(ran))
    assert ladder(example, ran, uses) == rungs
    assert orders_for(example, ran).total == plan.buy


def test_the_plan_is_written_down_where_nothing_is_asked_of_drawers() -> None:
    """Without a drawer pouch, no drawer can run out."""
    ran = busy_days(practice(drawers=({}, {}, {})), days=20)
    assert ran.promises.drawers.kept.share == 1.0
    assert ran.promises.all.kept == ran.promises.sets.kept
