"""How a cassette is wrapped, one picture for each step. Common practice, no source."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

from kitdocs.drawings.drawing import WHITE, Drawing
from kitdocs.drawings.scene import (
    INSIDE,
    LINE,
    OUTSIDE,
    area,
    arrow,
    cassette_from_above,
    dashes,
    ink_line,
    picture,
    rounded,
    tape,
)
from kitdocs.drawings.shape import Shape, Shapes

_X, _Y = 30.0, 25.0
_HALF_L, _HALF_W = 11.0, 7.0
_HALF_DIAGONAL = 23.0
"""Of the square sheet: every corner, folded over the cassette, reaches past its middle."""


def _at(*points: tuple[float, float]) -> str:
    """A closed polygon from points relative to the middle of the cassette."""
    return "M" + " L".join(f"{_X + x} {_Y + y}" for x, y in points) + " Z"


@cache
def envelope_fold_steps(strips: int = 3) -> tuple[Drawing, ...]:
    """Six pictures: sheet turned on its corner, near corner, left, right, far corner, tape."""
    d, l, w = _HALF_DIAGONAL, _HALF_L, _HALF_W  # noqa: E741
    cassette = cassette_from_above(_X - l, _Y - w, 2 * l, 2 * w)
    sheet = area(_at((0, -d), (d, 0), (0, d), (-d, 0)), INSIDE)
    without_near = area(_at((0, -d), (d, 0), (d - w, w), (w - d, w), (-d, 0)), INSIDE)
    without_left = area(_at((0, -d), (d, 0), (d - w, w), (-l, w), (-l, l - d)), INSIDE)
    without_sides = area(_at((0, -d), (l, l - d), (l, w), (-l, w), (-l, l - d)), INSIDE)
    near, left, right = _near(d, w), _side(-1), _side(1)
    far = _far(d, l, w)
    done = area(_at((-l, -w), (l, -w), (l, w), (-l, w)), OUTSIDE)
    ghosts = (
        _ghost((w - d, w), (0, d), (d - w, w)),
        _ghost((-l, l - d), (-d, 0), (w - d, w)),
        _ghost((l, l - d), (d, 0), (d - w, w)),
        _ghost((-l, l - d), (0, -d), (l, l - d)),
    )
    return (
        picture((sheet, *cassette)),
        picture((without_near, *ghosts[0], *cassette, *near, *arrow(_X + 9, _Y + 19, _X + 15, _Y + 8, _X + 8, _Y + 2))),
        picture(
            (
                without_left,
                *ghosts[1],
                *cassette,
                *near,
                *left,
                *arrow(_X - 21, _Y - 9, _X - 13, _Y - 16, _X - 6, _Y - 5),
            )
        ),
        picture(
            (
                without_sides,
                *ghosts[2],
                *cassette,
                *near,
                *left,
                *right,
                *arrow(_X + 21, _Y - 9, _X + 13, _Y - 16, _X + 6, _Y - 5),
            )
        ),
        picture(
            (*ghosts[3], done, *near, *left, *right, *far, *arrow(_X + 13, _Y - 19, _X + 21, _Y - 8, _X + 12.5, _Y))
        ),
        picture(_taped(strips, envelope=True)),
    )


def _ghost(*points: tuple[float, float]) -> Shapes:
    """Where the folded corner was."""
    found: list[Shape] = []
    for (x1, y1), (x2, y2) in pairwise(points):
        found += dashes(_X + x1, _Y + y1, _X + x2, _Y + y2)
    return tuple(found)


def _near(d: float, w: float) -> Shapes:
    """The near corner over the cassette, its tip turned back as a tab."""
    reach = d - w
    cut = 4.5
    top = w - reach + cut
    return (
        area(_at((-reach, w), (reach, w), (cut, top), (-cut, top)), OUTSIDE),
        area(_at((-cut, top), (cut, top), (0, top + cut)), INSIDE),
    )


def _side(hand: int) -> Shapes:
    """The left (-1) or right (1) corner over the cassette, its tip turned back."""
    d, l, w = _HALF_DIAGONAL, _HALF_L, _HALF_W  # noqa: E741
    tip = l - (d - l)
    cut = 3.4
    edge = tip + cut

    def at(x: float, y: float) -> tuple[float, float]:
        return (hand * x, y)

    flap = area(_at(at(l, l - d), at(edge, -cut), at(edge, cut), at(l - (d - w - l), w), at(l, w)), OUTSIDE)
    tab = area(_at(at(edge, -cut), at(edge + cut, 0), at(edge, cut)), INSIDE)
    return (flap, tab)


def _far(d: float, l: float, w: float) -> Shapes:  # noqa: E741
    """The far corner over everything, its tip tucked in."""
    shoulder = -2 * w - (l - d)
    end = w - 3.2
    half = l - (end - shoulder)
    return (
        area(_at((-l, -w), (l, -w), (l, shoulder), (half, end), (-half, end), (-l, shoulder)), OUTSIDE),
        ink_line(f"M{_X - half - 2.4} {_Y + end} H{_X + half + 2.4}", LINE * 1.6),
    )


def _taped(strips: int, *, envelope: bool) -> Shapes:
    """The finished pack, larger: its strips of tape on top, the end label on its end."""
    left, top, right, foot = 6.0, 6.0, 54.0, 33.0
    seam = top + 17.0
    found: list[Shape] = [
        rounded(left, top, right - left, foot - top, 1.0, OUTSIDE),
        area(
            f"M{left} {foot} H{right} V{foot + 9.5} Q{right} {foot + 10.5} {right - 1} {foot + 10.5}"
            f" H{left + 1} Q{left} {foot + 10.5} {left} {foot + 9.5} Z",
            "#bcbcc0",
        ),
    ]
    if envelope:
        found.append(ink_line(f"M{left} {top + 9} L{left + 11} {seam} H{right - 11} L{right} {top + 9}"))
        found.append(ink_line(f"M{left + 11} {seam} L{left} {foot} M{right - 11} {seam} L{right} {foot}"))
    else:
        found.append(area(f"M{left} {seam} H{right} V{seam + 2.6} H{left} Z", INSIDE))
        middle = (top + foot) / 2
        found += [
            area(f"M{left} {top} L{left + 13} {middle} L{left} {foot} Z", OUTSIDE),
            area(f"M{right} {top} L{right - 13} {middle} L{right} {foot} Z", OUTSIDE),
        ]
    for i in range(strips):
        x = left + (right - left) * (i + 1) / (strips + 1) - 1.6
        found += tape(x, seam - 6.4, 13, 3.2)
    label = (
        rounded(left + 13, foot + 1.7, 22, 7, 0.6, WHITE),
        ink_line(f"M{left + 15.5} {foot + 4} H{left + 25}", 1.1),
        ink_line(f"M{left + 15.5} {foot + 6.6} H{left + 32}", 0.4),
    )
    return (*found, *label)


@cache
def parcel_fold_steps(strips: int = 3) -> tuple[Drawing, ...]:
    """Six pictures: sheet edge to edge, near side, far side, one end, the other end, tape."""
    l, w, side, end = _HALF_L, _HALF_W, 22.0, 20.0  # noqa: E741
    cassette = cassette_from_above(_X - l, _Y - w, 2 * l, 2 * w)
    whole = area(_at((-end, -side), (end, -side), (end, side), (-end, side)), INSIDE)
    without_near = area(_at((-end, -side), (end, -side), (end, w), (-end, w)), INSIDE)
    near = _over(end, w, -5.0, 2.4)
    far = _over(end, -w, 4.2, -2.4)
    left, right = _pointed(-1), _pointed(1)
    bundle = area(_at((-end, -w), (end, -w), (end, w), (-end, w)), OUTSIDE)
    short_left = _far_folded(-l, end)
    both_short = _far_folded(-l, l)
    return (
        picture((whole, *cassette)),
        picture(
            (
                without_near,
                *_ghost((-end, w), (-end, side), (end, side), (end, w)),
                *cassette,
                *near,
                *arrow(_X + 8, _Y + 19, _X + 17, _Y + 9, _X + 9, _Y + 1),
            )
        ),
        picture(
            (
                bundle,
                *_ghost((-end, -w), (-end, -side), (end, -side), (end, -w)),
                *near,
                *far,
                *arrow(_X + 8, _Y - 19, _X + 17, _Y - 9, _X + 9, _Y - 1),
            )
        ),
        picture(
            (
                *short_left,
                *_ghost((-l, -w), (-end, 0), (-l, w)),
                *left,
                *arrow(_X - 19, _Y - 8, _X - 14, _Y - 15, _X - 7, _Y - 4),
            )
        ),
        picture(
            (
                *both_short,
                *_ghost((l, -w), (end, 0), (l, w)),
                *left,
                *right,
                *arrow(_X + 19, _Y - 8, _X + 14, _Y - 15, _X + 7, _Y - 4),
            )
        ),
        picture(_taped(strips, envelope=False)),
    )


def _over(end: float, fold: float, edge: float, turned: float) -> Shapes:
    """A long side over the cassette, its edge turned back."""
    return (
        area(_at((-end, fold), (end, fold), (end, edge), (-end, edge)), OUTSIDE),
        area(_at((-end, edge), (end, edge), (end, edge + turned), (-end, edge + turned)), INSIDE),
    )


def _far_folded(left: float, right: float) -> Shapes:
    """The pack after both long sides are over, from one end to the other."""
    w = _HALF_W
    return (
        area(_at((left, -w), (right, -w), (right, w), (left, w)), OUTSIDE),
        area(_at((left, 1.8), (right, 1.8), (right, 4.2), (left, 4.2)), INSIDE),
    )


def _pointed(hand: int) -> Shapes:
    """A short end folded to a point and over."""
    l, w = _HALF_L, _HALF_W  # noqa: E741
    return (area(_at((hand * l, -w), (hand * (l - 9), 0), (hand * l, w)), OUTSIDE),)
