"""The surgery that kitdocs can start with: what one need brings together lies together, and nothing lies with it."""

from __future__ import annotations

from math import fsum
from pathlib import Path

import pytest

from kitdocs.planning.day.kept_visits import visits_per_day
from kitdocs.practice.reading.undesigned import read_undesigned
from kitdocs.proposing.demand import Demand
from kitdocs.proposing.proposals import Proposals, propose_designs
from kitdocs.starter import start

pytestmark = pytest.mark.whole


@pytest.fixture(scope="module", params=["stocked", "nothing owned"])
def answer(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Proposals:
    """Where nothing is owned, a third of the money once spoke for one large set and mixed pouches."""
    folder: Path = tmp_path_factory.mktemp("surgery") / "ours"
    start(folder, "surgery")
    if request.param == "nothing owned":
        (folder / "stock.csv").unlink()
    return propose_designs(Demand(practice=read_undesigned(folder).practice))


def test_nothing_is_laid_out_that_a_visit_never_wants(answer: Proposals) -> None:
    """Common practice, no source; who wants the fewest kinds lays one set out for all."""
    listed = [one for one in answer.proposals if one.weighing != "fewest-kinds"]
    assert len(listed) >= 2
    for proposal in listed:
        practice = proposal.practice
        for p, record in practice.procedures.items():
            laid_out = [record.set, *(pouch for pouch, share in record.add_ons.items() if share == 1)]
            held = {i for pack in laid_out for i in practice.contents(pack)}
            assert held <= {"mirror", *record.needs}, (proposal.weighing, p)


def test_what_sutures_are_set_with_lies_in_the_set_and_in_no_pouch(answer: Proposals) -> None:
    suturing = {"needle-holder", "mosquito", "scissors"}
    for proposal in answer.proposals:
        practice = proposal.practice
        assert not any(suturing.intersection(pouch.contents) for pouch in practice.pouches.values())
        for p in ("anchorage-screw", "exposure"):
            assert suturing <= set(practice.sets[practice.procedures[p].set].contents)


def test_what_is_opened_is_counted_with_all_that_lies_in_the_pack(answer: Proposals) -> None:
    """Beside the run, from shares and visits: exact for sets and add-ons, on average for what lies in drawers."""
    for proposal in answer.proposals:
        practice, visits = proposal.practice, visits_per_day(proposal.practice)
        taken = [(record.set, visits[p]) for p, record in practice.procedures.items()]
        taken += [
            (pouch, visits[p] * share)
            for p, record in practice.procedures.items()
            for pouch, share in record.add_ons.items()
        ]
        assert all(len(pouch.contents) == 1 for pouch in practice.pouches.values() if pouch.kind == "drawer")
        opened = fsum(often * len(practice.contents(pack)) for pack, often in taken) + proposal.figures.openings
        assert proposal.figures.handled == pytest.approx(opened, rel=0.01)
