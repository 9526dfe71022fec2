"""Instruments that have no drawing of their own: how their family is built, and a hatched blank for the working end.

The blank is another plain shape in each family, so that the families can still be told apart.
"""

from __future__ import annotations

from collections.abc import Sequence

from kitdocs.drawings.ends import End
from kitdocs.drawings.heads import Head, box_joint, half, plier_stubs
from kitdocs.drawings.hinged import ACROSS, LYING
from kitdocs.drawings.outline import Point, path, polygon, ribbon
from kitdocs.drawings.shape import Shape, Shapes, all_moved, both, metal, shade, ticks, white

_HATCH_LINE = 0.5
#: A side that rises less than this along the hatching, in mm, runs beside it.
_PARALLEL = 1e-6


def other_plier() -> Head:
    """Draw an octagon on two plain beaks."""
    return _pair([(0.1, 1), (2.5, 1), (5.6, 4.1), (5.6, 7.5), (2.5, 10.6), (0.1, 10.6)])


def other_cutter() -> Head:
    """Draw a wedge on two plain beaks, dark where it would cut."""
    head = _pair([(0.1, 1), (3.6, 1), (5.2, 10.6), (0.1, 10.6)], every=3.4)
    edge = Shape(outline=path("M0.6 1.3 V10.3"), line=0.9)
    return Head(beaks=(*head.beaks, *both(edge)), joint=head.joint, stubs=head.stubs)


def other_remover() -> Head:
    """Draw two blanks, one long and narrow, one short and broad, on two plain beaks."""
    long_one = [(-3.8, 1.0), (-0.3, 1.0), (-0.3, 11.6), (-3.8, 11.6)]
    short_one = [(0.3, 6.4), (7.2, 6.4), (7.2, 11.6), (0.3, 11.6)]
    return Head(
        beaks=(*both(metal(_ARM)), *_blank(long_one, 4.4), *_blank(short_one, 2.2)),
        joint=box_joint(),
        stubs=plier_stubs(),
    )


def other_locking() -> Head:
    """Draw a long narrow blank in front of a small joint, shanks that run to finger rings."""
    jaw = [(0.1, 0.8), (3.4, 3.4), (3.4, 10.2), (0.1, 12.8)]
    neck = path("M0.05 11.5 L1.6 11.5 L2.3 14.4 L1.8 16.4 L0.05 16.9 Z")
    stub = path("M1.5 15.6 C2.3 17.6 3 20 3.4 22.4 L1.5 22.4 C1.3 20 0.9 18 0.1 16")
    return Head(
        beaks=both(metal(neck), *_blank(jaw, 1.7)),
        joint=box_joint(15, 1.6),
        stubs=both(shade(stub)),
        centre=15,
        handles="rings",
        real=1.8,
    )


def other_straight() -> End:
    """Draw a square blank, set on its corner, on a plain shank."""
    blank = [(0.0, 1.2), (6.2, 7.4), (0.0, 13.6), (-6.2, 7.4)]
    shank = metal(ribbon([(0, 22.6, 1.2), (0, 12, 1.0)]))
    return End(shapes=(shank, *_blank(blank, 2.8)), neck=1.2, real=1.4)


def other_tweezers_tip() -> Shapes:
    """Draw two arms that run together into a blank, broad above."""
    blank = [(-5.4, 1.2), (5.4, 1.2), (2.6, 8.8), (-2.6, 8.8)]
    arm = metal(ribbon([(5.0, 22.6, 1.1), (4.2, 17, 1.1), (1.5, 8.4, 0.9)]))
    return (*both(arm), *_blank(blank, 2.4))


def whole_other_tweezers(length: float, width: float) -> Shapes:
    """Draw two arms that meet at both ends, a blank at the left one."""
    thin = min(1.2, width / 8)
    far = width / 2 - thin
    spine = [(length * 0.05, far * 0.2, thin), (length * 0.3, far * 0.8, thin), (length * 0.6, far, thin)]
    arm = shade(ribbon([*spine, (length - thin, thin * 0.4, thin)]))
    blank = [(0.0, -far), (length * 0.09, -far * 0.45), (length * 0.09, far * 0.45), (0.0, far)]
    return (*_both_sides(arm), *_blank(blank, 2.4))


def other_instrument() -> Shapes:
    """Draw an upright blank with a bar across its foot."""
    blank = [(-7.2, 1), (7.2, 1), (7.2, 17), (-7.2, 17)]
    foot = shade(path("M-8 17 H8 V21 H-8 Z"))
    return (*_blank(blank, 3.6), foot)


def whole_other_instrument(_length: float, _width: float) -> Shapes:
    """Draw the blank lying down."""
    return all_moved(other_instrument(), LYING)


def _both_sides(shape: Shape) -> Shapes:
    """Draw a shape above the long axis and below it."""
    return (shape, shape.moved(ACROSS))


_ARM = half("0.2,15.2! 0.2,9.5! 2.2,9.5! 2.4,12")


def _pair(blank: Sequence[Point], every: float = 2.4) -> Head:
    """Return a plier with half a blank on each of its beaks."""
    return Head(beaks=both(metal(_ARM), *_blank(blank, every)), joint=box_joint(), stubs=plier_stubs())


def _blank(corners: Sequence[Point], every: float) -> Shapes:
    """Draw a shape without hollows, with slanting lines across it, `every` so many millimetres along its sides."""
    sides = list(zip(corners, [*corners[1:], corners[0]], strict=True))
    at, end = min(map(sum, corners)) + every / 2, max(map(sum, corners))
    lines = []
    while at < end:
        crossings = sorted(point for side in sides if (point := _crossing(*side, at)))
        if len(crossings) == 2:
            lines.append((*crossings[0], *crossings[1]))
        at += every
    return (white(polygon(corners)), *ticks(*lines, line=_HATCH_LINE))


def _crossing(start: Point, end: Point, at: float) -> Point | None:
    """Return where the line of all points with x + y = `at` crosses a side; None where it does not."""
    rise = sum(end) - sum(start)
    if abs(rise) < _PARALLEL:
        return None
    part = (at - sum(start)) / rise
    return (start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part) if 0 <= part < 1 else None
