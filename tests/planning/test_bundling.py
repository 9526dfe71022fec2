"""A pouch that serves several rare needs is counted as often as at least one of them is wanted."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations, pairwise, product
from math import prod, sqrt

import pytest
import simpy_day
from practice_builder import build, hand, procedure
from simulated_day import simulate_day

from kitdocs.planning.day.items import Takings
from kitdocs.planning.day.run import busy_days
from kitdocs.practice.model import Practice
from kitdocs.practice.needs import any_of, share_of_any

PER_DAY, DAYS = 12, 200
NEEDS = {"mirror": "always", "bender": "5%", "prong": "4%"}


def packed(needs: Mapping[str, str] = NEEDS, **pouches: list[str]) -> Practice:
    return build(
        procedures={"visit": procedure(per_day=float(PER_DAY), needs=needs)},
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


#: One that comes with another, one by itself, and two that come with the same one.
ALONG = {
    "mirror": "always",
    "bender": "30%",
    "prong": "12% with bender",
    "howe": "20% with bender",
    "cutter": "25%",
}


def outcomes(needs: Mapping[str, str]) -> list[tuple[float, frozenset[str]]]:
    """Every outcome of a visit with its chance: for each need that goes by itself a number from 0 to 1, in pieces."""
    shares = {i: float(often.partition("%")[0]) / 100 for i, often in needs.items() if often != "always"}
    led = {i: [j for j, often in needs.items() if j == i or often.endswith(f" with {i}")] for i in shares}
    by_leader = []
    for mine in (mine for i, mine in led.items() if "with" not in needs[i]):
        edges = sorted({0.0, 1.0, *(shares[j] for j in mine)})
        pieces = [(high - low, frozenset(j for j in mine if shares[j] >= high)) for low, high in pairwise(edges)]
        by_leader.append(pieces)
    return [
        (prod(chance for chance, _ in pieces), frozenset().union(*(wanted for _, wanted in pieces)))
        for pieces in product(*by_leader)
    ]


def test_every_pouch_is_opened_as_often_as_all_outcomes_say_where_needs_come_together() -> None:
    """Each choice of two or three of the needs in one pouch, against every outcome one by one."""
    every = outcomes(ALONG)
    assert sum(chance for chance, _ in every) == pytest.approx(1)
    assert all("bender" in wanted for _, wanted in every if wanted & {"prong", "howe"})
    rare = [i for i in ALONG if i != "mirror"]
    for inside in (*combinations(rare, 2), *combinations(rare, 3)):
        rest = {f"only-{i}": [i] for i in rare if i not in inside}
        practice = packed(ALONG, both=list(inside), **rest)
        exact = sum(chance for chance, wanted in every if wanted & set(inside))
        assert Takings(practice).mean_taken("visit", "chair-1")["both"] == pytest.approx(exact)
        assert share_of_any(practice.procedures["visit"].needs, inside) == pytest.approx(exact)


def test_a_pouch_for_needs_that_come_together_is_opened_as_often_as_the_more_frequent_one() -> None:
    """Item for item against `simpy_day.py`."""
    both = packed(ALONG, both=["bender", "prong", "howe"], one=["cutter"])
    assert Takings(both).mean_taken("visit", "chair-1")["both"] == pytest.approx(0.3)
    for day in range(1, 11):
        bookings, flow = simulate_day(both, day=day)
        opened = {(visit, flow.kinds[kind].id) for kind, visit in zip(*flow.items[:2], strict=True)}
        assert opened == {(item.visit, item.id) for item in simpy_day.items_of(both, bookings)}
        assert {v for v, id_ in opened if id_ == "both"} == {n for n, b in enumerate(bookings) if b.luck[0] < 0.3}
    apart = packed(ALONG, one=["bender"], other=["prong"], third=["howe"], fourth=["cutter"])
    for day in range(1, 11):
        _, flow = simulate_day(apart, day=day)
        opened = {(visit, flow.kinds[kind].id) for kind, visit in zip(*flow.items[:2], strict=True)}
        assert {v for v, id_ in opened if id_ in ("other", "third")} <= {v for v, id_ in opened if id_ == "one"}
