"""Where packs stand, on the storage card: the picture measured again from its lines, the list against the plan's."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitdocs import Plan, Practice
from kitdocs.document.blocks import Illustration, Items, Matrix
from kitdocs.document.catalog import built_in_catalog
from kitdocs.drawings.lettering import text_width
from kitdocs.drawings.shelves import WIDTH_MM, PacksDrawn, ShelfDrawn, shelf_map
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.chairs import refill_chair
from kitdocs.handbook.cards.places import pack_places
from kitdocs.planning.buying.placement import taken_per_day
from kitdocs.planning.measures.standing import pack_size, standings
from kitdocs.planning.measures.storage import shelf_lengths

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def brief(example: Practice, example_plan: Plan) -> Brief:
    return Brief(practice=example, plan=example_plan, words=built_in_catalog("en"))


def codes(svg: str | bytes) -> list[tuple[str, float, float]]:
    """The bold texts of a picture with their places, without the names of shelves."""
    texts = [(t.text or "", float(t.get("x", 0)), float(t.get("y", 0))) for t in ET.fromstring(svg).iter(f"{SVG}text")]
    return [found for found in texts if re.fullmatch(r"[A-Z0-9]{2,4}", found[0])]


def test_the_list_and_the_picture_have_every_pack_where_the_plan_puts_it(brief: Brief) -> None:
    picture, table = pack_places(brief)
    assert isinstance(picture, Illustration) and isinstance(table, Matrix)
    days, shelves = brief.plan.days, brief.practice.room.shelves
    packs = {**days.stock, **days.pouch_stock}
    in_drawer = "screws"
    found = standings(brief.practice, packs, taken_per_day(days))
    by_code = sorted(found, key=lambda one: (list(shelves).index(one.shelf), one.start_mm))
    rows = [tuple(cell.text for cell in row) for row in table.rows]
    assert [row[0] for row in rows] == [*(brief.pack(one.pack) for one in by_code), brief.pack(in_drawer)]
    assert rows.pop()[1:] == ("AK", "D5", "Drawer for anchorage")
    assert {row[0] for row in rows} == {brief.pack(pack) for pack in packs if pack != in_drawer}
    for shelf in shelves:
        name = brief.say(shelves[shelf].name)
        here = [row for row in rows if row[3] == name]
        letter = "AB"[list(shelves).index(shelf)]
        assert [row[2] for row in here] == [f"{letter}{n}" for n in range(1, len(here) + 1)]
        assert (
            sum(
                one.packs * one_thick
                for one in found
                if one.shelf == shelf
                for one_thick in [
                    next(k.thickness_mm for k in shelf_lengths(brief.practice, packs) if k.id == one.pack)
                ]
            )
            <= shelves[shelf].length + 1e-6
        )
    assert sorted(code for code, _, _ in codes(picture.picture.data)) == sorted(row[1] for row in rows)


def test_the_picture_is_to_one_scale(brief: Brief) -> None:
    picture = next(block for block in pack_places(brief) if isinstance(block, Illustration)).picture
    days = brief.plan.days
    found = standings(brief.practice, {**days.stock, **days.pouch_stock}, taken_per_day(days))
    longest = max(shelf.length for shelf in brief.practice.room.shelves.values())
    drawn = {
        (round(float(r.get("width", 0)), 2), round(float(r.get("height", 0)), 2))
        for r in ET.fromstring(picture.data).iter(f"{SVG}rect")
    }
    scale = (WIDTH_MM - 0.8) / longest
    for one in found:
        size = (one.end_mm - one.start_mm) * scale, pack_size(brief.practice, one.pack)[1] * scale
        assert min(abs(w - size[0]) + abs(h - size[1]) for w, h in drawn) < 0.03


def test_without_shelves_nothing_is_said(brief: Brief) -> None:
    bare = replace(brief.practice, room=brief.practice.room.model_copy(update={"shelves": {}}))
    assert list(pack_places(replace(brief, practice=bare))) == []


@given(st.lists(st.integers(1, 12), min_size=1, max_size=30), st.floats(0, 0.9))
def test_no_two_codes_touch_and_none_leaves_the_picture(counts: list[int], free: float) -> None:
    """Up to thirty kinds of narrow packs on one shelf of two metres, wherever they stand."""
    start, packs = 1981 * free * 0.1, []
    for n, count in enumerate(counts):
        end = start + min(count * 12, (1981 - start) / (len(counts) - n))
        packs.append(PacksDrawn(code=f"{n:02}", packs=count, start=start, end=end, height=233, wrapped=n % 2 == 0))
        start = end
    svg = shelf_map([ShelfDrawn(name="A shelf", length=1981, packs=tuple(packs))]).svg
    sizes = {t.text: float(t.get("font-size", 0)) for t in ET.fromstring(svg).iter(f"{SVG}text")}
    found = codes(svg)
    assert len(found) == len(counts)
    spans = sorted(
        (y, x - text_width(code, sizes[code], bold=True) / 2, x + text_width(code, sizes[code], bold=True) / 2)
        for code, x, y in found
    )
    for (y, _, right), (below, left, _) in pairwise(spans):
        assert y != below or right < left
    assert all(left >= 0 and right <= WIDTH_MM for _, left, right in spans)


def test_a_place_that_is_worked_out_is_on_no_card_that_would_have_to_be_replaced_when_it_moves(brief: Brief) -> None:
    practice = brief.practice
    unstated = practice.pouches["bends"].model_copy(update={"place": None})
    other = replace(brief, practice=replace(practice, pouches={**practice.pouches, "bends": unstated}))
    assert brief.stands("bends") == brief.plan.places["bends"] != ()
    assert other.stands("bends") == () and other.stands("ties") == brief.stands("ties") != ()
    shown = [
        item.stands
        for block in refill_chair(other, "chair-1").front
        if isinstance(block, Items)
        for item in block.items
    ]
    assert shown[0] == "" and all(shown[1:])
    assert brief.plan.places["bends"][0] in str(list(pack_places(other))), "the storage card has them all"
