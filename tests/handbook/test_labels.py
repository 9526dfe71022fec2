"""What stands on labels and tags, and how many there are."""

from __future__ import annotations

import dataclasses
from collections import Counter

import pytest

from kitdocs.document.catalog import built_in_catalog
from kitdocs.document.label_sheet import LabelSheet
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.labels import FAULTS, label_sheets
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.practice.paper import PAPER_MM, Labels


def sheets(practice: Practice, plan: Plan, language: str = "en", **settings: object) -> dict[str, LabelSheet]:
    changed = dataclasses.replace(practice, settings=practice.settings.model_copy(update=settings))
    brief = Brief(practice=changed, plan=plan, words=built_in_catalog(language))
    return {sheet.kind: sheet for sheet in label_sheets(brief)}


def test_a_packs_label_asks_for_what_the_guidance_wants_on_it(example: Practice, example_plan: Plan) -> None:
    # CDC, Packaging and Storage (2016): sterilizer used; cycle or load number; date; expiration date if applicable.
    for kind in ("end-label", "pouch-label"):
        for label in sheets(example, example_plan, expiration="date")[kind].labels:
            assert label.lines == ("Sterilizer", "Load", "Date", "Good until", "Initials")
            assert label.word and label.name
        for label in sheets(example, example_plan)[kind].labels:
            assert "Good until" not in label.lines, "packs that stay good until something happens have no such date"
            assert {"Sterilizer", "Load", "Date"} <= set(label.lines)


def test_there_is_a_label_for_every_set_and_pouch_that_is_owned_and_no_place_is_left_empty(
    example: Practice, example_plan: Plan
) -> None:
    made = sheets(example, example_plan)
    for kind, own in (
        ("cassette-mark", example_plan.days.stock),
        ("end-label", example_plan.days.stock),
        ("pouch-label", example_plan.days.pouch_stock),
    ):
        counted = Counter(label.word for label in made[kind].labels)
        records = example.pouches if kind == "pouch-label" else example.sets
        assert set(counted) == {records[id_].code for id_ in own}
        assert all(counted[records[id_].code] >= count for id_, count in own.items())
    for sheet in made.values():
        assert len(sheet.labels) % sheet.grid.places == 0
    chairs = {chair.name.in_language("en") for chair in example.chairs.values()}
    assert {label.name for label in made["chair-tag"].labels} == chairs


def test_each_place_of_the_store_has_its_label(example: Practice, example_plan: Plan) -> None:
    """Against the plan's own list of the store: what stands there, its mark, how many; then drawers and hooks."""
    labels = dict.fromkeys(sheets(example, example_plan)["place-label"].labels)
    by_code = {label.word: label for label in labels}
    assert len(by_code) == len(labels)
    on_shelves = {one.code: one for one in example_plan.store if one.place and one.place.kind == "shelf"}
    assert set(by_code) == {*on_shelves, "D1", "D2", "D3", "D4", "D5", "H1"}
    for code, one in on_shelves.items():
        pack = example.sets.get(one.id) or example.pouches[one.id]
        assert by_code[code].name == pack.name.in_language("en")
        assert by_code[code].note == f"{pack.code} · up to {one.count} · oldest at the left"
        assert (by_code[code].mark is not None) == (one.id in example.sets)
    assert by_code["D5"].name == "Drawer for anchorage" and by_code["D5"].note == "Finished packs, nothing else"
    bare = dataclasses.replace(example_plan, store=())
    room = example.room.model_copy(update={"shelves": {}, "drawers": {}, "hooks": {}})
    assert "place-label" not in sheets(dataclasses.replace(example, room=room), bare)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_without_labels_of_its_own_a_practice_cuts_plain_paper(
    example: Practice, example_plan: Plan, paper: str
) -> None:
    width, height = PAPER_MM[paper]
    for sheet in sheets(example, example_plan, labels=None, paper=paper).values():
        grid = sheet.grid
        assert grid.cut
        # The crop marks outside have room within what an office printer leaves white (about 6 mm) and the first label.
        assert grid.left_mm >= 8 and grid.left_mm * 2 + grid.columns * grid.width_mm == pytest.approx(width)
        assert grid.top_mm >= 8
        # Below, the crop marks (they end 6.5 mm from the labels), the ruler and its words have room.
        assert height - grid.top_mm - grid.rows * grid.height_mm >= 6.5 + 13


def test_repair_tags_are_on_the_labels_only_where_they_have_room(example: Practice, example_plan: Plan) -> None:
    assert sheets(example, example_plan)["repair-tag"].grid.cut, "2.625 × 1 in is too small for the ticks"
    roomy = Labels.model_validate(
        {"columns": 2, "rows": 4, "width": "99 mm", "height": "67 mm", "left": "6 mm", "top": "5 mm"}
    )
    grid = sheets(example, example_plan, labels=roomy)["repair-tag"].grid
    assert not grid.cut and (grid.width_mm, grid.height_mm, grid.across_mm) == (99, 67, 99)


@pytest.mark.parametrize("language", ["en", "es", "de", "fr"])
def test_a_repair_tag_says_what_is_wrong_and_where_it_came_from(
    example: Practice, example_plan: Plan, language: str
) -> None:
    tag = sheets(example, example_plan, language)["repair-tag"].labels[0]
    assert len(tag.boxes) == len(set(tag.boxes)) == len(FAULTS)
    assert tag.boxes[-1].endswith(":"), "what none of them says is written behind"
    assert len(tag.lines) == 4 and len(tag.checks) == 2


def test_the_practices_grid_and_offset_reach_the_sheet(example: Practice, example_plan: Plan) -> None:
    grid = sheets(example, example_plan)["end-label"].grid
    assert (grid.columns, grid.rows, grid.right_mm, grid.lower_mm) == (3, 10, 0.5, 0.0)
    # 2.625, 1, 0.1875, 0.5 and 2.75 in, as example_practice/practice.yaml states them.
    measures = (grid.width_mm, grid.height_mm, grid.left_mm, grid.top_mm, grid.across_mm, grid.down_mm)
    assert measures == pytest.approx((66.675, 25.4, 4.7625, 12.7, 69.85, 25.4))
