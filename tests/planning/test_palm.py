"""With Poisson bookings and times away that do not touch each other, the number out is Poisson(λT).

Source: Palm's theorem; Sherbrooke, METRIC, Oper. Res. 16 (1968) 122-141; Tijms, A First Course in Stochastic
Models (2003), Example 1.1.4. The stage rests, so no machine makes one set wait for another.
"""

from __future__ import annotations

import random

import pytest
from practice_builder import build, rest
from references import poisson_cdf, poisson_quantile

from kitdocs.planning.day.flow import Flow
from kitdocs.planning.day.tally import Tally
from kitdocs.planning.day.visit import Booking

DAYS = 5000
NOW = 10 * 3600

#: P(X <= x) for a mean of 3 and of 5, four decimals (SOURCES: Poisson table).
PRINTED = {
    3: [0.0498, 0.1991, 0.4232, 0.6472, 0.8153, 0.9161, 0.9665, 0.9881, 0.9962],
    5: [0.0067, 0.0404, 0.1247, 0.2650, 0.4405, 0.6160, 0.7622, 0.8666, 0.9319, 0.9682, 0.9863],
}


def poisson_day(draw, per_second, minutes_in_use):
    """Visits whose gaps are exponential, from well before NOW until it."""
    bookings: list[Booking] = []
    start = 0.0
    first = NOW - 5 * 3600
    while True:
        start += draw.expovariate(per_second)
        if first + start > NOW:
            return bookings
        at = first + round(start)
        bookings.append(Booking(at, at + round(60 * minutes_in_use(draw)), "chair-1", "visit", (0.0,)))


def numbers_out(mean, minutes_in_use, mean_minutes_in_use):
    """How many are out of the store at NOW, on many days."""
    draw = random.Random(7)
    flow = Flow(build(setup="0 min", carry="5 min", stages={"cool": rest("35 min")}))
    per_second = mean / (60 * (40 + mean_minutes_in_use))
    for _ in range(DAYS):
        day = flow.of_day(poisson_day(draw, per_second, minutes_in_use))
        yield sum(out <= NOW < back for out, back in zip(day.items.out, day.back, strict=True))


@pytest.mark.parametrize("mean", [3, 5])
def test_a_fixed_time_away_makes_the_number_out_poisson(mean):
    out = Tally(numbers_out(mean, lambda draw: 30.0, 30))
    assert_poisson(out, mean)


def test_the_time_away_matters_only_by_its_mean():
    out = Tally(numbers_out(3, lambda draw: draw.choice((5.0, 20.0, 65.0)), 30))
    assert_poisson(out, 3)


def assert_poisson(out, mean):
    below = 0
    for x, printed in enumerate(PRINTED[mean]):
        below += out.counts[x]
        exact = poisson_cdf(x, mean)
        assert exact == pytest.approx(printed, abs=5e-5)
        # Four standard deviations of a share that is counted on so many days.
        assert below / DAYS == pytest.approx(exact, abs=4 * (exact * (1 - exact) / DAYS) ** 0.5)
    assert out.mean == pytest.approx(mean, abs=4 * (mean / DAYS) ** 0.5)
    for share in (0.5, 0.9, 0.95):
        assert out.quantile(share) == poisson_quantile(share, mean)
