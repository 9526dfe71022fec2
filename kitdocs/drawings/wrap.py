"""Wrapping a cassette, one picture for each step, in its own proportions. Common practice, no source."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import TypeAlias

from kitdocs.drawings import fold
from kitdocs.drawings.drawing import Drawing
from kitdocs.drawings.fold import Area, Flap, Pack
from kitdocs.drawings.outline import Affine, Point, polygon, scale, shift
from kitdocs.drawings.scene import (
    INSIDE,
    LINE,
    OUTSIDE,
    STEP_HEIGHT_MM,
    STEP_WIDTH_MM,
    arrow,
    cassette_from_above,
    dashes,
    picture,
)
from kitdocs.drawings.shape import Shape, Shapes
from kitdocs.drawings.wrapped import wrapped_pack

_ROOM = (STEP_WIDTH_MM - 3.0, STEP_HEIGHT_MM - 3.0)
#: Dash length that still reads as a dash at a third of full size, as on a card or phone.
_DASH_MM = 2.0
_Part: TypeAlias = "tuple[Sequence[Point], Callable[[Affine], Shapes]]"
"""Something seen from above: the points that must be in the picture, and how it is drawn once its scale is known."""


@lru_cache(maxsize=64)
def envelope_fold_steps(pack: Pack) -> tuple[Drawing, ...]:
    """Draw six pictures: sheet turned on its corner, near corner, left, right, far corner, tape."""
    sheet, d = fold.diamond(pack), pack.half_diagonal
    half_l, half_w = pack.length / 2, pack.width / 2
    left_of, right_of, far_of = (0, -half_l, 1), (0, half_l, -1), (1, -half_w, 1)
    near, left, far = fold.near_flap(pack), fold.left_flap(pack), fold.far_flap(pack)
    right = fold.mirrored(left)
    without_near = fold.cut(sheet, 1, half_w, -1)
    without_left = fold.cut(without_near, *left_of)
    without_sides = fold.cut(without_left, *right_of)
    near_between = fold.within(near, left_of, right_of)
    onto = half_l - 0.5 * (left.over[1][0] + half_l)
    up = (0.9 * d, -0.4 * d), (0.55 * d, -0.8 * d), (onto, -0.3 * half_w)
    return (
        *_near_flap_over(
            pack, sheet, near, _arrow((0.4 * d, 0.84 * d), (0.7 * d, 0.42 * d), (0.4 * half_l, 0.3 * half_w))
        ),
        _step(
            _paper(without_left),
            _ghost(fold.cut(without_near, 0, -half_l, -1)),
            _cassette(pack),
            _flap(fold.within(near, left_of)),
            _flap(left),
            _arrow(*((-x, y) for x, y in up)),
        ),
        _step(
            _paper(without_sides),
            _ghost(fold.cut(without_left, 0, half_l, 1)),
            _cassette(pack),
            _flap(near_between),
            _flap(left),
            _flap(right),
            _arrow(*up),
        ),
        _step(
            _ghost(fold.cut(without_sides, 1, -half_w, -1)),
            _paper(pack.top, OUTSIDE),
            _flap(near_between),
            _flap(fold.within(left, far_of)),
            _flap(fold.within(right, far_of)),
            _flap(far),
            _arrow((0.55 * d, -0.85 * d), (half_l + 0.5 * d, -0.3 * d), (0.55 * half_l, -0.1 * half_w)),
        ),
        wrapped_pack(pack, (near, left, right, far), far.over),
    )


@lru_cache(maxsize=64)
def parcel_fold_steps(pack: Pack) -> tuple[Drawing, ...]:
    """Draw six pictures: sheet edge to edge, near side, far side, one end, the other end, tape."""
    sheet, d = fold.square(pack), pack.side / 2
    half_l, half_w = pack.length / 2, pack.width / 2
    left_of, right_of = (0, -half_l, 1), (0, half_l, -1)
    near, far, left = fold.near_side(pack), fold.far_side(pack), fold.left_end(pack)
    right = fold.mirrored(left)
    without_near = fold.cut(sheet, 1, half_w, -1)
    bundle = fold.cut(without_near, 1, -half_w, 1)
    left_over = tuple(fold.within(flap, left_of) for flap in (near, far))
    both_over = tuple(fold.within(flap, right_of) for flap in left_over)
    end_before = _end_before(pack)
    onto = half_l - 0.4 * (left.over[2][0] + half_l)
    over = (0.9 * d, -half_w - 0.1 * d), (0.6 * d, -half_w - 0.42 * d), (onto, -0.2 * half_w)
    return (
        *_near_flap_over(
            pack, sheet, near, _arrow((0.3 * d, 0.9 * d), (0.85 * d, 0.5 * d), (0.4 * half_l, 0.2 * half_w))
        ),
        _step(
            _paper(bundle),
            _ghost(fold.cut(without_near, 1, -half_w, -1)),
            _flap(near),
            _flap(far),
            _arrow((0.3 * d, -0.9 * d), (0.85 * d, -0.5 * d), (0.4 * half_l, -0.2 * half_w)),
        ),
        _step(
            _paper(fold.cut(bundle, *left_of)),
            _ghost(end_before),
            *map(_flap, left_over),
            _flap(left),
            _arrow(*((-x, y) for x, y in over)),
        ),
        _step(
            _paper(pack.top, OUTSIDE),
            _ghost(tuple((-x, y) for x, y in end_before)),
            *map(_flap, both_over),
            _flap(left),
            _flap(right),
            _arrow(*over),
        ),
        wrapped_pack(pack, (*both_over, left, right)),
    )


def _end_before(pack: Pack) -> Area:
    """Return the left end, its corners folded in, before it goes over."""
    half_l, half_w, end = pack.length / 2, pack.width / 2, pack.side / 2
    slant = min(half_w, end - half_l)
    return ((-half_l, -half_w), (-end + slant, -half_w), (-end, 0.0), (-end + slant, half_w), (-half_l, half_w))


def _near_flap_over(pack: Pack, sheet: Area, near: Flap, way: _Part) -> tuple[Drawing, Drawing]:
    """Draw the first two steps of every fold: the cassette on the sheet, then what is near laid over it along `way`."""
    edge = pack.width / 2
    return (
        _step(_paper(sheet), _cassette(pack)),
        _step(
            _paper(fold.cut(sheet, 1, edge, -1)), _ghost(fold.cut(sheet, 1, edge, 1)), _cassette(pack), _flap(near), way
        ),
    )


def _step(*parts: _Part) -> Drawing:
    """Draw the parts, back to front, as large as the picture holds them: the pack grows as the sheet closes."""
    xs, ys = ([point[axis] for points, _ in parts for point in points] for axis in (0, 1))
    size = min(_ROOM[0] / (max(xs) - min(xs)), _ROOM[1] / (max(ys) - min(ys)))
    middle = shift(-(max(xs) + min(xs)) / 2, -(max(ys) + min(ys)) / 2)
    lay = middle.then(scale(size)).then(shift(STEP_WIDTH_MM / 2, STEP_HEIGHT_MM / 2))
    return picture(tuple(shape for _, draw in parts for shape in draw(lay)))


def _paper(area: Area, fill: str = INSIDE) -> _Part:
    def draw(lay: Affine) -> Shapes:
        return (Shape(outline=polygon([lay(p) for p in area]), fill=fill, line=LINE),) if len(area) > 2 else ()

    return area, draw


def _flap(flap: Flap) -> _Part:
    over, tab = _paper(flap.over, OUTSIDE), _paper(flap.tab, INSIDE)
    return (*flap.over, *flap.tab), lambda lay: (*over[1](lay), *tab[1](lay))


def _cassette(pack: Pack) -> _Part:
    def draw(lay: Affine) -> Shapes:
        (left, top), _, (right, foot), _ = (lay(p) for p in pack.top)
        return cassette_from_above(left, top, right - left, foot - top)

    return pack.top, draw


def _ghost(area: Area) -> _Part:
    """Return where the folded part was."""

    def draw(lay: Affine) -> Shapes:
        corners = [lay(p) for p in area]
        lines = zip(corners, [*corners[1:], *corners[:1]], strict=True)
        return tuple(shape for (x1, y1), (x2, y2) in lines for shape in dashes(x1, y1, x2, y2, dash=_DASH_MM))

    return area, draw


def _arrow(start: Point, bend: Point, end: Point) -> _Part:
    middle = tuple((a + 2 * b + c) / 4 for a, b, c in zip(start, bend, end, strict=True))
    return (start, (middle[0], middle[1]), end), lambda lay: arrow(*lay(start), *lay(bend), *lay(end), line=0.5)
