import operator
from functools import reduce

import pytest
from hypothesis import given
from hypothesis import strategies as st
from references import poisson_cdf

from kitdocs.planning.buying.poisson import probability, quantile

# SOURCES: Poisson table. A test below holds the distribution against scipy.
PRINTED = {
    (0, 0.5): 0.6065,
    (3, 0.5): 0.9982,
    (1, 1.0): 0.7358,
    (3, 2.0): 0.8571,
    (2, 2.5): 0.5438,
    (5, 3.0): 0.9161,
    (4, 4.0): 0.6288,
    (12, 4.5): 0.9992,
    (0, 5.0): 0.0067,
    (8, 5.0): 0.9319,
}

# Fewest with P(X <= S) of at least 95 % and 99 % (SOURCES: Poisson table).
FEWEST = {0.5: (2, 3), 1: (3, 4), 2: (5, 6), 3.5: (7, 8), 5: (9, 11), 10: (15, 18)}


def cdf(count, mean):
    """Return P(X ≤ count), added up in the order in which the quantile adds it up."""
    # Not `sum`, which adds floats more exactly from Python 3.12 on.
    return reduce(operator.add, (probability(k, mean) for k in range(count + 1)))


@pytest.mark.parametrize(("at", "share"), PRINTED.items())
def test_the_distribution_is_the_printed_one(at, share):
    assert cdf(*at) == pytest.approx(share, abs=5e-5)


@pytest.mark.parametrize(("mean", "fewest"), FEWEST.items())
def test_the_quantiles_are_the_published_ones(mean, fewest):
    assert (quantile(0.95, mean), quantile(0.99, mean)) == fewest


@given(st.integers(0, 400), st.floats(0, 300))
def test_the_distribution_agrees_with_scipy(count, mean):
    assert cdf(count, mean) == pytest.approx(poisson_cdf(count, mean), abs=1e-12)


@given(st.floats(0, 0.9999), st.floats(0.001, 2000))
def test_a_quantile_is_the_smallest_count_that_reaches_the_share(share, mean):
    found = quantile(share, mean)
    assert poisson_cdf(found, mean) >= share - 1e-11
    assert found == 0 or poisson_cdf(found - 1, mean) < share + 1e-11


@pytest.mark.parametrize("count", [0, 3])
def test_a_share_that_is_just_reached_needs_no_more(count):
    assert quantile(cdf(count, 1.0), 1.0) == count


def test_nothing_happens_at_a_mean_of_nothing():
    assert (cdf(0, 0.0), quantile(0.999, 0.0)) == (1.0, 0)


@pytest.mark.parametrize(("share", "mean"), [(1.0, 2.0), (-0.1, 2.0), (0.5, -1.0)])
def test_what_has_no_quantile_is_refused(share, mean):
    with pytest.raises(ValueError, match=r"is not between|less than none"):
        quantile(share, mean)


def test_a_share_that_rounding_keeps_out_of_reach_still_has_a_quantile():
    """The last double below 1: the terms added up stay below it, and the search ends where they vanish."""
    last = 1 - 2**-53
    for mean in (7, 20, 50):
        found = quantile(last, mean)
        assert poisson_cdf(found, mean) == 1.0
        assert mean < found < 1000
