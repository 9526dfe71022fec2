"""The fold drawings against the formula of the envelope fold and the published cases of it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from kitdocs.drawings import fold
from kitdocs.drawings.fold import Area, Pack
from kitdocs.drawings.scene import STEP_HEIGHT_MM, STEP_WIDTH_MM
from kitdocs.drawings.wrap import envelope_fold_steps, parcel_fold_steps

BOXES = [(200, 140, 35), (300, 100, 20), (203, 83, 25), (150, 150, 60), (406, 356, 152)]
MEDIUM = Pack(length=203, width=152, height=32, side=457)
SLIM = Pack(length=203, width=83, height=25, side=457)


def pack(box: tuple[float, float, float], overlap: float = 0.0) -> Pack:
    """A sheet of S = (l + w + 2h)/√2 + √2·m: the rectangular term published by Sara Santos, D = (l + w)/2 + h + m."""
    length, width, height = box
    side = (length + width + 2 * height) / math.sqrt(2) + math.sqrt(2) * overlap
    return Pack(length=length, width=width, height=height, side=side)


def share_of_top_covered(p: Pack) -> float:
    """Of the box's top, what lies under at least one of the four corners (none turned back), by a fine grid."""
    xs = np.linspace(-p.length / 2, p.length / 2, 202)[1:-1]
    ys = np.linspace(-p.width / 2, p.width / 2, 202)[1:-1]
    x, y = np.meshgrid(xs, ys)
    left = fold.left_corner(p)
    corners = (fold.near_corner(p), left, tuple((-a, b) for a, b in left), fold.far_corner(p))
    covered = np.zeros_like(x, dtype=bool)
    for corner in corners:
        covered |= inside(corner, x, y)
    return float(covered.mean())


def inside(area: Area, x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Whether points lie in a convex area, on its edge or within 1e-6 mm of it."""
    crossings = [
        (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)
        for (x1, y1), (x2, y2) in zip(area, [*area[1:], *area[:1]], strict=True)
    ]
    smallest, largest = np.minimum.reduce(crossings), np.maximum.reduce(crossings)
    return (smallest >= -1e-6) | (largest <= 1e-6)


@pytest.mark.parametrize("box", BOXES)
def test_bare_cover_is_whole_at_the_formulas_side_and_not_below(box: tuple[float, float, float]) -> None:
    exact = pack(box)
    assert exact.overlap == pytest.approx(0)
    assert share_of_top_covered(exact) == 1.0
    assert share_of_top_covered(replace(exact, side=exact.side * 0.99)) < 1.0


def test_the_side_is_that_of_the_worked_cases() -> None:
    """Published: 16 × 14 × 6 in on a sheet of 29.70 in. Worked: 200 × 140 × 35 mm, 289.9 mm; 300 × 100 × 20, 311.1."""
    sides = [pack(box).side for box in ((16, 14, 6), (200, 140, 35), (300, 100, 20))]
    assert sides == pytest.approx([29.70, 289.9, 311.1], abs=0.05)


@pytest.mark.parametrize("box", BOXES)
@pytest.mark.parametrize("overlap", [40, 70, 90])
def test_every_corner_reaches_the_overlap_past_bare_cover(box: tuple[float, float, float], overlap: float) -> None:
    bare, more = pack(box), pack(box, overlap)
    assert more.overlap == pytest.approx(overlap)
    near, left, far = fold.near_corner(more), fold.left_corner(more), fold.far_corner(more)
    assert fold.near_corner(bare)[2][1] - near[2][1] == pytest.approx(overlap)
    assert left[1][0] - fold.left_corner(bare)[1][0] == pytest.approx(overlap)
    assert far[3][1] - fold.far_corner(bare)[3][1] == pytest.approx(overlap)


@pytest.mark.parametrize("p", [MEDIUM, SLIM, *map(pack, BOXES)])
def test_from_the_middle_to_its_tip_every_corner_is_half_a_diagonal_long(p: Pack) -> None:
    """Under half the box, up one side, and on over its top: paper is neither stretched nor lost."""
    near, left, far = fold.near_corner(p)[2][1], fold.left_corner(p)[1][0], fold.far_corner(p)[3][1]
    ways = [
        p.width / 2 + p.height + (p.width / 2 - near),
        p.length / 2 + p.height + (left + p.length / 2),
        p.width / 2 + p.height + (far + p.width / 2),
    ]
    assert ways == pytest.approx([p.side / math.sqrt(2)] * 3)


@pytest.mark.parametrize("p", [MEDIUM, SLIM, pack((200, 140, 35), 70)])
def test_every_corner_reaches_past_the_middle_before_it_is_turned_back(p: Pack) -> None:
    """Source: *Techniques or procedures for preparing sterile packages*: each corner reaches past the centre."""
    assert fold.near_corner(p)[2][1] < 0 < fold.left_corner(p)[1][0]
    assert fold.far_corner(p)[3][1] > 0


@pytest.mark.parametrize("p", [MEDIUM, SLIM, pack((300, 100, 20), 70)])
def test_turning_a_tip_back_neither_adds_paper_nor_loses_any(p: Pack) -> None:
    """As long as the tab is not longer than the box; then it is turned once more."""
    flap, whole = fold.left_flap(p), area_of(fold.left_corner(p))
    assert area_of(flap.over) + area_of(flap.tab) <= whole + 1e-6
    crease = max(x for x, _ in flap.over)
    assert area_of(flap.over) + area_of(fold.cut(fold.left_corner(p), 0, crease, 1)) == pytest.approx(whole)
    assert flap.tab and max(x for x, _ in flap.tab) <= crease + 1e-9 <= p.length / 2


def area_of(area: Area) -> float:
    pairs = zip(area, [*area[1:], *area[:1]], strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs)) / 2


def test_two_cassettes_get_different_drawings() -> None:
    for steps in (envelope_fold_steps, parcel_fold_steps):
        one, other = steps(MEDIUM), steps(SLIM)
        assert len(one) == len(other) == 6
        assert not {d.svg for d in one} & {d.svg for d in other}
        assert {d.svg for d in steps(replace(MEDIUM, side=508))} != {d.svg for d in one}


@pytest.mark.parametrize("p", [MEDIUM, SLIM])
def test_the_first_picture_has_the_real_proportions_of_cassette_and_sheet(printed, p: Pack) -> None:
    """Measured on the printed picture, against the sheet's diagonal, within 2 % of it."""
    ink = dark(printed, envelope_fold_steps(p)[0].svg)
    diagonal = extent(np.any(ink, axis=0))
    row, column = ink.shape[0] // 2, ink.shape[1] // 2
    middle = slice(row - 3, row + 3), slice(column - 3, column + 3)
    assert diagonal == pytest.approx(extent(np.any(ink, axis=1)), rel=0.02)
    across, along = np.any(ink[:, middle[1]], axis=1), np.any(ink[middle[0]], axis=0)
    # The outermost ink is the sheet's corners; the next inwards is the cassette's edge.
    scale = diagonal / (2 * p.half_diagonal)
    assert inner_extent(along, diagonal) == pytest.approx(p.length * scale, abs=0.02 * diagonal)
    assert inner_extent(across, diagonal) == pytest.approx(p.width * scale, abs=0.02 * diagonal)


def grey(printed, svg: str) -> np.ndarray:
    (picture,) = printed([svg], width_mm=STEP_WIDTH_MM, height_mm=STEP_HEIGHT_MM, ppi=300)
    return np.asarray(picture).astype(int)


def dark(printed, svg: str) -> np.ndarray:
    return grey(printed, svg) < 60


def extent(line: np.ndarray) -> int:
    found = np.flatnonzero(line)
    return int(found[-1] - found[0])


def inner_extent(line: np.ndarray, diagonal: int) -> int:
    """Between the outermost ink that is not the sheet's own two corners."""
    found = np.flatnonzero(line)
    kept = found[(found > found[0] + diagonal * 0.04) & (found < found[-1] - diagonal * 0.04)]
    return int(kept[-1] - kept[0])


@pytest.mark.parametrize("strips", [1, 3, 5])
@pytest.mark.parametrize("steps, parts", [(envelope_fold_steps, 2), (parcel_fold_steps, 1)])
def test_as_many_strips_of_tape_are_drawn_as_the_practice_uses(steps, parts: int, strips: int) -> None:
    """A strip is white; in the envelope fold, whose edge is near the box's, half of it goes on over the front."""

    def white(count: int) -> int:
        return steps(replace(MEDIUM, strips=count))[-1].svg.count('fill="#ffffff"')

    assert white(strips) - white(0) == strips * parts


@pytest.mark.parametrize("p", [MEDIUM, replace(SLIM, strip=152.0), pack((200, 140, 35), 70)])
def test_every_strip_crosses_the_edge_that_it_holds(printed, p: Pack) -> None:
    """Measured on the printed picture, whose longest upright line at the left is the top's left edge."""
    taped, plain = (grey(printed, envelope_fold_steps(replace(p, strips=n))[-1].svg) for n in (3, 0))
    bare = plain < 60
    left = int(np.flatnonzero(bare.any(axis=0))[0]) + 2
    edge = np.flatnonzero(bare[:, left])
    edge = edge[np.r_[0, np.cumsum(np.diff(edge) > 1)] == 0]  # the first run: the front's slant may follow
    closing = edge[0] + (fold.closing(p) / p.width + 0.5) * (edge[-1] - edge[0])
    rows, columns = np.nonzero(abs(taped - plain) > 20)
    starts = np.flatnonzero(np.diff(np.unique(columns), prepend=-9) > 3)
    assert len(starts) >= 3
    for middle in (0.25, 0.5, 0.75):
        right = left + (edge[-1] - edge[0]) * p.length / p.width
        here = rows[abs(columns - (left + (right - left) * middle)) < 14]
        around = range(round(closing) - 8, round(closing) + 9)
        assert set(around) <= set(here.tolist()), "the strip lies on either side of the edge, without a gap"


def test_the_end_label_is_on_the_right_end(printed) -> None:
    """The only black area that is no line: the label's code, right of the top."""
    ink = dark(printed, envelope_fold_steps(replace(MEDIUM, strips=0))[-1].svg)
    solid = ink.copy()
    for dy in range(-6, 7, 3):
        for dx in range(-6, 7, 3):
            solid &= np.roll(ink, (dy, dx), axis=(0, 1))
    assert solid.any()
    assert np.argwhere(solid)[:, 1].min() > ink.shape[1] * 0.85
