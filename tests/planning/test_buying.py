from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from invented_practice import INSTRUMENTS, SETS, practice
from references import poisson_cdf

from kitdocs.planning.buying.orders import buying_figures, buying_problems, mean_away, order_list, uses_per_day
from kitdocs.planning.day.promise import worth

STOCK = {"weingart": {"on_hand": 4, "in_repair": 1}, "mirror": {"on_hand": 20}, "bird-beak": {"on_hand": 3}}


def orders(**stock):
    return order_list(
        practice(stock=STOCK | stock),
        sets_to_own={"core": 6},
        pouches_to_own={"bends": 5},
        uses_per_day={"weingart": 20.0},
    )


def line(orders, id_):
    (found,) = [each for each in orders.lines if each.id == id_]
    return found


def test_the_mean_away_is_rate_times_working_days_away():
    # 20 a day ÷ 200 uses × 14 days × 5/7 = 1.0, worked by hand
    assert mean_away(practice(), "weingart", 20.0) == pytest.approx(1.0)
    assert mean_away(practice(), "mirror", 20.0) == 0.0


def test_spares_are_the_published_quantile_of_those_away():
    # A mean of 1 needs 3 for 95 % (SOURCES: Poisson table).
    weingart = line(orders(), "weingart")
    assert (weingart.in_sets, weingart.in_pouches, weingart.spares) == (6, 0, 3)


@given(st.floats(0, 500))
def test_spares_are_the_quantile_of_scipy(uses):
    bought = order_list(practice(), sets_to_own={}, pouches_to_own={}, uses_per_day={"weingart": uses})
    mean = uses / 200 * 10
    spares = line(bought, "weingart").spares
    assert poisson_cdf(spares, mean) >= 0.95 - 1e-9
    assert spares == 0 or poisson_cdf(spares - 1, mean) < 0.95 + 1e-9


def test_what_is_in_repair_is_owned_and_not_bought_again():
    weingart = line(orders(), "weingart")
    assert (weingart.need, weingart.owned, weingart.buy, weingart.surplus) == (9, 5, 4, 0)


def test_surplus_is_listed_and_costs_nothing():
    mirror = line(orders(), "mirror")
    assert (mirror.need, mirror.buy, mirror.surplus, mirror.total) == (6, 0, 14, Decimal(0))
    assert [each.id for each in orders().surplus] == ["mirror"]


def test_the_pieces_that_are_bought_are_those_that_a_set_is_worth_when_counts_are_chosen(example):
    """With nothing on hand and nothing in repair the order list costs what all sets and pouches are worth."""
    never_repaired = {i: r.model_copy(update={"repair": None}) for i, r in example.instruments.items()}
    none = {c: r.model_copy(update={"on_hand": 0}) for c, r in example.cassettes.items()}
    bare = replace(example, instruments=never_repaired, cassettes=none, stock={})
    sets, pouches = {s: n for n, s in enumerate(bare.sets, 2)}, {p: n for n, p in enumerate(bare.pouches, 3)}
    bought = order_list(bare, sets_to_own=sets, pouches_to_own=pouches, uses_per_day={})
    assert bought.total == sum(worth(bare, pack) * n for pack, n in {**sets, **pouches}.items()) > 0


def test_pieces_in_pouches_are_needed_too():
    bird_beak = line(orders(), "bird-beak")
    assert (bird_beak.in_pouches, bird_beak.buy) == (5, 2)


def test_each_set_needs_its_cassette():
    large = line(orders(), "large")
    assert (large.kind, large.need, large.buy, large.total) == ("cassette", 6, 6, Decimal(720))


def test_the_total_is_exact_money_and_names_what_it_leaves_out():
    bought = orders()
    # 4 Weingart pliers at 80, 6 large cassettes at 120
    assert bought.total == Decimal("1040")
    assert {each.id for each in bought.without_price} == {"explorer", "cutter", "bird-beak"}
    problems = buying_problems(practice(), bought)
    assert {problem.path for problem in problems} == {
        "instruments.explorer",
        "instruments.cutter",
        "instruments.bird-beak",
    }


def test_more_than_three_missing_prices_are_one_warning_with_their_names() -> None:
    instruments = {f"probe-{n}": {**INSTRUMENTS["explorer"], "name": f"Probe {n}"} for n in range(4)}
    held = {**SETS["core"], "contents": ["mirror", *instruments]}
    known = practice(instruments=instruments, sets={"core": held})
    bought = order_list(known, sets_to_own={"core": 2}, pouches_to_own={}, uses_per_day={})
    (problem,) = buying_problems(known, bought)
    kinds = len(bought.without_price)
    assert kinds > 4 and problem.path == "instruments"
    assert f"{2 * kinds} pieces to buy of {kinds} kinds" in str(problem.message)
    assert all(line.name.plain in str(problem.message) for line in bought.without_price)


@given(st.integers(0, 40), st.integers(0, 40), st.integers(0, 40))
def test_what_is_bought_makes_owned_into_needed(number, on_hand, in_repair):
    stock = {"cutter": {"on_hand": on_hand, "in_repair": in_repair}}
    bought = order_list(practice(stock=stock), sets_to_own={"core": number}, pouches_to_own={}, uses_per_day={})
    cutter = line(bought, "cutter")
    assert cutter.owned + cutter.buy - cutter.surplus == cutter.need == number
    assert 0 in (cutter.buy, cutter.surplus)


def test_every_taking_of_a_set_or_pouch_uses_what_it_holds():
    uses = uses_per_day(practice(), {"core": 20.0, "bends": 2.5})
    assert uses == {"mirror": 20.0, "explorer": 20.0, "weingart": 20.0, "cutter": 20.0, "bird-beak": 2.5}


def test_the_figure_can_be_followed_with_a_pencil():
    figures = {figure.id: figure for figure in buying_figures(practice(), orders())}
    assert figures["buy.weingart"].value == 4
    assert str(figures["buy.weingart"].why) == (
        "6 in sets + 0 in pouches + 3 spare = 9 needed; 4 on hand + 1 in repair = 5 owned; spares: 20.0 uses a day ÷ "
        "200 between repairs × 14 days away × 5/7 working days = 1.00 away on average, at most 3 on 95 % of days "
        "(Poisson); 9 − 5, not below 0, = 4 to buy; 4 × 80.00 = 320.00"
    )
    assert figures["buy.total"].unit == "USD"
