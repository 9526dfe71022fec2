"""Transfers between practices, checked against a linear program (scipy, HiGHS) that knows every way to move pieces."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog
from summaries import owned, summary

from kitdocs.group.moving import exchange
from kitdocs.group.summary import Summary

COUNT = st.integers(0, 12)
KINDS = st.builds(owned, st.sampled_from(["mirror", "scaler"]), need=COUNT, has=COUNT, price=st.integers(1, 9))
SUMMARIES = st.lists(KINDS, max_size=2, unique_by=lambda kind: kind.id).map(summary)
PRACTICES = st.lists(SUMMARIES, min_size=1, max_size=4).map(lambda each: {f"p{n}": one for n, one in enumerate(each)})


def most_saved(practices: Mapping[str, Summary]) -> float:
    """The most that any transfers can save: a program over every pair of practices, kind by kind."""
    saved = 0.0
    for id_ in ("mirror", "scaler"):
        kinds = [kind for each in practices.values() for kind in each.kinds if kind.id == id_]
        pairs = [(g, t) for g in range(len(kinds)) for t in range(len(kinds))]
        if not pairs:
            continue
        gains = [-float(kinds[t].price or 0) for _, t in pairs]
        gives = [[float(g == n) for g, _ in pairs] for n in range(len(kinds))]
        takes = [[float(t == n) for _, t in pairs] for n in range(len(kinds))]
        limits = [kind.surplus for kind in kinds] + [kind.buy for kind in kinds]
        saved -= linprog(gains, A_ub=np.array(gives + takes), b_ub=limits).fun
    return saved


@given(PRACTICES)
def test_no_transfers_save_more_and_nobody_gives_what_it_needs_or_gets_what_it_does_not(
    practices: dict[str, Summary],
) -> None:
    found = exchange(practices)
    assert float(found.saved("USD")) == most_saved(practices)
    given_, taken = Counter[tuple[str, str]](), Counter[tuple[str, str]]()
    for each in found.transfers:
        assert each.pieces > 0 and each.giver != each.taker
        given_[each.giver, each.id] += each.pieces
        taken[each.taker, each.id] += each.pieces
    ordered = {(s.practice, line.id): s.pieces for line in found.orders for s in line.shares}
    for name, practice in practices.items():
        for kind in practice.kinds:
            assert given_[name, kind.id] <= kind.surplus
            assert taken[name, kind.id] + ordered.get((name, kind.id), 0) == kind.buy


@given(PRACTICES)
def test_what_moves_and_what_is_bought_is_what_all_would_have_bought_alone(practices: dict[str, Summary]) -> None:
    found = exchange(practices)
    alone = sum(
        ((kind.price or Decimal(0)) * kind.buy for each in practices.values() for kind in each.kinds), Decimal(0)
    )
    assert found.saved("USD") + found.cost("USD") == alone


def test_who_has_most_gives_to_who_needs_most_so_that_few_parcels_are_packed() -> None:
    small = {f"small-{n}": summary([owned(need=0, has=1)]) for n in range(5)}
    large = {"large": summary([owned(need=0, has=9)]), "needs": summary([owned(need=9, has=0)])}
    found = exchange({**small, **large, "more": summary([owned(need=2, has=0)])})
    assert next((each.giver, each.taker, each.pieces) for each in found.transfers) == ("large", "needs", 9)
    assert len(found.transfers) == 3


def test_pieces_go_first_where_a_new_one_costs_most() -> None:
    cheap, dear = summary([owned(need=9, has=0, price=1)]), summary([owned(need=3, has=0, price=8)])
    found = exchange({"a": cheap, "b": dear, "c": summary([owned(need=0, has=4)])})
    assert [(each.taker, each.pieces) for each in found.transfers] == [("b", 3), ("a", 1)]
    assert found.saved("USD") == 3 * 8 + 1


def test_what_is_in_repair_cannot_be_given_away() -> None:
    giver = summary([owned(need=4, has=10, in_repair=8)])
    found = exchange({"a": giver, "b": summary([owned(need=9, has=0)])})
    assert [(each.giver, each.taker, each.pieces) for each in found.transfers] == [("a", "b", 2)]


def test_what_has_the_same_id_and_is_another_thing_stays_where_it_is() -> None:
    other = owned(need=0, has=9, alike=("mouth-mirror", "aluminium"))
    found = exchange({"a": summary([other]), "b": summary([owned(need=5, has=0)])})
    assert found.transfers == () and [line.pieces for line in found.orders] == [5]


def test_what_has_no_price_moves_and_counts_for_nothing() -> None:
    found = exchange({"a": summary([owned(need=0, has=3)]), "b": summary([owned(need=5, has=0, price=None)])})
    assert [(each.pieces, each.saves) for each in found.transfers] == [(3, None)]
    assert [found.saved("USD"), found.cost("USD"), found.orders[0].without_price] == [0, 0, 2]


def test_money_of_each_currency_is_added_by_itself() -> None:
    dear = replace(summary([owned(need=5, has=0, price=30)]), currency="MXN")
    found = exchange({"a": summary([owned(need=0, has=3)]), "b": dear, "c": summary([owned(need=4, has=0)])})
    assert [found.saved("MXN"), found.saved("USD")] == [90, 0]
    assert [found.cost("MXN"), found.cost("USD")] == [60, 40]
