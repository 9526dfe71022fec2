"""A pouch that serves several rare needs is counted as often as at least one of them is wanted."""

from __future__ import annotations

from itertools import product
from math import prod, sqrt

import pytest
import simpy_day
from practice_builder import build, hand, procedure
from simulated_day import simulate_day

from kitdocs.planning.day.items import Takings, any_of
from kitdocs.planning.day.run import busy_days
from kitdocs.practice.model import Practice

PER_DAY, DAYS = 12, 200
NEEDS = {"mirror": "always", "bender": "5%", "prong": "4%"}


def packed(**pouches: list[str]) -> Practice:
    return build(
        procedures={"visit": procedure(per_day=float(PER_DAY), needs=NEEDS)},
        pouches={id_: ("drawer", contents) for id_, contents in pouches.items()},
        drawers=(dict.fromkeys(pouches, "auto"),) * 2,
        stages={"pack": hand()},
    )


@pytest.mark.parametrize("shares", [(), (0.05,), (0.05, 0.04), (0.3, 1.0), (1.0, 0.1), (0.5, 0.25, 0.125)])
def test_the_share_is_that_of_all_outcomes_in_which_at_least_one_is_wanted(shares: tuple[float, ...]) -> None:
    """Checked against every outcome of independent wants, one by one."""
    outcomes = product([True, False], repeat=len(shares))
    some = sum(
        prod(s if wanted else 1 - s for s, wanted in zip(shares, outcome, strict=True))
        for outcome in outcomes
        if any(outcome)
    )
    assert any_of(shares) == pytest.approx(some, abs=1e-12)


def test_a_bundle_of_two_rare_needs_is_opened_for_either_and_less_often_than_two_pouches() -> None:
    bundle, apart = packed(both=["bender", "prong"]), packed(one=["bender"], other=["prong"])
    assert Takings(bundle).mean_taken("visit", "chair-1")["both"] == pytest.approx(0.088)
    opened = busy_days(bundle, days=DAYS).drawer_pouches["both"].opened_per_day
    alone = [pouch.opened_per_day for pouch in busy_days(apart, days=DAYS).drawer_pouches.values()]
    error = sqrt(PER_DAY * 0.088 * 0.912 / DAYS)  # of the mean of a binomial count
    assert abs(opened - PER_DAY * 0.088) < 3 * error
    assert max(alone) < opened < sum(alone)  # the same luck: only the visits that want both save a pouch


def test_each_visit_opens_the_bundle_exactly_when_it_wants_something_in_it() -> None:
    """Item for item against `simpy_day.py`, and against the luck of the visits itself."""
    practice = packed(both=["bender", "prong"])
    wanted = 0
    for day in range(1, 21):
        bookings, flow = simulate_day(practice, day=day)
        opened = {visit for kind, visit in zip(*flow.items[:2], strict=True) if flow.kinds[kind].id == "both"}
        assert opened == {n for n, booking in enumerate(bookings) if booking.luck[0] < 0.05 or booking.luck[1] < 0.04}
        assert opened == {item.visit for item in simpy_day.items_of(practice, bookings) if item.id == "both"}
        wanted += len(opened)
    assert wanted
