"""The fold on a set's own card: its cassette, the sheet that it takes, its tape."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest

from kitdocs import Plan, Practice
from kitdocs.document.blocks import Steps
from kitdocs.document.card import Card
from kitdocs.document.catalog import built_in_catalog
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.guides import wrap_guide
from kitdocs.handbook.cards.packing import fold_steps, pack_of, usual_set
from kitdocs.handbook.cards.sets import refill_set


@pytest.fixture(scope="module")
def brief(example: Practice, example_plan: Plan) -> Brief:
    return Brief(practice=example, plan=example_plan, words=built_in_catalog("en"))


def pictures(steps: Steps) -> list[tuple[str, bytes]]:
    return [(step.picture.name, step.picture.data) for step in steps.steps if step.picture]


def steps_of(card: Card) -> Steps:
    return next(block for block in card.blocks if isinstance(block, Steps) and len(block.steps) == 6)


def test_the_back_of_a_refill_card_shows_how_that_set_is_wrapped(brief: Brief) -> None:
    for set_id in brief.practice.sets:
        assert pictures(steps_of(refill_set(brief, set_id))) == pictures(fold_steps(brief, set_id))


def test_sets_have_the_same_drawings_exactly_when_they_have_the_same_cassette(brief: Brief) -> None:
    sets = brief.practice.sets
    assert len({of.cassette for of in sets.values()}) > 1
    for one, other in combinations(sets, 2):
        drawn = pictures(fold_steps(brief, one)), pictures(fold_steps(brief, other))
        if sets[one].cassette == sets[other].cassette:
            assert drawn[0] == drawn[1]
        else:
            assert not {name for name, _ in drawn[0]} & {name for name, _ in drawn[1]}
            assert not {data for _, data in drawn[0]} & {data for _, data in drawn[1]}


def test_the_sheet_that_is_drawn_reaches_at_least_the_stated_overlap_past_bare_cover(brief: Brief) -> None:
    """Side = (l + w + 2h)/√2 + √2·m, the rectangular term that Sara Santos published; a larger one reaches on."""
    stated = brief.practice.room.wrap.overlap
    for set_id in brief.practice.sets:
        pack = pack_of(brief, set_id)
        assert pack.side == brief.plan.sheets[set_id].side_mm
        assert pack.overlap >= stated - 0.1
        needed = brief.plan.sheets[set_id].side_needed_mm
        assert replace(pack, side=needed).overlap == pytest.approx(stated, abs=0.1)


def test_a_cassette_that_is_written_standing_is_drawn_lying(brief: Brief) -> None:
    set_id = next(iter(brief.practice.sets))
    cassette = brief.practice.cassettes[brief.practice.sets[set_id].cassette]
    pack = pack_of(brief, set_id)
    outside = cassette.outside
    assert [pack.length, pack.width, pack.height] == sorted(
        [outside.length, outside.width, outside.height], reverse=True
    )


def test_the_wrap_guide_shows_the_cassette_that_most_sets_have_and_says_so(brief: Brief) -> None:
    shown = usual_set(brief)
    cassettes = [of.cassette for of in brief.practice.sets.values()]
    chosen = brief.practice.sets[shown].cassette
    assert cassettes.count(chosen) == max(map(cassettes.count, cassettes))
    steps = steps_of(wrap_guide(brief))
    assert pictures(steps) == pictures(fold_steps(brief, shown))
    assert brief.say(brief.practice.cassettes[chosen].name) in steps.title


def test_the_number_of_strips_is_the_practices(brief: Brief) -> None:
    room = brief.practice.room
    five = room.model_copy(update={"wrap": room.wrap.model_copy(update={"strips": 5})})
    more = replace(brief, practice=replace(brief.practice, room=five))
    set_id = next(iter(brief.practice.sets))
    three, changed = fold_steps(brief, set_id), fold_steps(more, set_id)
    assert "5 strips of tape" in changed.steps[-1].text
    assert pictures(three)[-1][1] != pictures(changed)[-1][1]
