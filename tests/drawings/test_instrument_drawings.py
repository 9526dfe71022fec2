from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import combinations, product
from typing import get_args
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from PIL import ImageFilter

from kitdocs.drawings.drawing import document
from kitdocs.drawings.instruments import WHOLE_LINE, opened_shapes, tip, usual_size, whole, whole_shapes
from kitdocs.practice.kinds import FAMILY_OF, OPENING_MM, DrawingKind

KINDS: tuple[DrawingKind, ...] = get_args(DrawingKind)

# The height at which tips are printed on cards, and an office printer's 200 dpi.
PRINTED_MM = 15.0
PPI = 200
DARK = 110
MARGIN = 5.0
# Fine enough for edges within 0.3 mm: a pixel is 0.17 mm.
EDGE_PPI = 150


def test_every_kind_has_a_tip_on_the_same_canvas() -> None:
    assert {(tip(kind).width_mm, tip(kind).height_mm) for kind in KINDS} == {(18.0, 22.0)}


def test_any_two_tips_differ_clearly_in_ink_at_15_mm(printed) -> None:
    """Of all the ink of two tips laid on each other at the best fit within 0.5 mm, more than 40 % is not shared.

    Only dark ink counts, as a photocopier would keep it, so a difference in grey alone is no difference. Two
    pliers share their joint and handles by design (about half of their ink), so 40 % is a different beak.
    """
    height, width = PRINTED_MM, PRINTED_MM * 18 / 22
    pictures = printed([tip(k).svg for k in KINDS], width_mm=width, height_mm=height, ppi=PPI)
    ink = {k: np.pad(np.asarray(p) < DARK, 4) for k, p in zip(KINDS, pictures, strict=True)}
    dark = {k: each.ravel().astype(np.float32) for k, each in ink.items()}
    laid = {k: np.stack([*map(np.ravel, _shifted(each, 2))]).astype(np.float32) for k, each in ink.items()}
    alike = {(a, b): _unshared(dark[a], laid[b]) for a, b in combinations(KINDS, 2)}
    closest = min(alike, key=lambda pair: alike[pair])
    assert alike[closest] > 0.40, (closest, alike[closest])


def _shifted(picture: np.ndarray, step: int) -> Iterator[np.ndarray]:
    """The picture shifted by up to 4 pixels (0.5 mm) to every side, and as it is."""
    for shift in product(range(-4, 5, step), repeat=2):
        yield np.roll(picture, shift, axis=(0, 1))


def _unshared(one: np.ndarray, laid: np.ndarray) -> float:
    """Symmetric difference ÷ union of what is dark (1, else 0), the least over the pictures that are laid on it."""
    shared = laid @ one
    union = one.sum() + laid.sum(axis=1) - shared
    return float((1 - shared / union).min())


def test_any_two_working_ends_differ_in_greyscale_even_out_of_focus(printed) -> None:
    """Without joint and handles, which pliers share, and blurred by 0.2 mm as a hurried eye or a poor copier would.

    Of all the grey of two ends laid on each other at the best fit within 0.5 mm, more than 35 % is not shared.
    """
    height, width = PRINTED_MM, PRINTED_MM * 18 / 22
    above_joint = round(PRINTED_MM / 25.4 * PPI * 14.2 / 22)
    pictures = printed([tip(k).svg for k in KINDS], width_mm=width, height_mm=height, ppi=PPI)
    grey = {
        k: np.pad(255.0 - np.asarray(p.filter(ImageFilter.GaussianBlur(1.5)))[:above_joint], 4)
        for k, p in zip(KINDS, pictures, strict=True)
    }
    alike = {(a, b): _unshared_grey(grey[a], grey[b]) for a, b in combinations(KINDS, 2)}
    closest = min(alike, key=lambda pair: alike[pair])
    assert alike[closest] > 0.35, (closest, alike[closest])


def _unshared_grey(one: np.ndarray, other: np.ndarray) -> float:
    """Difference ÷ union of two grey pictures, the least over shifts; the union is the darker of the two everywhere."""
    differences = [float(np.abs(one - laid).sum()) for laid in _shifted(other, 4)]
    return min(difference / ((one.sum() + other.sum() + difference) / 2) for difference in differences)


def test_a_tip_is_not_cut_off_by_its_canvas_except_where_it_goes_on(printed) -> None:
    """Nothing dark touches the left, right or upper edge of the canvas."""
    for kind, picture in zip(
        KINDS, printed([tip(k).svg for k in KINDS], width_mm=18, height_mm=22, ppi=150), strict=True
    ):
        ink = np.asarray(picture) < DARK
        assert ink.any(), kind
        assert not ink[0].any(), f"{kind} touches the top"
        assert not ink[:, 0].any() and not ink[:, -1].any(), f"{kind} touches a side"


def _with_margin(svg: str, width: float, height: float) -> str:
    """The same drawing with 5 mm of paper all around, so that ink outside of its box would be seen."""
    view = f'viewBox="{-MARGIN} {-MARGIN} {width + 2 * MARGIN} {height + 2 * MARGIN}"'
    sized = re.sub(r'width="[^"]+" height="[^"]+" viewBox="[^"]+"', view, svg, count=1)
    assert view in sized
    return sized


@pytest.mark.parametrize("stretch", [(1.0, 1.0), (0.8, 1.15)])
def test_a_whole_fills_exactly_its_length_and_width(printed, stretch: tuple[float, float]) -> None:
    for kind in KINDS:
        length, width = (round(a * b, 1) for a, b in zip(usual_size(kind), stretch, strict=True))
        drawing = whole(kind, length, width)
        assert (drawing.width_mm, drawing.height_mm) == (length, width)
        assert _off_by(printed, drawing.svg, length, width) <= 0.3, kind


def _off_by(printed, svg: str, length: float, width: float) -> float:
    """How far, in mm, the ink's box at worst lies beside that of the drawing."""
    size = {"width_mm": length + 2 * MARGIN, "height_mm": width + 2 * MARGIN}
    (picture,) = printed([_with_margin(svg, length, width)], **size, ppi=EDGE_PPI)
    left, top, right, bottom = picture.point(lambda v: 255 * (v < 200)).getbbox()
    mm = 25.4 / EDGE_PPI
    edges = (left * mm - MARGIN, top * mm - MARGIN, right * mm - MARGIN - length, bottom * mm - MARGIN - width)
    return max(abs(edge) for edge in edges)


@pytest.mark.parametrize("kind", ["weingart-plier", "mouth-mirror", "ligature-cutter"])
def test_the_tip_lies_to_the_left(printed, kind: DrawingKind) -> None:
    """A plier's handles spread wide on the right; a mirror's disc is on the left."""
    length, width = usual_size(kind)
    (picture,) = printed([whole(kind, length, width).svg], width_mm=length, height_mm=width, ppi=100)
    tall = [(np.asarray(picture)[:, cut] < 250).any(axis=1) for cut in (slice(0, 40), slice(-200, -160))]
    spread = [int(np.ptp(np.flatnonzero(column))) for column in tall]
    assert (spread[0] < spread[1]) is (kind != "mouth-mirror")


@pytest.mark.parametrize("length, width", [(60.0, 8.0), (300.0, 5.0), (90.0, 120.0)])
def test_an_unusual_size_is_still_drawn(length: float, width: float) -> None:
    for kind in KINDS:
        svg = whole(kind, length, width).svg
        ET.fromstring(svg)
        assert "nan" not in svg and "inf" not in svg


def test_the_same_instrument_is_drawn_the_same_every_time() -> None:
    for kind in KINDS:
        assert tip(kind) == tip(kind)
        svg = whole(kind, 140, 50).svg
        assert svg == whole(kind, 140, 50).svg
        assert not re.search(r"-0(?![.\d])", svg)
        assert not re.search(r"\d\.\d{4}", svg)


HINGED = [kind for kind in KINDS if FAMILY_OF[kind] in OPENING_MM]


def _opened(kind: DrawingKind, opening: float) -> tuple[str, float, float]:
    length, width = usual_size(kind)
    shapes = opened_shapes(kind, length, width, width + opening)
    drawing = document((s.element(WHOLE_LINE) for s in shapes), width_mm=length, height_mm=width + opening)
    return drawing.svg, length, width + opening


@pytest.mark.parametrize("opening", [4.0, 10.0, 25.0])
def test_an_open_instrument_fills_exactly_its_length_and_open_width(printed, opening: float) -> None:
    for kind in HINGED:
        assert _off_by(printed, *_opened(kind, opening)) <= 0.3, kind


@pytest.mark.parametrize("kind", sorted({*HINGED} - {"three-prong-plier", "separator-plier", "scissors"}))
def test_the_jaws_of_an_open_instrument_are_apart(printed, kind: DrawingKind) -> None:
    """In front of the joint more of the box around the jaws is paper than when the instrument is closed.

    The three-prong plier is seen from the front and the separator plier spreads when squeezed: their jaws stay.
    Scissors are drawn with their blades apart.
    """
    length, width = usual_size(kind)
    closed, opened = whole(kind, length, width).svg, _opened(kind, 15.0)[0]
    paper = []
    for svg, height in ((closed, width), (opened, width + 15)):
        (picture,) = printed([svg], width_mm=length, height_mm=height, ppi=120)
        jaws = np.asarray(picture)[:, : round(length * 0.12 / 25.4 * 120)] > 250
        inner = jaws[np.flatnonzero((~jaws).any(axis=1))[0] : np.flatnonzero((~jaws).any(axis=1))[-1] + 1]
        paper.append(inner.mean())
    assert paper[1] > paper[0] + 0.03, paper


def test_what_has_no_hinge_or_is_no_wider_open_is_drawn_as_it_is() -> None:
    assert opened_shapes("mouth-mirror", 165, 22, 22) == whole_shapes("mouth-mirror", 165, 22)
    assert opened_shapes("weingart-plier", 140, 50, 50) == whole_shapes("weingart-plier", 140, 50)
