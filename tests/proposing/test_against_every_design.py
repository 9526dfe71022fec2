"""Small practices, each design of them tried: what is proposed is the best by the plan's own figures, or within 2 %."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from every_design import every_design
from small_practices import demand_of, written

from kitdocs.proposing.judge import Judge
from kitdocs.proposing.proposals import DAYS, propose_designs, weights_of

Procedures = Mapping[str, tuple[float, Mapping[str, str]]]
ALWAYS = "always"

PULLING: Procedures = {
    "adjust": (12, {"mirror": ALWAYS, "bird-beak": ALWAYS, "holder": "30%"}),
    "bend": (4, {"mirror": ALWAYS, "three-prong": "60%"}),
    "remove": (2, {"mirror": ALWAYS, "remover": ALWAYS}),
}
SHARING: Procedures = {
    "adjust": (8, {"mirror": ALWAYS, "weingart": ALWAYS, "bird-beak": "12%"}),
    "check": (6, {"mirror": ALWAYS, "explorer": ALWAYS, "bird-beak": "20%"}),
    "repair": (3, {"mirror": ALWAYS, "weingart": ALWAYS, "explorer": "60%"}),
}
CUTTING: Procedures = {
    "adjust": (8, {"mirror": ALWAYS, "director": ALWAYS, "cutter": ALWAYS, "gauge": "30%"}),
    "repair": (4, {"mirror": ALWAYS, "director": ALWAYS, "three-prong": "12%"}),
    "check": (8, {"mirror": ALWAYS, "cutter": "8%", "three-prong": "30%"}),
}
EIGHT: Procedures = {
    "adjust": (12, {"mirror": ALWAYS, "weingart": ALWAYS, "mathieu": ALWAYS, "bird-beak": "12%"}),
    "chain": (6, {"mirror": ALWAYS, "weingart": ALWAYS, "mathieu": ALWAYS, "explorer": ALWAYS}),
    "reposition": (2, {"mirror": ALWAYS, "weingart": ALWAYS, "holder": ALWAYS, "remover": ALWAYS}),
    "check": (8, {"mirror": ALWAYS, "explorer": ALWAYS, "three-prong": "20%"}),
}


def held_against_every_design(folder: Path, procedures: Procedures, fewest: int, *, lean: bool = False) -> None:
    demand = demand_of(written(folder, procedures))
    judge = Judge(demand, days=DAYS)
    designs = list(every_design(judge.packing, lean=lean))
    judged = [figures for design in designs if (figures := judge(design))]
    assert len(judged) >= fewest
    answer = propose_designs(demand, days=DAYS)
    assert answer.complete
    for proposal in answer.proposals:
        for weighing in (proposal.weighing, *proposal.also):
            weights = weights_of(demand, weighing)
            figures = answer.judge(proposal.design)
            assert figures is not None
            assert weights.score(figures) <= 1.02 * min(map(weights.score, judged)), weighing
        assert proposal.cost >= proposal.bound - 1e-6


@pytest.mark.whole
def test_few_procedures_with_little_in_common(tmp_path: Path) -> None:
    held_against_every_design(tmp_path / "ours", PULLING, 100)


@pytest.mark.whole
@pytest.mark.parametrize(("procedures", "fewest"), [(SHARING, 100), (CUTTING, 400)])
def test_procedures_that_share_instruments(tmp_path: Path, procedures: Procedures, fewest: int) -> None:
    held_against_every_design(tmp_path / "ours", procedures, fewest)


@pytest.mark.whole
def test_eight_instruments_and_four_procedures(tmp_path: Path) -> None:
    """What all visits with a set want lies in it: without this, there are millions of designs."""
    held_against_every_design(tmp_path / "ours", EIGHT, 500, lean=True)
