"""Intervals of what was counted, against scipy."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom, binomtest, norm

from kitdocs.planning.day.chance import Chance, Z, wilson
from kitdocs.planning.day.promise import FEWEST_DAYS, MOST_DAYS, NARROW, days_to_run
from kitdocs.planning.day.tally import Tally


@given(st.integers(1, 5000).flatmap(lambda days: st.tuples(st.integers(0, days), st.just(days))))
def test_the_interval_is_scipys_wilson_interval(counted: tuple[int, int]) -> None:
    kept, days = counted
    theirs = binomtest(kept, days).proportion_ci(0.95, method="wilson")
    chance = Chance(kept, days)
    assert (chance.low, chance.high) == pytest.approx((theirs.low, theirs.high), abs=1e-12)
    assert chance.low <= chance.share <= chance.high


def test_the_95_percent_in_it_is_the_standard_normals() -> None:
    assert pytest.approx(norm.ppf(0.975), abs=1e-15) == Z


@given(st.integers(100, 2000), st.sampled_from((0.5, 0.95)))
def test_between_two_values_the_true_quantile_lies_with_95_percent(days: int, share: float) -> None:
    """Of the values 1, 2, 3, …, each seen once, the ranks come back: so likely a binomial number lies there."""
    low, high = Tally(range(1, days + 1)).between(share)
    covered = binom.cdf(high - 1, days, share) - binom.cdf(low - 1, days, share)
    assert covered > (0.92 if days * (1 - share) < 10 else 0.935)
    assert low <= Tally(range(1, days + 1)).quantile(share) <= high


def test_of_few_values_the_largest_is_the_upper_end() -> None:
    assert Tally(range(1, 21)).between(0.95) == (18, 20)


def test_of_nothing_seen_there_is_nothing_between() -> None:
    assert Tally().between(0.95) == (0, 0)


@pytest.mark.parametrize(("asked", "days"), [(0.95, 1000), (0.9, 1600), (0.8, 2000), (0.99, 1600), (0.999, 2000)])
def test_as_many_days_are_run_as_make_the_interval_narrow(asked: float, days: int) -> None:
    assert days_to_run((asked,)) == pytest.approx(days, abs=150)
    assert FEWEST_DAYS <= days_to_run((asked,)) <= MOST_DAYS
    low, high = wilson(asked * days_to_run((asked,)), days_to_run((asked,)))
    if days_to_run((asked,)) < MOST_DAYS:
        assert (high - low) / 2 <= min(NARROW, (1 - asked) / 2)


def test_the_harder_of_two_promises_decides_how_many_days_are_run() -> None:
    assert days_to_run((0.95, 0.9)) == days_to_run((0.9,)) > days_to_run((0.95,))
