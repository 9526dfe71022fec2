"""What a proposal keeps to: rules, what is settled, and what is asked for; on practices that take a moment."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from asking import Ask
from editing import edit
from small_practices import demand_of, written

from kitdocs.command.proposal_answer import bound_said
from kitdocs.document.catalog import built_in_catalog
from kitdocs.handbook.brief import Brief
from kitdocs.planning.plan import make_plan
from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.reading.undesigned import missing_for_a_proposal, read_undesigned, states_every_price
from kitdocs.proposing.candidates import candidates
from kitdocs.proposing.completing import completed, filled_set
from kitdocs.proposing.demand import Demand
from kitdocs.proposing.design import PouchKind, SetKind, tidied
from kitdocs.proposing.judge import Judge
from kitdocs.proposing.packing import Packing, cannot_be_packed
from kitdocs.proposing.program import Program
from kitdocs.proposing.proposals import WEIGHINGS, Proposals, beats, fitted_lines, propose_designs, weights_of
from kitdocs.proposing.proxy import Proxy, fitted
from kitdocs.proposing.search import Search
from kitdocs.report.proposal import proposal_card
from kitdocs.starter import start

ALWAYS = "always"
DAILY: Mapping[str, tuple[float, Mapping[str, str]]] = {
    "adjust": (
        14,
        {
            "mirror": ALWAYS,
            "explorer": ALWAYS,
            "weingart": ALWAYS,
            "mathieu": ALWAYS,
            "director": ALWAYS,
            "bird-beak": "12%",
        },
    ),
    "chain": (
        6,
        {"mirror": ALWAYS, "explorer": ALWAYS, "weingart": ALWAYS, "mathieu": ALWAYS, "director": ALWAYS},
    ),
    "reposition": (
        2,
        {
            "mirror": ALWAYS,
            "explorer": ALWAYS,
            "weingart": ALWAYS,
            "mathieu": ALWAYS,
            "director": ALWAYS,
            "holder": ALWAYS,
            "remover": ALWAYS,
        },
    ),
}


@pytest.fixture(scope="module")
def daily(tmp_path_factory: pytest.TempPathFactory) -> Demand:
    folder = written(tmp_path_factory.mktemp("daily") / "ours", DAILY)
    edit(folder / "cassettes.yaml", "width: 68 mm", "width: 95 mm")  # two rails: the plier, the needle holder
    edit(folder / "cassettes.yaml", "height: 20 mm}", "height: 28 mm}\n  rails: 2")
    return demand_of(folder)


@pytest.fixture(scope="module")
def answer(daily: Demand) -> Proposals:
    return propose_designs(daily, days=100)


@pytest.mark.whole
def test_every_proposal_is_a_practice_without_errors_and_a_mirror_in_every_set(answer: Proposals) -> None:
    assert 1 <= len(answer.proposals) <= 7
    for proposal in answer.proposals:
        assert not [problem for problem in proposal.plan.problems if problem.severity == "error"]
        assert all("mirror" in kit.contents for kit in proposal.practice.sets.values())
        for p, needs in answer.demand.wants.items():
            record = proposal.practice.procedures[p]
            at_hand = {i for a in (record.set, *record.add_ons) for i in proposal.practice.contents(a)}
            drawers = [proposal.practice.chairs[c].drawer for c in proposal.practice.chairs_for(p)]
            assert all(
                i in at_hand or all(any(i in proposal.practice.pouches[q].contents for q in d) for d in drawers)
                for i in needs
            )


@pytest.mark.whole
def test_no_proposal_beats_another(answer: Proposals) -> None:
    figures = [proposal.figures for proposal in answer.proposals]
    assert not any(beats(one, other) for one in figures for other in figures)
    assert beats(figures[0], replace(figures[0], kinds=figures[0].kinds + 1))
    assert not beats(figures[0], figures[0])


@pytest.mark.whole
def test_the_same_folder_gives_the_same_proposals(daily: Demand, answer: Proposals) -> None:
    again = propose_designs(Demand(practice=daily.practice), days=100)
    assert [p.design for p in again.proposals] == [p.design for p in answer.proposals]
    assert [p.figures for p in again.proposals] == [p.figures for p in answer.proposals]


def test_the_program_counts_as_the_rule_of_thumb_does_and_never_below_its_bound(daily: Demand) -> None:
    """Two ways to the same number: the solver's objective, and the rule of thumb of the design it stands for."""
    judge = Judge(daily, days=20)
    proxy = Proxy(judge.packing, fitted_lines(judge))
    program = Program(proxy, candidates(judge.packing))
    for weighing in ("balanced", "cheapest"):
        weights = weights_of(daily, weighing)
        found = program.solve(weights)
        assert found.design is not None
        assert proxy.cost(found.design, weights) <= found.cost + 1e-6
        assert found.cost >= found.bound - 1e-6


def test_a_cost_below_the_bound_is_not_said_to_be_impossible(answer: Proposals) -> None:
    """A search that is stopped may have found sets which its bound says nothing of."""
    words, proposal = built_in_catalog("en"), answer.proposals[0]
    part = replace(answer, complete=False)
    below = bound_said(words, part, replace(proposal, bound=proposal.cost + 100))
    above = bound_said(words, part, replace(proposal, bound=proposal.cost - 100))
    assert "not among the" in below and "not among the" not in above


@pytest.mark.whole
def test_no_more_kinds_than_asked_for(daily: Demand) -> None:
    few = propose_designs(daily, kinds=3, days=50, weighings=("balanced", "fewest-walks"))
    assert all(proposal.figures.kinds <= 3 for proposal in few.proposals)
    assert few.proposals


@pytest.mark.whole
@pytest.mark.parametrize("most", [0, 1])
def test_no_more_add_ons_for_a_visit_than_asked_for(daily: Demand, most: int) -> None:
    found = propose_designs(Demand(practice=daily.practice, pouches=most), days=20, weighings=("balanced", "cheapest"))
    for proposal in found.proposals:
        assert all(len(record.add_ons) <= most for record in proposal.practice.procedures.values())
        assert proposal.cost >= proposal.bound - 1e-6


def test_a_design_that_sends_a_visit_with_too_many_add_ons_breaks_that_rule_alone(daily: Demand) -> None:
    kits = [SetKind(("mirror", "weingart", "mathieu"), tuple(daily.procedures))]
    loose = [PouchKind("add-on", (i,), tuple(daily.procedures)) for i in ("holder", "remover", "director", "explorer")]
    design = tidied(daily, kits, [*loose, PouchKind("drawer", ("bird-beak",), ("adjust",))])
    assert design is not None
    three, four = (Packing(Demand(practice=daily.practice, pouches=most)) for most in (3, 4))
    assert (list(three.pouches_over(design)), three.allows(design)) == (["reposition"], False)
    assert (list(four.pouches_over(design)), four.allows(design)) == ([], True)


@pytest.mark.whole
def test_what_must_lie_apart_or_together_does(daily: Demand) -> None:
    apart = Demand(practice=daily.practice, apart=(frozenset({"holder", "remover"}),))
    together = Demand(practice=daily.practice, together=(frozenset({"holder", "explorer"}),))
    for demand in (apart, together):
        found = propose_designs(demand, days=50, weighings=("balanced",)).proposals[0].practice
        packs = [set(found.contents(id_)) for id_ in (*found.sets, *found.pouches)]
        held = [pack & {"holder", "remover"} for pack in packs]
        if demand is apart:
            assert all(len(pack) < 2 for pack in held)
        else:
            assert all(("holder" in pack) == ("explorer" in pack) for pack in packs if "holder" in pack)


@pytest.mark.whole
def test_stopping_the_search_gives_the_best_so_far(daily: Demand, monkeypatch: pytest.MonkeyPatch) -> None:
    improve, calls = Search.improve, []

    def stopped(self: Search, *of: object) -> object:
        calls.append(of)
        if len(calls) == 2:
            raise KeyboardInterrupt
        return improve(self, *of)  # type: ignore[arg-type]

    monkeypatch.setattr(Search, "improve", stopped)
    found = propose_designs(daily, days=50)
    assert found.stopped
    assert [proposal.weighing for proposal in found.proposals] == ["balanced"]


def test_lines_go_through_what_lies_on_a_line() -> None:
    lines = fitted([(2.0, 3), (4.0, 4), (10.0, 7)], [(2, 1.0, 5), (4, 2.0, 10), (4, 4.0, 12)])
    assert [lines.having, lines.taking] == pytest.approx([2.0, 0.5])
    assert [lines.drawer_having, lines.drawer_taking] == pytest.approx([2.0, 1.0])


def test_each_rule_that_a_set_or_pouch_may_break_is_found(daily: Demand) -> None:
    packing = Packing(Demand(practice=daily.practice, apart=(frozenset({"holder", "remover"}),)))

    def against(role: str, *contents: str, of: str = "reposition") -> list[str]:
        if role == "set":
            return list(packing.against_set(contents, (of,)))
        return list(packing.against_pouch(PouchKind(role, contents, (of,))))  # type: ignore[arg-type]

    assert against("set", "mirror", "weingart") == []
    assert against("set", "weingart") == ["mirror"]
    assert against("set", "mirror", "holder", "remover") == ["apart"]
    assert against("set", "mirror", "holder", "remover", of="chain") == ["apart", "mostly-wanted"]
    assert against("add-on", "holder") == []
    assert against("add-on", "holder", "bird-beak") == ["made-for"]
    assert against("drawer", "holder") == ["always"]
    assert packing.cassette(tuple(daily.instruments) * 2) is None
    assert against("set", "mirror", "bird-beak", of="adjust") == []
    assert not packing.set_is_allowed(SetKind(("weingart",), ("chain",)))


def test_what_fits_nowhere_is_told_with_its_place(tmp_path: Path) -> None:
    folder = written(tmp_path / "ours", DAILY)
    edit(folder / "instruments.yaml", "length: 140 mm", "length: 400 mm")
    problems = cannot_be_packed(demand_of(folder))
    assert [(problem.rule, problem.path) for problem in problems] == [("fits-nowhere", "instruments.weingart")]


def test_a_cassette_that_no_sheet_wraps_holds_no_set_unless_none_is_wrapped(tmp_path: Path) -> None:
    """The plan of a set in such a cassette is refused (`planning/measures/wrap.py`)."""
    folder = written(tmp_path / "ours", DAILY)
    edit(folder / "cassettes.yaml", "outside: {length: 8 in, width: 6.5 in", "outside: {length: 16 in, width: 13 in")
    packing = Packing(demand_of(folder))
    assert list(packing.unwrapped) == ["medium"] and packing.unwrapped["medium"] > 18 * 25.4
    assert packing.cassette(("mirror", "explorer")) == "slim"
    assert packing.cassette(tuple(dict.fromkeys(i for _, needs in DAILY.values() for i in needs))) is None
    edit(folder / "room.yaml", "side: 18 in", "side: 4 in")
    assert not Packing(demand_of(folder)).unwrapped


def test_a_price_that_is_missing_is_known(tmp_path: Path) -> None:
    folder = written(tmp_path / "ours", DAILY)
    edit(folder / "instruments.yaml", "  price: 78\n", "")
    edit(folder / "cassettes.yaml", "  price: 88\n", "")
    practice = read_undesigned(folder).practice
    assert missing_for_a_proposal(practice) == ()
    assert not states_every_price(practice)
    assert states_every_price(demand_of(written(tmp_path / "other", DAILY)).practice)


@pytest.mark.whole
def test_without_prices_designs_are_compared_by_the_pieces_to_buy(ask: Ask, tmp_path: Path) -> None:
    """No figure in money is made up: each proposal buys the pieces that its orders count."""
    folder = written(tmp_path / "ours", DAILY)
    edit(folder / "instruments.yaml", "  price: 78\n", "")
    answer = json.loads(ask("propose", folder, "--to", tmp_path / "new", "--json").out)
    assert answer["bought_in"] == "pieces"
    new = read_practice(tmp_path / "new")
    assert new.proposal and new.proposal.bought_in == "pieces"
    chosen = answer["proposals"][0]
    assert chosen["to_buy"] == str(new.proposal.designs[new.proposal.chosen].to_buy)
    plan = make_plan(new)
    assert chosen["to_buy"] == str(sum(line.buy for line in plan.orders.lines)), "as the plan of the folder says"
    assert new.instruments["weingart"].price is None
    for language, unit in (("en", "pieces"), ("es", "piezas")):
        said = " ".join(ask("propose", folder, "--language", language).out.split())
        assert unit in said and "USD" not in said
    card = proposal_card(Brief(practice=new, plan=make_plan(new), words=built_in_catalog("en")))
    assert card and "USD" not in str(card.blocks) and "pieces" in str(card.blocks)


def test_a_folder_without_any_design_is_read_and_a_real_mistake_is_still_told(tmp_path: Path) -> None:
    folder = written(tmp_path / "ours", DAILY)
    read = read_undesigned(folder)
    assert (read.whole, dict(read.practice.sets), dict(read.practice.pouches)) == (None, {}, {})
    assert {record.set for record in read.practice.procedures.values()} == {""}
    edit(folder / "procedures.yaml", "weingart: always", "weingard: always")
    with pytest.raises(PracticeError, match="did you mean 'weingart'"):
        read_undesigned(folder)


@pytest.mark.whole
def test_what_is_kept_stays_and_who_uses_it_goes_on(tmp_path: Path) -> None:
    start(tmp_path / "ours")
    read = read_undesigned(tmp_path / "ours", ["exam", "bends"])
    assert read.whole is not None
    assert (list(read.practice.sets), list(read.practice.pouches)) == (["exam"], ["bends"])
    found = propose_designs(Demand(practice=read.practice), days=50, weighings=("balanced", "cheapest"))
    for proposal in found.proposals:
        assert proposal.practice.sets["exam"] == read.whole.sets["exam"]
        assert proposal.practice.pouches["bends"] == read.whole.pouches["bends"]
        assert proposal.practice.procedures["check"].set == "exam"
        assert proposal.practice.chairs["chair-1"].drawer["bends"] == "auto"


@pytest.mark.whole
def test_a_set_is_kept_without_the_pouches_that_go_with_it_and_others_are_found(tmp_path: Path) -> None:
    start(tmp_path / "ours")
    practice = read_undesigned(tmp_path / "ours", ["adjustment"]).practice
    assert (list(practice.sets), list(practice.pouches)) == (["adjustment"], [])
    found = propose_designs(Demand(practice=practice), days=50, weighings=("balanced",))
    proposed = found.proposals[0].practice
    assert proposed.sets["adjustment"] == practice.sets["adjustment"]
    assert proposed.procedures["wire-change"].set == "adjustment"
    packed = {i for pouch in proposed.pouches.values() for i in pouch.contents}
    assert {"bird-beak", "hard-wire-cutter"} <= packed


def test_nothing_to_keep_is_told(tmp_path: Path) -> None:
    start(tmp_path / "ours")
    with pytest.raises(PracticeError, match="no set or pouch 'exma' to keep"):
        read_undesigned(tmp_path / "ours", ["exma"])


def test_what_a_pouch_says_of_implants_is_not_lost(tmp_path: Path) -> None:
    start(tmp_path / "ours")
    pouches = tmp_path / "ours" / "pouches.yaml"
    edit(pouches, "  contents: [hard-wire-cutter]", "  implant_related: true\n  contents: [hard-wire-cutter]")
    assert read_undesigned(tmp_path / "ours").practice.instruments["hard-wire-cutter"].implant_related
    edit(pouches, "[hard-wire-cutter]", "[hard-wire-cutter, bird-beak]")
    with pytest.raises(PracticeError, match="several instruments lie in it"):
        read_undesigned(tmp_path / "ours")


BONDING: Mapping[str, tuple[float, Mapping[str, str]]] = {
    "bond": (3, {"mirror": ALWAYS, "explorer": ALWAYS, "holder": ALWAYS, "gauge": ALWAYS, "retractor": "2"}),
    "scaling": (4, {"mirror": ALWAYS, "explorer": ALWAYS, "scaler": "2 at 50%"}),
    "seldom": (2, {"mirror": ALWAYS, "weingart": ALWAYS, "retractor": "2 at 5%"}),
}


def test_two_of_what_goes_into_no_pouch_by_two_lie_in_the_set(tmp_path: Path) -> None:
    """Two retractors side by side are 180 mm wide, wider than any pouch of the room: DIN 58953-7 leaves no other."""
    demand = demand_of(written(tmp_path / "bonding", BONDING))
    assert Packing(demand).size(("retractor", "retractor")) is None
    answer = propose_designs(demand)
    assert answer.proposals
    for proposal in answer.proposals:
        new = proposal.practice
        for p, record in new.procedures.items():
            held = [*new.sets[record.set].contents, *(i for a in record.add_ons for i in new.pouches[a].contents)]
            drawers = [i for q in new.pouches.values() if q.kind == "drawer" for i in q.contents]
            for i, need in demand.wants[p].items():
                assert held.count(i) >= need.count or drawers.count(i) >= need.count, (p, i)
        assert new.sets[new.procedures["bond"].set].contents.count("retractor") == 2
        assert new.sets[new.procedures["seldom"].set].contents.count("retractor") == 2


def test_a_design_that_something_fits_nowhere_in_is_none(tmp_path: Path) -> None:
    packing = Packing(demand_of(written(tmp_path / "bonding", BONDING)))
    assert completed(packing, [SetKind(("mirror",), tuple(BONDING))]) is None
    assert completed(packing, [filled_set(packing, (p,)) for p in BONDING]) is not None


def test_no_two_names_stand_for_as_few_walks_and_every_way_of_weighing_has_an_answer(answer: Proposals) -> None:
    names = [name for proposal in answer.proposals for name in (proposal.weighing, *proposal.also)]
    assert sorted(names) == sorted(WEIGHINGS)
    walks = {p.weighing: round(p.figures.walks, 1) for p in answer.proposals}
    assert "fewer-walks" not in walks or walks["fewer-walks"] != walks.get("fewest-walks")
