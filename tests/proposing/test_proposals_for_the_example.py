"""The example practice from nothing but what its procedures need, beside the sets that a person made for it."""

from __future__ import annotations

from pathlib import Path

import pytest
from first_designs import Poor, first_figures

from kitdocs.command.proposal_answer import at_least_as_good
from kitdocs.practice.reading.undesigned import read_undesigned
from kitdocs.proposing.demand import Demand
from kitdocs.proposing.packing import Packing
from kitdocs.proposing.proposals import Proposals, beats, propose_designs, weights_of

EXAMPLE = Path(__file__).parent.parent.parent / "example_practice"
pytestmark = pytest.mark.whole


@pytest.fixture(scope="module")
def answer() -> Proposals:
    read = read_undesigned(EXAMPLE)
    return propose_designs(Demand(practice=read.practice), whole=read.whole)


def test_one_is_at_least_as_good_as_the_sets_of_today_in_money_walks_and_kinds_at_once(answer: Proposals) -> None:
    """Found from nothing but the needs: the sets that a person made are only compared with."""
    assert answer.today is not None
    assert any(at_least_as_good(one.figures, answer.today) for one in answer.proposals)


def test_no_visit_is_sent_with_more_than_two_add_ons(answer: Proposals) -> None:
    for proposal in answer.proposals:
        assert max(len(record.add_ons) for record in proposal.practice.procedures.values()) <= 2


def test_beside_each_of_ten_poor_first_designs_one_loses_nothing_in_money_walks_and_kinds(answer: Proposals) -> None:
    """The table that `bench/bench_first_designs.py` prints. The designs are ours, no source."""
    judge = answer.judge
    poor = first_figures(judge.packing, judge.run, Poor(judge.packing).designs())
    listed = [figures for proposal in answer.proposals if (figures := judge(proposal.design))]
    weights = weights_of(answer.demand, "balanced")
    assert len(poor) == 10
    for name, figures in poor.items():
        assert weights.score(figures) > weights.score(listed[0]) + 10_000, name
        assert any(at_least_as_good(one, figures) for one in listed), name


def test_the_list_is_short_and_nothing_in_it_is_beaten(answer: Proposals) -> None:
    figures = [proposal.figures for proposal in answer.proposals]
    assert 3 <= len(figures) <= 7
    assert not any(beats(one, other) for one in figures for other in figures)
    assert min(figures, key=lambda f: f.money) is not min(figures, key=lambda f: f.walks)


def test_the_bound_is_respected_and_every_rule_kept(answer: Proposals) -> None:
    packing = Packing(answer.demand)
    for proposal in answer.proposals:
        assert proposal.cost >= proposal.bound - 1e-6
        assert packing.allows(proposal.design)
        assert not [problem for problem in proposal.plan.problems if problem.severity == "error"]


def test_repositioning_is_the_daily_set_and_a_pouch(answer: Proposals) -> None:
    """Common practice, no source; the pouch is the one that a person made for the example."""
    balanced = answer.proposals[0].practice
    record = balanced.procedures["repositioning"]
    assert record.set == balanced.procedures["wire-change"].set
    brought = {i for pouch in record.add_ons for i in balanced.pouches[pouch].contents}
    assert brought == {"bracket-remover", "bracket-holder", "height-gauge", "adhesive-remover"}
