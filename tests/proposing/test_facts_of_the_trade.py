"""Facts of the trade that a proposal finds by itself, and what it saves beside poor first designs."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from editing import edit
from first_designs import Poor, first_figures
from small_practices import demand_of, written

from kitdocs.practice.model import Practice
from kitdocs.proposing.proposals import Proposals, propose_designs, weights_of

pytestmark = pytest.mark.whole

ALWAYS = "always"
CORE = dict.fromkeys(("mirror", "explorer", "weingart", "mathieu", "director"), ALWAYS)
DAILY: Mapping[str, tuple[float, Mapping[str, str]]] = {
    "adjust": (14, {**CORE, "bird-beak": "6%"}),
    "chain": (6, CORE),
    "bends": (3, {**CORE, "bird-beak": ALWAYS, "three-prong": ALWAYS}),
    "reposition": (2, {**CORE, "holder": ALWAYS, "remover": ALWAYS}),
}


@pytest.fixture(scope="module")
def answer(tmp_path_factory: pytest.TempPathFactory) -> Proposals:
    """A practice whose slim cassette has two rails: one for the plier, one for the needle holder."""
    folder = written(tmp_path_factory.mktemp("daily") / "ours", DAILY)
    edit(folder / "cassettes.yaml", "width: 68 mm", "width: 95 mm")
    edit(folder / "cassettes.yaml", "height: 20 mm}", "height: 28 mm}\n  rails: 2")
    return propose_designs(demand_of(folder), days=100)


@pytest.fixture(scope="module")
def balanced(answer: Proposals) -> Practice:
    return answer.proposals[0].practice


def add_ons_of(practice: Practice, procedure: str) -> list[set[str]]:
    return [set(practice.contents(pouch)) for pouch in practice.procedures[procedure].add_ons]


def test_the_daily_plier_needle_holder_and_straight_instruments_make_one_slim_set(balanced: Practice) -> None:
    """Common practice, no source."""
    (only,) = balanced.sets.values()
    assert set(only.contents) == {"mirror", "explorer", "director", "weingart", "mathieu"}
    assert only.cassette == "slim"


def test_a_pouch_holds_what_is_for_bending_and_a_chair_has_the_one_that_is_seldom_wanted(balanced: Practice) -> None:
    """Common practice, no source."""
    assert add_ons_of(balanced, "bends") == [{"bird-beak", "three-prong"}]
    drawer = {i for chair in balanced.chairs.values() for pouch in chair.drawer for i in balanced.contents(pouch)}
    assert (add_ons_of(balanced, "adjust"), drawer) == ([], {"bird-beak"})


def test_repositioning_is_the_core_set_and_a_pouch(balanced: Practice) -> None:
    """Common practice, no source."""
    assert balanced.procedures["reposition"].set == balanced.procedures["adjust"].set
    assert add_ons_of(balanced, "reposition") == [{"holder", "remover"}]


def test_each_of_ten_poor_first_designs_costs_more_in_all(answer: Proposals) -> None:
    """The table that `bench/bench_first_designs.py` prints, of this practice. The designs are ours, no source."""
    judge = answer.judge
    poor = first_figures(judge.packing, judge.run, Poor(judge.packing).designs())
    weights, balanced = weights_of(answer.demand, "balanced"), judge(answer.proposals[0].design)
    assert balanced is not None
    assert len(poor) == 10
    for name, figures in poor.items():
        assert weights.score(figures) > weights.score(balanced), name
