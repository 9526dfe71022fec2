"""Practices beside the middle of their group: numpy has the median, arithmetic has what a figure is made of."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from summaries import summary

from kitdocs.document.catalog import built_in_catalog
from kitdocs.group.comparison import FAR, GOES_WITH, MEASURES, differences, middles
from kitdocs.group.result import group_of
from kitdocs.group.summary import Summary
from kitdocs.group.told import Told
from kitdocs.group.work import WorkedOn

SUMMARIES = st.builds(
    summary,
    chairs=st.integers(1, 40),
    visits=st.floats(1, 400),
    sets=st.integers(1, 300),
    value=st.integers(1, 100_000).map(Decimal),
    turnaround=st.floats(30, 400),
    ends=st.floats(900, 1800),
    kept=st.floats(0.5, 1),
)


@given(st.lists(SUMMARIES, min_size=3, max_size=9))
def test_the_middle_is_the_median_and_who_is_told_lies_far_from_it(summaries: list[Summary]) -> None:
    practices = {f"p{n}": each for n, each in enumerate(summaries)}
    middle = middles(practices)
    for id_, value in middle.items():
        assert value == pytest.approx(float(np.median([MEASURES[id_].of(s) for s in summaries])))
    told = {(each.practice, each.here.measure) for each in differences(practices)}
    for name, each in practices.items():
        sets, usual = each.sets / each.chairs, middle["sets-per-chair"]
        assert ((name, "sets-per-chair") in told) == (abs(sets - usual) > FAR * usual)
        late = each.ends - each.closes
        assert ((name, "after-closing") in told) == (abs(late - middle["after-closing"]) > 30)


@given(st.lists(SUMMARIES, min_size=3, max_size=9))
def test_what_goes_with_a_difference_differs_itself_in_the_same_direction(summaries: list[Summary]) -> None:
    for each in differences({f"p{n}": one for n, one in enumerate(summaries)}):
        for other in each.goes_with:
            assert (other.value > other.middle) == (each.here.value > each.here.middle)
            if MEASURES[other.measure].form != "share":
                assert abs(other.value - other.middle) > GOES_WITH * abs(other.middle)


@given(SUMMARIES)
def test_a_figure_is_the_product_of_what_it_is_said_to_be_made_of(one: Summary) -> None:
    """Sets for each chair are visits for each chair times sets for each visit: more of one is more of all."""

    def value(measure: str) -> float:
        found = MEASURES[measure].of(one)
        assert found is not None
        return found

    assert value("sets-per-chair") == pytest.approx(value("visits-per-chair") * value("sets-per-ten-visits") / 10)
    assert value("value-per-chair") == pytest.approx(value("sets-per-chair") * value("value-per-set"))
    assert value("value-per-visit") == pytest.approx(value("sets-per-ten-visits") / 10 * value("value-per-set"))
    for measure, parts in (
        ("sets-per-chair", ("visits-per-chair", "sets-per-ten-visits")),
        ("value-per-chair", ("sets-per-chair", "value-per-set")),
        ("value-per-visit", ("sets-per-ten-visits", "value-per-set")),
    ):
        assert MEASURES[measure].goes_with == parts


def test_two_practices_have_no_middle_and_no_differences() -> None:
    assert differences({"a": summary(sets=1), "b": summary(sets=99)}) == ()


def test_money_in_two_currencies_is_not_compared() -> None:
    practices = {"a": summary(), "b": summary(), "c": replace(summary(value=Decimal(1)), currency="MXN")}
    assert "value-per-chair" not in middles(practices)
    assert "sets-per-chair" in middles(practices)
    assert not [each for each in differences(practices) if "value" in each.here.measure]


def test_the_sentences_of_a_difference_say_both_figures_and_what_goes_with_it() -> None:
    practices = {
        "a": summary(),
        "b": summary(),
        "c": replace(summary(visits=40.0, sets=20), title=summary().title),
    }
    worked = [WorkedOn(name=name, summary=each) for name, each in practices.items()]
    group = group_of("Ours", worked, with_handbooks=False)
    told = Told(group, built_in_catalog("en"))
    said = [(told.practice(each.practice), told.difference(each), told.why(each)) for each in group.differences]
    assert said == [
        (
            "Ours (c)",
            "Sets for each chair: 5, less than the middle of the group (10)",
            "Visits for each chair: 10, less than 20",
        ),
        (
            "Ours (c)",
            "Value for each visit a day: USD 500, more than the middle of the group (USD 250)",
            "Value for each set: USD 1,000, more than USD 500",
        ),
        (
            "Ours (c)",
            "Walks for ten visits: 2, more than the middle of the group (1)",
            "None of the figures that are compared tells why",
        ),
    ]
