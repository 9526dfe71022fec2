from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from kitdocs.planning.day.tally import Tally


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
