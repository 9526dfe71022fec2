"""Loads in a chamber, measured in the picture."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from xml.etree import ElementTree as ET

import pytest
from coloraide import Color
from hypothesis import given
from hypothesis import strategies as st

from kitdocs.drawings.drawing import WHITE
from kitdocs.drawings.lettering import LEADING, PT, text_width
from kitdocs.drawings.load_packs import PackLook, pack
from kitdocs.drawings.racks import LoadDrawn, PackDrawn, WordsDrawn, loads_from_above

Box = tuple[float, float, float, float]
SVG = "{http://www.w3.org/2000/svg}"
LOOKS = [PackLook(number=n, pouch=pouch) for n in range(3) for pouch in (False, True)]
#: Places in a chamber 250 wide and 500 deep.
PLACES = ((20.0, 10.0, 30.0, 200.0), (70.0, 10.0, 30.0, 200.0), (70.0, 250.0, 30.0, 200.0))


def load(letter: str = "", words: Sequence[str] = ("4 × Large cassette",)) -> LoadDrawn:
    packs = tuple(
        PackDrawn(look=LOOKS[0], across=across, along=along, width=width, length=length, free=n == 2)
        for n, (across, along, width, length) in enumerate(PLACES)
    )
    return LoadDrawn(letter=letter, words=tuple(WordsDrawn(words=one, look=LOOKS[0]) for one in words), packs=packs)


def boxes(svg: str) -> list[tuple[Box, ET.Element]]:
    found = (e for e in ET.fromstring(svg) if e.tag == f"{SVG}rect")
    return [
        ((float(e.get("x", "")), float(e.get("y", "")), float(e.get("width", "")), float(e.get("height", ""))), e)
        for e in found
    ]


def chambers(svg: str) -> list[Box]:
    return [box for box, e in boxes(svg) if e.get("fill") == "none"]


@pytest.mark.parametrize("width_mm", [170.0, 70.0])
@pytest.mark.parametrize("letters", ["", "A", "ABC"])
@pytest.mark.parametrize("kinds", [0, 1, 3, 6])
def test_every_pack_is_drawn_to_scale_where_it_stands(width_mm: float, letters: str, kinds: int) -> None:
    loads = [*map(load, letters), *(load() for _ in range(kinds))]
    if not loads:
        return
    svg = loads_from_above(loads, 250, 500, width_mm=width_mm).svg
    outlines = chambers(svg)
    assert len(outlines) == len(loads)
    for x, y, width, height in outlines:
        assert width / height == pytest.approx(2, rel=1e-3)  # 500 deep, to the right; 250 across
        inside = [
            (box, e)
            for box, e in boxes(svg)
            if e.get("fill") != "none" and x <= box[0] < x + width and y <= box[1] < y + height
        ]
        assert [e.get("stroke-dasharray") is not None for _, e in inside] == [False, False, True]
        for (box, _), place in zip(inside, PLACES, strict=True):
            left, top, long, wide = box
            seen = [(top - y) / height * 250, (left - x) / width * 500, wide / height * 250, long / width * 500]
            assert seen == pytest.approx(place, abs=0.15)


@given(
    st.lists(st.text("abcdefgh ", min_size=1, max_size=60), min_size=1, max_size=6),
    st.sampled_from(["", "A", "ABC"]),
    st.integers(0, 6),
    st.floats(60, 900),
    st.floats(60, 900),
    st.sampled_from([170.0, 70.0]),
)
def test_no_chamber_and_no_word_lies_on_another_or_outside_of_the_drawing(
    words: list[str], letters: str, kinds: int, width: float, depth: float, width_mm: float
) -> None:
    """Whatever the chamber's proportions, the words, and how many kinds there are."""
    loads = [load(letter, words) for letter in letters] + [load("", words[:1]) for _ in range(kinds)]
    if not loads:
        return
    drawing = loads_from_above(
        [LoadDrawn(letter=one.letter, words=one.words, packs=()) for one in loads], width, depth, width_mm=width_mm
    )
    lines = [e for e in ET.fromstring(drawing.svg) if e.tag == f"{SVG}text"]
    said = []
    for line in lines:
        size = float(line.get("font-size", ""))
        wide = text_width(line.text or "", size, bold=line.get("font-weight") is not None)
        said.append((float(line.get("x", "")), float(line.get("y", "")) - 0.7 * size, wide, 0.7 * size))
    drawn = [*chambers(drawing.svg), *said]
    for x, y, wide, high in drawn:
        assert x >= -0.01 and y >= -0.01 and x + wide <= width_mm + 0.01 and y + high <= drawing.height_mm + 0.01
    for one, other in combinations(drawn, 2):
        apart = max(
            one[0] - other[0] - other[2],
            other[0] - one[0] - one[2],
            one[1] - other[1] - other[3],
            other[1] - one[1] - one[3],
        )
        assert apart >= -0.01


def test_nothing_is_drawn_of_nothing() -> None:
    with pytest.raises(ValueError, match="at least one load"):
        loads_from_above([], 100, 100)


def test_kinds_are_told_apart_in_grey_and_from_a_free_place() -> None:
    """CIE lightness, as a photocopy or an eye without colour sees it: 15 apart. Common practice, no source."""
    seen = {}
    for pouch in (False, True):
        for n in range(6):
            look = PackLook(number=n, pouch=pouch)
            shapes = [ET.fromstring(shape) for shape in pack(look, 0, 0, 20, 4)]
            lightness = Color(shapes[0].get("fill", "")).convert("lab-d65")["lightness"]
            assert lightness < Color(WHITE).convert("lab-d65")["lightness"] - 9
            seen[pouch, n] = (lightness, len(shapes), shapes[0].get("rx"))
    for one, other in combinations(seen.values(), 2):
        assert abs(one[0] - other[0]) >= 15 or one[1:] != other[1:]
    free = [ET.fromstring(shape) for shape in pack(LOOKS[0], 0, 0, 20, 4, free=True)]
    assert [(shape.get("fill"), bool(shape.get("stroke-dasharray"))) for shape in free] == [(WHITE, True)]


def test_a_line_of_words_is_as_high_as_its_swatch_needs() -> None:
    svg = loads_from_above([load("A", ["one", "two"])], 250, 500).svg
    ys = [float(e.get("y", "")) for e in ET.fromstring(svg) if e.tag == f"{SVG}text" and e.text in ("one", "two")]
    assert ys[1] - ys[0] == pytest.approx(10 * PT * LEADING, abs=0.01)
