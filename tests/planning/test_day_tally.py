from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from kitdocs.planning.day.tally import DayTally, Spread, Tally


def test_of_twenty_days_the_nineteenth_smallest_is_the_95_percent_quantile():
    tally = Tally(range(1, 21))
    assert tally.quantile(0.95) == 19
    assert tally.quantile(0.951) == 20
    assert tally.quantile(0.5) == 10
    assert tally.quantile(0.0) == 1


def test_of_a_thousand_days_the_950th_smallest_is_the_95_percent_quantile():
    assert Tally([7] * 950 + [9] * 50).quantile(0.95) == 7
    assert Tally([7] * 949 + [9] * 51).quantile(0.95) == 9


@given(st.lists(st.integers(-5, 30), min_size=1), st.integers(1, 99))
def test_the_quantile_is_the_inverted_empirical_distribution(values, percent):
    """numpy's method of that name: definition 1 of Hyndman and Fan, The American Statistician 50 (1996) 361."""
    expected = np.quantile(np.array(values), percent / 100, method="inverted_cdf")
    ours = Tally(values).quantile(percent / 100)
    # numpy does not forgive 0.07 × 100 = 7.000000000000001; the definition itself does.
    smallest = min(v for v in values if 100 * sum(w <= v for w in values) >= percent * len(values))
    assert ours == smallest
    assert smallest <= expected


@given(st.lists(st.integers(-5, 30), min_size=2))
def test_the_mean_lies_within_so_many_standard_errors(values):
    """Against scipy's normal interval around the mean, with its standard error."""
    error = stats.sem(values)
    expected = stats.norm.interval(0.95, np.mean(values), error)[1] - np.mean(values) if error else 0.0
    assert Tally(values).mean_within == pytest.approx(expected, abs=1e-9)
    assert Tally(values[:1]).mean_within == 0


def test_mean_and_spread_count_every_time_a_value_was_seen():
    tally = Tally([2, 2, 5])
    tally.add([7])
    assert len(tally) == 4
    assert (tally.spread().mean, tally.spread().median, tally.spread().high) == (4.0, 2, 7)
    assert Tally().spread().mean == Tally().spread().high == 0


@given(st.lists(st.integers(-50, 3000), min_size=20, max_size=200, unique=True))
def test_of_days_of_one_number_each_the_intervals_are_those_of_the_numbers(values):
    """Where no day has two numbers, ranks are binomial, and the plain interval is right; ours is hardly wider."""
    days, plain = DayTally(), Tally(values)
    for value in values:
        days.add_day([value])
    ours, theirs = days.spread(), plain.spread()
    assert (ours.median, ours.high) == (theirs.median, theirs.high)
    assert ours.mean == pytest.approx(theirs.mean)
    assert ours.mean_within == pytest.approx(theirs.mean_within)
    ranks = [sorted(values).index(between) for between in (*ours.high_between, *theirs.high_between)]
    assert 0 <= ranks[2] - ranks[0] <= 2
    assert 0 <= ranks[1] - ranks[3] <= 2


def crowded_days(draw: np.random.Generator, days: int) -> list[np.ndarray]:
    """Days of 5 to 29 waits in seconds, all longer on a crowded day."""
    crowded = draw.gamma(2.0, 1.0, days)
    return [np.round(60 * (many / 10 + draw.gamma(1.5, 2.0, draw.integers(5, 30)))) for many in 10 * crowded]


def spread_of(days: list[np.ndarray]) -> Spread:
    tally = DayTally()
    for day in days:
        tally.add_day(day.astype(int).tolist())
    return tally.spread()


def test_the_truth_lies_in_the_intervals_of_19_of_20_sets_of_days():
    """Of 300 sets of 100 days: the chance of a set to miss is 5 %, and 8.8 % is three standard errors more."""
    truth = spread_of(crowded_days(np.random.default_rng(0), 60_000))
    mean = high = plain_mean = plain_high = 0
    for seed in range(1, 301):
        days = crowded_days(np.random.default_rng(seed), 100)
        found = spread_of(days)
        mean += abs(found.mean - truth.mean) <= found.mean_within
        high += found.high_between[0] <= truth.high <= found.high_between[1]
        as_if_alone = Tally(np.concatenate(days).astype(int).tolist()).spread()
        plain_mean += abs(as_if_alone.mean - truth.mean) <= as_if_alone.mean_within
        plain_high += as_if_alone.high_between[0] <= truth.high <= as_if_alone.high_between[1]
    assert 0.912 < mean / 300 < 0.988
    assert 0.912 < high / 300 < 0.988
    assert plain_mean / 300 < 0.85 > plain_high / 300, "numbers of one day taken for numbers of many"


def test_the_intervals_are_those_that_scipys_bootstrap_of_days_finds():
    days = crowded_days(np.random.default_rng(5), 400)
    sums, sizes = np.array([day.sum() for day in days]), np.array([len(day) for day in days])
    found = spread_of(days)

    def ratio(sums, sizes, axis=-1):
        return sums.sum(axis) / sizes.sum(axis)

    said = stats.bootstrap((sums, sizes), ratio, paired=True, rng=np.random.default_rng(1), method="percentile")
    error = found.mean_within / stats.norm.ppf(0.975)
    assert error == pytest.approx(said.standard_error, rel=0.05)

    draw = np.random.default_rng(2)
    highs = [
        np.quantile(np.concatenate([days[n] for n in draw.integers(0, 400, 400)]), 0.95, method="inverted_cdf")
        for _ in range(1000)
    ]
    theirs = np.quantile(highs, (0.025, 0.975))
    assert np.array(found.high_between) == pytest.approx(theirs, rel=0.03)


def test_a_single_day_tells_nothing_of_others():
    tally = DayTally()
    tally.add_day([1, 2, 3])
    assert (tally.spread().mean_within, len(tally)) == (0.0, 3)
    assert DayTally().spread() == Tally().spread()
