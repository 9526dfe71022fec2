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
from kitdocs.drawings.drawing import GRIP, SHADE
from kitdocs.drawings.lettering import text_width
from kitdocs.drawings.shelves import ON_CARD, PacksDrawn, ShelfDrawn
from kitdocs.drawings.store_map import store_maps
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.chairs import refill_chair
from kitdocs.handbook.cards.places import pack_places
from kitdocs.handbook.cards.store_map import store_poster
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
    *maps, table = pack_places(brief)
    assert isinstance(table, Matrix)
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
    on_shelves = [row for row in rows if row[1] != "AK"]
    assert all(isinstance(each, Illustration) for each in maps)
    drawn = {code for code, _, _ in codes(pictures(brief))}
    assert drawn >= {row[1] for row in rows} | {row[2] for row in on_shelves} | {"D1", "D5", "H1", "AK"}


def test_the_picture_is_to_one_scale(brief: Brief) -> None:
    svg = pictures(brief)
    days = brief.plan.days
    found = standings(brief.practice, {**days.stock, **days.pouch_stock}, taken_per_day(days))
    longest = max(shelf.length for shelf in brief.practice.room.shelves.values())
    drawn = sizes_in(svg)
    scale = max(wide for wide, _ in sizes_in(svg, fill=SHADE)) / longest
    for one in found:
        tall = pack_size(brief.practice, one.pack)[1] * scale
        assert has(drawn, (one.end_mm - one.start_mm) * scale, tall)
        # The oldest, dark: as wide as one pack.
        assert has(sizes_in(svg, fill=GRIP), (one.end_mm - one.start_mm) * scale / one.packs, tall)
    drawers = [drawer.width for drawer in brief.practice.room.drawers.values()]
    of_drawers = sizes_in([b.picture.data for b in pack_places(brief) if isinstance(b, Illustration)][-1])
    fronts = [wide for wide, high in of_drawers if high == max(high for _, high in of_drawers)]
    assert [wide / fronts[0] for wide in fronts] == pytest.approx([wide / drawers[0] for wide in drawers], abs=1e-3)


def pictures(brief: Brief) -> bytes:
    """The maps of the card as one picture."""
    maps = [block.picture.data for block in pack_places(brief) if isinstance(block, Illustration)]
    return b"<svg>" + b"".join(maps) + b"</svg>"


def sizes_in(svg: bytes, fill: str = "") -> list[tuple[float, float]]:
    return [
        (float(r.get("width", 0)), float(r.get("height", 0)))
        for r in ET.fromstring(svg).iter(f"{SVG}rect")
        if fill in (r.get("fill") or "")
    ]


def has(drawn: list[tuple[float, float]], width: float, height: float) -> bool:
    return min(abs(w - width) + abs(h - height) for w, h in drawn) < 0.03


def test_the_oldest_of_each_kind_is_dark_and_stands_at_its_left_end(brief: Brief) -> None:
    """The picture shows what the rule beside it says."""
    assert "at the left" in brief.words("rules.store-oldest") and "at the left" in brief.words("card.store-map.first")
    svg = pictures(brief)
    rects = [r.attrib for r in ET.fromstring(svg).iter(f"{SVG}rect")]
    kinds = [n for n, r in enumerate(rects) if r["fill"] == GRIP]
    stand = sum(one.place is not None and one.place.kind == "shelf" for one in brief.plan.store)
    assert len(kinds) == stand + 2, "one for each kind on a shelf, two in the legend"
    for n in kinds[:-2]:
        packs, oldest = rects[n - 1], rects[n]
        assert (packs["x"], packs["y"], packs["height"]) == (oldest["x"], oldest["y"], oldest["height"])
        assert float(oldest["width"]) <= float(packs["width"]) + 1e-6


def test_the_marks_of_the_sets_stand_above_their_codes_with_the_places_below(brief: Brief) -> None:
    svg = pictures(brief)
    root = ET.fromstring(svg)
    marks = [p for p in root.iter(f"{SVG}path") if p.get("fill-rule")]
    on_shelves = [one for one in brief.plan.store if one.place and one.place.kind == "shelf"]
    sets = [one.id for one in on_shelves if one.id in brief.practice.sets]
    assert len(marks) == len(sets) == 6
    drawn = {t.text: (float(t.get("x", 0)), float(t.get("y", 0))) for t in root.iter(f"{SVG}text")}
    for one in on_shelves:
        code, place = drawn[brief.code(one.id)], drawn[one.code]
        assert place[1] > code[1], "the place is on the board, the code on the packs"
    for shelf in "AB":
        here = [one.code for one in on_shelves if one.place and one.place.code == shelf]
        assert sorted(here, key=lambda code: drawn[code][0]) == here, "from the left, as the places count"


def test_each_pack_of_the_map_opens_its_card_and_is_named_once(brief: Brief) -> None:
    spots = [s for block in pack_places(brief) if isinstance(block, Illustration) for s in block.spots]
    practice = brief.practice
    packs = [one for one in brief.plan.store if one.kind == "pack" and one.place]
    assert {s.anchor: s.code for s in spots} == {f"at-{one.id}": one.code for one in packs}
    for spot in spots:
        pack = spot.anchor.removeprefix("at-")
        if pack in practice.sets:
            assert spot.link == f"s/{pack}"
        else:
            assert spot.link == (f"p/{pack}" if practice.pouches[pack].kind == "add-on" else f"pouch-guide#{pack}")
        assert brief.pack(pack) in spot.name and spot.code in spot.name


def test_with_neither_shelves_nor_drawers_nothing_is_drawn(brief: Brief) -> None:
    bare = replace(brief.practice, room=brief.practice.room.model_copy(update={"shelves": {}, "drawers": {}}))
    nowhere = replace(brief, practice=bare, plan=replace(brief.plan, store=()))
    assert list(pack_places(nowhere)) == [] == list(store_poster(nowhere))


def a_shelf(n: int) -> ShelfDrawn:
    packs = PacksDrawn(id=f"p{n}", code=f"C{n}", place=f"A{n}", packs=4, start=0, end=200, height=233, wrapped=True)
    return ShelfDrawn(letter="A", name=f"Shelf {n}", length=1981, from_floor=8000 - 380 * n, packs=(packs,))


@pytest.mark.parametrize("count", [1, 2, 8, 20])
def test_a_store_of_many_shelves_is_drawn_on_as_many_maps_as_have_room(count: int) -> None:
    maps = store_maps([a_shelf(n) for n in range(count)], legend=("First", "New"), height_mm=108.0)
    assert [s.id for each in maps for s in each.spots] == [f"p{n}" for n in range(count)]
    assert all(each.drawing.height_mm <= 108.0 for each in maps)
    assert all("First" in each.drawing.svg for each in maps)
    empty = [replace(a_shelf(n), packs=()) for n in range(count)]
    assert "First" not in "".join(each.drawing.svg for each in store_maps(empty, legend=("First", "New")))
    for each in maps:
        for box in (box for spot in each.spots for box in spot.boxes):
            left, top, width, height = box
            assert left >= 0 and top >= 0 and left + width <= each.drawing.width_mm + 0.01
            assert top + height <= each.drawing.height_mm


@given(st.lists(st.integers(1, 12), min_size=1, max_size=30), st.floats(0, 0.9))
def test_no_two_codes_touch_and_none_leaves_the_picture(counts: list[int], free: float) -> None:
    """Up to thirty kinds of narrow packs on one shelf of two metres, wherever they stand."""
    start, packs = 1981 * free * 0.1, []
    for n, count in enumerate(counts):
        end = start + min(count * 12, (1981 - start) / (len(counts) - n))
        packs.append(
            PacksDrawn(
                id=f"{n}",
                code=f"{n:02}",
                place=f"A{n}",
                packs=count,
                start=start,
                end=end,
                height=233,
                wrapped=n % 2 == 0,
                mark="dots" if n % 2 == 0 else None,
            )
        )
        start = end
    shelf = ShelfDrawn(letter="A", name="A shelf", length=1981, from_floor=1200, packs=tuple(packs))
    (drawn,) = store_maps([shelf], legend=("First", "New"))
    svg = drawn.drawing.svg
    sizes = {t.text: float(t.get("font-size", 0)) for t in ET.fromstring(svg).iter(f"{SVG}text")}
    found = codes(svg)
    assert len(found) == 2 * len(counts)
    spans = sorted(
        (y, x - text_width(code, sizes[code]) / 2, x + text_width(code, sizes[code]) / 2) for code, x, y in found
    )
    for (y, _, right), (below, left, _) in pairwise(spans):
        assert y != below or right < left
    assert all(left >= 0 and right <= ON_CARD.width_mm for _, left, right in spans)


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
