"""`kitdocs plan --set` with a whole proposal: what comes of it is what the plan says of a folder with that design."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from asking import Ask
from editing import edit

from kitdocs.planning.plan import make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.reader import read_practice
from kitdocs.starter import start

DAYS = 20
RECORD = """
chosen: balanced
days: 20
seed: 1
designs:
  balanced: {to_buy: 10, walks: 0, from_drawers: 0, kinds: 2, loads: 9, hands: 100 min, ends: 1000 min}
  cheapest: {to_buy: 5, walks: 3, from_drawers: 0, kinds: 3, loads: 9, hands: 100 min, ends: 1000 min}
made_of:
  balanced:
    kept: [exam]
    sets:
      daily: {name: Daily, code: A, cassette: full, mark: one-bar, contents: [mirror, explorer, weingart,
        ligature-director, mathieu, ligature-cutter, bird-beak, hard-wire-cutter, bracket-holder, bracket-remover]}
    pouches:
      bends: {name: Bends, code: P, kind: add-on, size: large, contents: [bird-beak]}
    procedures:
      wire-change: {set: daily}
      bracket-reposition: {set: daily}
      check: {set: exam, add_ons: {bends: 10%}}
  cheapest:
    sets:
      daily: {name: Daily, code: A, cassette: full, mark: one-bar, contents: [mirror, explorer, weingart,
        ligature-director, mathieu, ligature-cutter]}
    pouches:
      bends: {name: Bends, code: P, kind: add-on, size: large, contents: [bird-beak, hard-wire-cutter]}
      moves: {name: Moves, code: Q, kind: add-on, size: large, contents: [bracket-holder, bracket-remover]}
    procedures:
      wire-change: {set: daily, add_ons: {bends: 20%}}
      bracket-reposition: {set: daily, add_ons: {moves: always}}
      check: {set: daily, add_ons: {bends: 10%}}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    start(tmp_path / "ours")
    sizes = read_practice(tmp_path / "ours").room.pouch_sizes
    largest = max(sizes, key=lambda size: sizes[size].width * sizes[size].length)
    cassettes = read_practice(tmp_path / "ours").cassettes
    widest = max(cassettes, key=lambda c: cassettes[c].inside.width)
    text = RECORD.replace("size: large", f"size: {largest}").replace("cassette: full", f"cassette: {widest}")
    (tmp_path / "ours" / "proposal.yaml").write_text(text, "utf-8")
    return tmp_path / "ours"


def of_design(practice: Practice) -> object:
    return (
        {id_: practice.contents(id_) for id_ in (*practice.sets, *practice.pouches)},
        {p: (record.set, dict(record.add_ons), dict(record.needs)) for p, record in practice.procedures.items()},
        {c: dict(chair.drawer) for c, chair in practice.chairs.items()},
    )


def test_a_proposal_takes_the_place_of_sets_pouches_and_drawers_and_of_nothing_else(folder: Path) -> None:
    own = read_practice(folder)
    changed = read_practice(folder, {"proposal": "cheapest"})
    assert set(changed.sets) == {"daily"} and set(changed.pouches) == {"bends", "moves"}
    assert changed.procedures["wire-change"].add_ons == {"bends": 0.2}
    assert not any(chair.drawer for chair in changed.chairs.values())
    for p, record in own.procedures.items():
        assert changed.procedures[p].needs == record.needs, "also where `all of the set` was written"
    assert (changed.instruments, changed.room, changed.settings) == (own.instruments, own.room, own.settings)
    assert changed.proposal is not None and own.proposal is not None
    assert (changed.proposal.chosen, own.proposal.chosen) == ("cheapest", "balanced")


def test_what_it_keeps_stays_as_the_folder_has_it(folder: Path) -> None:
    own, changed = read_practice(folder), read_practice(folder, {"proposal": "balanced"})
    assert (set(changed.sets), set(changed.pouches)) == ({"exam", "daily"}, {"bends"})
    assert changed.sets["exam"] == own.sets["exam"]


def test_the_chosen_one_of_another_folder_and_a_change_with_it(folder: Path, tmp_path: Path) -> None:
    start(tmp_path / "other")
    file = str(folder / "proposal.yaml")
    there = read_practice(tmp_path / "other", {file: "", "procedures.check.per_day": "9"})
    assert of_design(there) == of_design(read_practice(folder, {"proposal": "balanced"}))
    assert there.procedures["check"].per_day == 9


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"proposal": "chepest"}, "did you mean 'cheapest'"),
        ({"proposal": "cheapest", "procedures.check.minutes": "soon"}, "soon"),
    ],
)
def test_what_there_is_not_is_told(folder: Path, changes: dict[str, str], said: str) -> None:
    with pytest.raises(PracticeError, match=said):
        read_practice(folder, changes)


def test_what_a_design_lacks_is_told_at_the_change(folder: Path, ask: Ask) -> None:
    edit(folder / "proposal.yaml", "set: daily, add_ons: {bends: 20%}", "set: dialy, add_ons: {bends: 20%}")
    told = ask("plan", folder, "--set", "proposal=cheapest")
    assert told.status == 2
    assert "(change):1:10: procedures.wire-change.set" in told.err and "did you mean 'daily'" in told.err


def test_no_proposals_and_no_such_file(folder: Path, ask: Ask, tmp_path: Path) -> None:
    (folder / "proposal.yaml").unlink()
    assert "keeps no proposals" in ask("plan", folder, "--set", "proposal=cheapest").err
    assert ask("plan", folder, "--set", str(tmp_path / "proposal.yaml")).status == 2
    assert ask("plan", folder, "--set", "proposal").status == 2


def test_the_table_has_what_designs_are_compared_by_and_the_section_stands_below_it(folder: Path, ask: Ask) -> None:
    """The figures before and after are those of the plans of either design, by another road: two runs."""
    answer = ask("plan", folder, "--set", "proposal=cheapest", "--days", DAYS)
    plans = {
        name: make_plan(read_practice(folder, changes), days=DAYS)
        for name, changes in (("own", {}), ("cheapest", {"proposal": "cheapest"}))
    }
    assert answer.status == 0
    lines = " ".join(answer.out.split())
    assert "what if proposal=cheapest" in lines
    assert "“Cheapest” beside" not in lines and "What else each comes to" in lines
    assert "A Balanced 10 0 2" in lines and "B Cheapest 5 3 3" in lines
    told = json.loads(ask("plan", folder, "--set", "proposal=cheapest", "--days", DAYS, "--json").out)["what_if"]
    moved = {each["id"]: (each["before"], each["after"]) for each in told["figures_changed"]}
    assert moved["design.kinds"] == (5, 3)
    assert moved["buy.total"] == tuple(float(plans[name].orders.total) for name in ("own", "cheapest"))
    loads = tuple(round(plans[name].days.loads_per_day, 1) for name in ("own", "cheapest"))
    assert moved.get("design.loads", (loads[0], loads[0])) == loads
    assert told["proposals"]["chosen"] == "cheapest"
    assert set(told["proposals"]["designs"]) == {"balanced", "cheapest"}


@pytest.mark.whole
def test_each_proposal_of_a_search_gives_the_same_in_the_old_folder_and_in_one_that_is_written(
    started: Path, ask: Ask, tmp_path: Path
) -> None:
    for name in ("balanced", "cheapest"):
        assert ask("propose", started, "--choose", name, "--to", tmp_path / name).status == 0
    written = read_practice(tmp_path / "cheapest")
    chosen = read_practice(started, {str(tmp_path / "cheapest" / "proposal.yaml"): ""})
    named = read_practice(tmp_path / "balanced", {"proposal": "cheapest"})
    assert of_design(written) == of_design(chosen) == of_design(named)
    assert written.proposal is not None
    plans = [make_plan(practice, days=DAYS) for practice in (written, chosen, named)]
    assert len({plan.orders.total for plan in plans}) == len({str(plan.days.stock) for plan in plans}) == 1
