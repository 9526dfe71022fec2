"""Maps of the store measured against the millimetres that they are drawn from, on the drawing alone.

A board is found by its grey, packs by their edges, texts by what they say; the scale is that of the longest board, and
everything else is held against it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from math import inf
from xml.etree import ElementTree as ET

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from kitdocs.drawings.drawing import GRIP, METAL, SHADE, WHITE
from kitdocs.drawings.lettering import PT, text_width
from kitdocs.drawings.shelves import ON_CARD, Lettering, PacksDrawn, ShelfDrawn, on_poster
from kitdocs.drawings.store_map import StoreMap, narrow_map, store_maps

LEGEND = ("Dark: the oldest", "New ones go to the right end")
SVG = "{http://www.w3.org/2000/svg}"
#: Lengths are written with three decimals of a millimetre.
ROUNDED = 0.002


@dataclass(frozen=True, slots=True)
class Rect:
    left: float
    top: float
    wide: float
    high: float
    fill: str
    edge: float

    @property
    def bottom(self) -> float:
        return self.top + self.high


def rects(drawn: StoreMap) -> list[Rect]:
    def at(rect: ET.Element, name: str) -> float:
        return float(rect.get(name, 0))

    return [
        Rect(
            left=at(rect, "x"),
            top=at(rect, "y"),
            wide=at(rect, "width"),
            high=at(rect, "height"),
            fill=rect.get("fill", ""),
            edge=at(rect, "stroke-width"),
        )
        for rect in ET.fromstring(drawn.drawing.svg).iter(f"{SVG}rect")
    ]


def boards(drawn: StoreMap) -> list[Rect]:
    """The boards from the top."""
    return sorted((rect for rect in rects(drawn) if rect.fill == SHADE), key=lambda rect: rect.top)


def outlines(drawn: StoreMap) -> list[Rect]:
    """The edges of packs of one kind: nothing else has an edge and no ground."""
    return [rect for rect in rects(drawn) if rect.fill == "none"]


def shelf(letter: str, from_floor: float, length: float, sizes: Sequence[tuple[int, float, float]]) -> ShelfDrawn:
    """A shelf with kinds side by side, each so many packs, so thick and so tall."""
    packs, start = [], 0.0
    for n, (count, thick, tall) in enumerate(sizes, start=1):
        packs.append(
            PacksDrawn(
                id=f"{letter}-{n}",
                code=f"{letter}{chr(64 + n)}",
                place=f"{letter}{n}",
                packs=count,
                start=start,
                end=start + count * thick,
                height=tall,
                wrapped=n % 2 == 0,
                mark="dots" if n % 2 == 0 else None,
            )
        )
        start += count * thick
    name = f"{letter} · Shelf · {from_floor:.0f} mm above the floor"
    return ShelfDrawn(letter=letter, name=name, length=length, from_floor=from_floor, packs=tuple(packs))


KINDS = st.lists(
    st.tuples(st.integers(1, 12), st.floats(8, 60), st.floats(90, 330)),
    min_size=0,
    max_size=8,
)
#: Shelves from the highest: what stands on each, and how far the next one is below it, beyond what its packs need.
STORES = st.lists(st.tuples(KINDS, st.floats(20, 500)), min_size=1, max_size=4)


def store(drawn: Sequence[tuple[Sequence[tuple[int, float, float]], float]]) -> list[ShelfDrawn]:
    length = max(900.0, *(sum(count * thick for count, thick, _ in kinds) for kinds, _ in drawn))
    found: list[ShelfDrawn] = []
    height = 2400.0
    for n, (kinds, free) in enumerate(drawn):
        tallest = max((tall for *_, tall in kinds), default=0.0)
        height -= (max(150.0, tallest) + free) if n else 0.0
        found.append(shelf("ABCE"[n], height, length, kinds))
    return found


@given(STORES, st.sampled_from([ON_CARD, on_poster(263.4, 20)]))
def test_every_board_is_as_far_below_the_next_as_is_stated(
    drawn: list[tuple[list[tuple[int, float, float]], float]], lettering: Lettering
) -> None:
    shelves = store(drawn)
    (wide,) = store_maps(shelves, legend=LEGEND, lettering=lettering, height_mm=inf)
    found = boards(wide)
    assert wide.stacks == ("".join(each.letter for each in shelves),) and len(found) == len(shelves)
    scale = found[0].wide / shelves[0].length
    for (upper, board), (lower, below) in pairwise(zip(shelves, found, strict=True)):
        assert (below.top - board.top) / scale == pytest.approx(
            upper.from_floor - lower.from_floor, abs=2 * ROUNDED / scale
        )
    assert len({board.left for board in found}) == 1, "one above the other"


@given(STORES)
def test_packs_stand_on_their_board_at_their_true_size_and_place(
    drawn: list[tuple[list[tuple[int, float, float]], float]],
) -> None:
    shelves = store(drawn)
    (wide,) = store_maps(shelves, legend=LEGEND, height_mm=inf)
    edges = outlines(wide)
    for each, board in zip(shelves, boards(wide), strict=True):
        scale = board.wide / each.length
        here = sorted((edge for edge in edges if abs(edge.bottom - board.top) < ROUNDED), key=lambda edge: edge.left)
        assert len(here) == len(each.packs)
        for edge, packs in zip(here, each.packs, strict=True):
            true = (packs.start, packs.end - packs.start, packs.height)
            measured = ((edge.left - board.left) / scale, edge.wide / scale, edge.high / scale)
            assert measured == pytest.approx(true, abs=2 * ROUNDED / scale)


@given(STORES)
def test_on_a_phone_each_piece_has_the_true_gaps_and_all_packs(
    drawn: list[tuple[list[tuple[int, float, float]], float]],
) -> None:
    shelves = store(drawn)
    (wide,) = store_maps(shelves, legend=LEGEND, height_mm=inf)
    narrow = narrow_map(wide, legend=LEGEND)
    assert [spot.place for spot in narrow.spots] == [spot.place for spot in wide.spots]
    pieces = len(narrow.stacks)
    found = boards(narrow)
    assert len(found) == pieces * len(shelves)
    longest = sum(board.wide for board in found[:: len(shelves)])
    scale = longest / shelves[0].length
    for n in range(pieces):
        piece = found[n * len(shelves) : (n + 1) * len(shelves)]
        for (upper, board), (lower, below) in pairwise(zip(shelves, piece, strict=True)):
            gap = upper.from_floor - lower.from_floor
            assert (below.top - board.top) / scale == pytest.approx(gap, abs=3 * ROUNDED / scale)
    for each in shelves:
        for packs in each.packs:
            (spot,) = (spot for spot in narrow.spots if spot.place == packs.place)
            standing = [box for box in spot.boxes if any(edge_is(box, edge) for edge in outlines(narrow))]
            true = packs.end - packs.start
            assert sum(box[2] for box in standing) / scale == pytest.approx(true, abs=0.2 + 3 * ROUNDED / scale)
            for box in standing:
                assert box[3] / scale == pytest.approx(packs.height, abs=0.2 + 3 * ROUNDED / scale)


def edge_is(box: tuple[float, float, float, float], edge: Rect) -> bool:
    return max(
        abs(one - other) for one, other in zip(box, (edge.left, edge.top, edge.wide, edge.high), strict=True)
    ) < (ROUNDED)


# On a phone, packs of the lower shelf that reach behind the rail of the upper one.
BEHIND_THE_RAIL = [
    ([*[(1, 8.0, 90.0)] * 6, (9, 15.0, 90.0), (12, 60.0, 90.0)], 20.0),
    ([(8, 14.0, 138.0)], 20.0),
]


@example(BEHIND_THE_RAIL, True)
@given(STORES, st.booleans())
def test_no_two_texts_touch_and_each_stands_in_the_picture(
    drawn: list[tuple[list[tuple[int, float, float]], float]], phone: bool
) -> None:
    """Also where shelves are so close that tags hang before the packs."""
    (found,) = store_maps(store(drawn), legend=LEGEND, height_mm=inf)
    found = narrow_map(found, legend=LEGEND) if phone else found
    texts = []
    for each in ET.fromstring(found.drawing.svg).iter(f"{SVG}text"):
        size, x, y = (float(each.get(name, 0)) for name in ("font-size", "x", "y"))
        wide = text_width(each.text or "", size, bold=each.get("font-weight") == "bold")
        left = x - wide / 2 if each.get("text-anchor") == "middle" else x
        texts.append((left, left + wide, y - 0.6 * size, y, each.text))
    for one, other in combinations(texts, 2):
        apart = one[1] <= other[0] or other[1] <= one[0] or one[3] <= other[2] or other[3] <= one[2]
        assert apart, (one, other)
    assert all(left >= 0 and right <= found.drawing.width_mm + 0.01 for left, right, *_ in texts)
    assert all(top >= 0 and bottom <= found.drawing.height_mm for _, _, top, bottom, _ in texts)


KIND = ((4, 30.0, 250.0), (2, 12.0, 300.0))


def test_shelves_at_one_height_or_too_close_for_their_packs_stand_side_by_side() -> None:
    upper, lower = shelf("A", 1500, 1000, KIND), shelf("B", 1100, 1000, KIND)
    for height in (1100, 1399):
        assert [each.stacks for each in store_maps([replace(upper, from_floor=height), lower], legend=LEGEND)] == [
            ("A", "B")
        ]
    assert [each.stacks for each in store_maps([upper, lower], legend=LEGEND)] == [("AB",)]


def test_shelves_far_apart_are_drawn_smaller_and_only_then_apart() -> None:
    """On a card 108 mm high; a pack of 250 mm is 10 mm high at least."""

    def of(*heights: float) -> tuple[StoreMap, ...]:
        shelves = [shelf("ABCE"[n], height, 1000, KIND) for n, height in enumerate(heights)]
        return store_maps(shelves, legend=LEGEND, height_mm=108)

    near, far, farthest = of(1500, 1100), of(1700, 400), of(4000, 400)
    assert [each.stacks for each in near] == [each.stacks for each in far] == [("AB",)]
    assert boards(far[0])[0].wide < boards(near[0])[0].wide
    assert [letters for each in farthest for letters in each.stacks] == ["A", "B"]
    for each in (*near, *far, *farthest):
        assert each.drawing.height_mm <= 108
        assert min(edge.high for edge in outlines(each)) >= 10 - ROUNDED


def test_a_name_60_percent_longer_takes_lines_and_moves_no_board() -> None:
    shelves = [shelf("A", 1500, 1000, KIND), shelf("B", 1100, 1000, KIND)]
    longer = [
        replace(each, name=each.name + " y otras palabras que no caben en una sola línea" * 3) for each in shelves
    ]
    one, other = (store_maps(each, legend=LEGEND, height_mm=inf)[0] for each in (shelves, longer))
    gaps = [below.top - board.top for drawn in (one, other) for board, below in [boards(drawn)]]
    assert gaps[0] == pytest.approx(gaps[1], abs=ROUNDED)
    assert other.drawing.height_mm > one.drawing.height_mm


def test_letters_stay_as_large_as_on_any_map() -> None:
    """6 pt on a card, 7 pt on a phone, where shelves are so close that tags hang before their packs."""
    kinds = [(3, 11.0, 300.0)] * 12
    shelves = [shelf("A", 1500, 1400, kinds), shelf("B", 1195, 1400, kinds)]
    (wide,) = store_maps(shelves, legend=LEGEND, height_mm=inf)
    narrow = narrow_map(wide, legend=LEGEND)
    for drawn, least in ((wide, 6 * PT), (narrow, 7 * PT)):
        assert min(map(float, re.findall(r'font-size="([\d.]+)"', drawn.drawing.svg))) >= least - 0.001
        assert {rect.fill for rect in rects(drawn)} >= {GRIP, METAL, WHITE, SHADE}
