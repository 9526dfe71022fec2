from __future__ import annotations

from itertools import combinations
from typing import get_args
from xml.etree import ElementTree as ET

import numpy as np
import pytest
import zxingcpp
from segno.consts import ERROR_LEVEL_H, ERROR_LEVEL_L, ERROR_LEVEL_M, ERROR_LEVEL_Q, SYMBOL_CAPACITY

from kitdocs.drawings.codes import Level, PayloadTooLong, code, smallest_version
from kitdocs.drawings.marks import chair_mark, set_mark
from kitdocs.planning.colours.looks import marks_apart
from kitdocs.practice.kinds import ChairMark, SetMark

# Bytes that versions 1 to 14 hold at level Q, which every card uses, and some of the other levels. Source: ISO/IEC
# 18004 by way of two independent encoders (SOURCES); the test below holds them against segno's table.
BYTES: dict[Level, dict[int, int]] = {
    "L": {1: 17, 5: 106, 10: 271},
    "M": {1: 14, 5: 84, 10: 213},
    "Q": dict(enumerate((11, 20, 32, 46, 60, 74, 86, 108, 130, 151, 177, 203, 241, 258), start=1)),
    "H": {1: 7, 5: 44, 10: 119},
}


@pytest.mark.parametrize("level", get_args(Level))
def test_the_capacities_are_those_of_an_independent_encoder(level: Level) -> None:
    ec_level = {"L": ERROR_LEVEL_L, "M": ERROR_LEVEL_M, "Q": ERROR_LEVEL_Q, "H": ERROR_LEVEL_H}[level]
    for version, most in BYTES[level].items():
        # Before the bytes stand 4 bits for the mode and 8 or 16 for their number.
        bits = SYMBOL_CAPACITY[version][ec_level] - 4 - (8 if version < 10 else 16)  # type: ignore[index]
        assert bits // 8 == most, (version, level)


@pytest.mark.parametrize("level", get_args(Level))
def test_a_code_has_the_smallest_version_that_holds_it(level: Level) -> None:
    for version, most in BYTES[level].items():
        full = "é" * (most // 2) + "a" * (most % 2)
        assert code(full, level=level).version == smallest_version(full, level=level) == version
        assert smallest_version("a" * (most + 1), level=level) == version + 1


def test_a_code_has_four_modules_of_white_on_every_side(printed) -> None:
    drawing = code("https://handbook.example/r/teal?e=K7Q2", side_mm=25)
    assert drawing.modules == 4 * drawing.version + 17 + 8
    assert drawing.width_mm == 25
    (picture,) = printed([drawing.svg], width_mm=25, height_mm=25, ppi=600)
    left, top, right, bottom = picture.point(lambda v: 255 * (v < 128)).getbbox()
    pixel = 25.4 / 600
    quiet = 4 * 25 / drawing.modules
    for white in (left * pixel, top * pixel, 25 - right * pixel, 25 - bottom * pixel):
        assert white == pytest.approx(quiet, abs=2 * pixel)


@pytest.mark.parametrize("level", get_args(Level))
def test_a_printed_code_is_read_back_with_its_level_by_an_independent_decoder(printed, level: Level) -> None:
    for payload in ("https://handbook.example/r/teal?e=K7Q2", "A", "Chair 2 · wire-shaping pouch × 2 · ñ & <é>"):
        drawing = code(payload, level=level, side_mm=28)
        (picture,) = printed([drawing.svg], width_mm=28, height_mm=28, ppi=150)
        (found,) = zxingcpp.read_barcodes(picture)
        assert found.text == payload
        assert found.ec_level == level


def test_a_code_is_one_path() -> None:
    root = ET.fromstring(code("x").svg)
    assert [element.tag.split("}")[1] for element in root] == ["rect", "path"]


def test_a_text_too_long_for_any_code_is_refused_with_its_size() -> None:
    # Version 40 at level L holds 2953 bytes. SOURCES: ISO/IEC 18004.
    assert code("a" * 2953, level="L").version == 40
    with pytest.raises(PayloadTooLong, match="2954 bytes"):
        code("a" * 2954, level="L")


def test_any_two_chair_marks_and_any_two_set_marks_differ(printed) -> None:
    for names, draw, size in (
        (get_args(ChairMark), chair_mark, (20, 20)),
        (get_args(SetMark), set_mark, (30, 12)),
    ):
        pictures = printed([draw(n).svg for n in names], width_mm=size[0], height_mm=size[1], ppi=100)
        ink = [np.asarray(p) < 128 for p in pictures]
        for one, other in combinations(ink, 2):
            assert (one ^ other).sum() / (one | other).sum() > 0.12


def test_the_planning_knows_how_far_apart_the_marks_are_on_paper(printed) -> None:
    names = get_args(ChairMark)
    pictures = printed([chair_mark(name).svg for name in names], width_mm=20, height_mm=20, ppi=200)
    ink = dict(zip(names, (np.asarray(picture) < 128 for picture in pictures), strict=True))
    for one, other in combinations(names, 2):
        measured = (ink[one] ^ ink[other]).sum() / (ink[one] | ink[other]).sum()
        assert marks_apart(one, other) == marks_apart(other, one) == pytest.approx(measured, abs=0.01), (one, other)


def test_chair_marks_look_equally_large(printed) -> None:
    """The areas lie within a factor of two: equal boxes would give the square nearly three times the star."""
    names = [n for n in get_args(ChairMark) if n not in {"crescent", "ring"}]
    pictures = printed([chair_mark(n).svg for n in names], width_mm=20, height_mm=20, ppi=100)
    areas = [int((np.asarray(p) < 128).sum()) for p in pictures]
    assert max(areas) < 2 * min(areas)


def test_a_mark_takes_the_colour_it_is_given() -> None:
    assert 'fill="#00756b"' in chair_mark("drop", "#00756b").svg
    assert 'fill="#00756b"' in set_mark("zigzag", "#00756b").svg
