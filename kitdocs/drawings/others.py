"""Instruments neither hinged, sprung nor held like a pencil: gauge, retractor, turret."""

from __future__ import annotations

from math import sqrt

from kitdocs.drawings.drawing import SHADE, WHITE
from kitdocs.drawings.outline import QUARTER, ellipse, path, ribbon, scale, smooth, turn
from kitdocs.drawings.shape import FINE, Shape, Shapes, all_moved, black, both, metal, shade, white


def height_gauge(length: float, width: float) -> Shapes:
    """Draw a whole gauge that is nearly as wide as it is long: a star of four arms about the origin."""
    size = min(length, width) / 18
    reaches = (width / 2, length / 2, width / 2, length / 2)
    arms = [_arm(reach / size, 0.45 * i, 90 * i) for i, reach in enumerate(reaches)]
    return all_moved((*(s for arm in arms for s in arm), *_hub()), scale(size))


def height_gauge_head() -> Shapes:
    """Draw the head of a gauge with a handle: three arms about the origin, the handle takes the place of the fourth."""
    return (*(s for i in (-1, 0, 1) for s in _arm(8.2, 0.8 * (i + 1), 90 * i)), *_hub())


def _arm(reach: float, height: float, degrees: float) -> Shapes:
    """Draw one arm with a cross plate and, at its own height, a pin."""
    plate = -reach + 2.6 + height
    parts = (
        metal(path(f"M-0.9 0 L-0.8 {plate} H0.8 L0.9 0 Z")),
        metal(path(f"M-2.4 {plate - 0.65} H2.4 V{plate + 0.65} H-2.4 Z")),
        black(path(f"M-0.6 {plate - 0.65} H0.6 V{-reach + 0.5} L0 {-reach} L-0.6 {-reach + 0.5} Z")),
    )
    return all_moved(parts, turn(degrees))


def _hub() -> Shapes:
    return (metal(ellipse(0, 0, 2.7)), Shape(outline=ellipse(0, 0, 1.1), fill=WHITE, line=FINE))


def cheek_retractor() -> Shapes:
    """Draw two rounded lip hooks held apart by a springy bow."""
    bow = shade(ribbon([(-6.6, 12, 0.9), (-6.2, 6.6, 0.9), (-3.6, 2.6, 0.9), (0, 1.6, 0.9)], cap="flat"))
    bow_right = bow.mirrored
    cup = metal(smooth("3.2,9.3! 5.6,8.6 7.7,10.6 8,15 7.2,19.6 3.2,21! 4.9,18.4 5.4,15 4.9,11.7"))
    fold = Shape(outline=smooth("5.2,10.2 6.4,12 6.6,15 6.1,18.2 5,19.8", closed=False), line=FINE)
    joined = metal(path("M-1.4 0.6 H1.4 V2.6 H-1.4 Z"))
    return (bow, bow_right, *both(cup, fold), joined)


def wire_turret() -> Shapes:
    """Draw a turned cylinder with slots of several widths round its upper part and grooves round its foot."""
    body = path(f"M6 3.6 V18.6 {_round_foot(18.6)} V3.6 Z")
    top = ellipse(0, 3.6, 6, 2.4)
    slots = []
    for x, wide in ((-4.5, 0.7), (-2.2, 1.05), (0.6, 1.4), (3.7, 1.7)):
        drop = 2.4 * sqrt(1 - (x / 6) ** 2)
        slots.append(black(path(f"M{x - wide / 2} {3.6 + drop} H{x + wide / 2} V{9 + drop} H{x - wide / 2} Z")))
    rings = [Shape(outline=path(f"M6 {y} {_round_foot(y)}"), line=0.5) for y in (12.2, 14.2, 16.2)]
    bore = Shape(outline=ellipse(0, 3.6, 2.2, 0.9), fill=SHADE, line=FINE)
    return (metal(body), *slots, *rings, white(top), bore)


def _round_foot(y: float) -> str:
    """Return the near half of a turret's circle, seen from a little above, from right to left."""
    k = QUARTER * 2.4
    return f"C6 {y + k} {6 * QUARTER} {y + 2.4} 0 {y + 2.4} C{-6 * QUARTER} {y + 2.4} -6 {y + k} -6 {y}"
