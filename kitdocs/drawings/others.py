"""Instruments neither hinged, sprung nor held like a pencil: retractor, turret, handpiece, bur, mirror and so on."""

from __future__ import annotations

from math import sqrt

from kitdocs.drawings.drawing import SHADE, WHITE
from kitdocs.drawings.outline import QUARTER, ellipse, path, ribbon, scale, shift, smooth
from kitdocs.drawings.shape import FINE, Shape, Shapes, all_moved, black, both, metal, shade, ticks, white


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


def handpiece_tip() -> Shapes:
    """Draw a thick body that narrows to an angled head, with a bur across it."""
    body = metal(ribbon([(1, 22.6, 4.2), (1, 17.5, 4.0), (1.6, 13.5, 3.2), (3.2, 9.4, 2.4), (4.4, 6.6, 2.2)]))
    head = shade(path("M2.2 1.2 C4 0.6 6.4 0.8 7.4 1.8 V7.4 C6.4 8.4 4 8.4 2.2 7.8 Z"))
    shank = black(path("M2.2 4 H-3 V5.2 H2.2 Z"))
    bur = black(smooth("-2.4,3.2! -4.8,2.7 -7.4,3.6 -8.2,4.6 -7.4,5.6 -4.8,6.5 -2.4,6!"))
    return (body, head, shank, bur, *ticks((-3, 18.6, 5, 18.6), (-3.1, 20.2, 5.1, 20.2), line=0.6))


def whole_handpiece(length: float, width: float) -> Shapes:
    """Draw a handpiece on its side: the head at the left, the bur upwards."""
    thick = width * 0.36
    low = width / 2 - thick
    body = metal(
        ribbon(
            [
                (length * 0.05, low * 0.2, thick * 0.42),
                (length * 0.2, low * 0.5, thick * 0.55),
                (length * 0.34, low, thick * 0.92),
                (length * 0.7, low, thick),
                (length, low, thick * 0.9),
            ],
            cap="flat",
        )
    )
    head = shade(ellipse(length * 0.045, 0, length * 0.045, thick * 0.8))
    bur = black(ribbon([(length * 0.045, -thick * 0.6, width * 0.035), (length * 0.045, -width / 2, width * 0.05)]))
    joints = ticks(*((length * t, low - thick * 0.95, length * t, low + thick * 0.95) for t in (0.42, 0.58, 0.6, 0.62)))
    return (bur, body, head, *joints)


def bur() -> Shapes:
    """Draw a fluted egg on a thin shank."""
    shank = metal(path("M-1.3 22.6 V11.4 H1.3 V22.6 Z"))
    egg = shade(smooth("-1.3,12.6! -4.4,10.6 -5.2,7.6 -3.6,3 0,0.9 3.6,3 5.2,7.6 4.4,10.6 1.3,12.6!"))
    flutes = tuple(
        Shape(outline=smooth(f"{x * 0.35},12 {x - 0.6},8 {x * 0.4 + 0.8},2.4", closed=False), line=1.1)
        for x in (-4, -1.6, 0.8, 3.2)
    )
    return (shank, egg, *flutes)


def strip_holder() -> Shapes:
    """Draw a fork that stretches a thin strip, rough on one side, between its two ends."""
    handle = metal(path("M-1.5 22.6 V15.4 H1.5 V22.6 Z"))
    arm = metal(ribbon([(0, 15.8, 1.3), (3.6, 14.6, 1.1), (6.6, 11, 1.0), (7.2, 6, 1.0), (7.2, 2.4, 1.0)]))
    strip = Shape(outline=path("M-8.2 2.2 H8.2 V6 H-8.2 Z"), fill=WHITE)
    rough = black(path("M-8.2 4.1 H8.2 V6 H-8.2 Z"))
    grains = ticks(*((x, 2.9, x + 0.5, 3.3) for x in (-6.6, -4.4, -2.2, 0, 2.2, 4.4, 6.2)), line=0.5)
    return (*both(arm), handle, strip, rough, *grains)


def whole_strip_holder(length: float, width: float) -> Shapes:
    """Lying: the strip upright at the left, the handle to the right."""
    half = width / 2
    arm = metal(
        ribbon(
            [
                (length * 0.5, 0, width * 0.06),
                (length * 0.4, half * 0.5, width * 0.05),
                (length * 0.26, half * 0.9, width * 0.05),
                (0, half * 0.9, width * 0.05),
            ]
        )
    )
    strip = black(path(f"M{length * 0.02:.2f} {-half:.2f} H{length * 0.06:.2f} V{half:.2f} H{length * 0.02:.2f} Z"))
    handle = shade(
        ribbon([(length * 0.48, 0, width * 0.08), (length * 0.6, 0, width * 0.12), (length, 0, width * 0.1)])
    )
    return (arm, *all_moved((arm,), scale(1, -1)), handle, strip)


def photo_mirror() -> Shapes:
    """Draw a broad flat mirror that fills the mouth, narrower where it is held."""
    edge = metal(smooth("-4,22.6! -4.4,18.6 -7.6,12 -8.2,5.6 -6,1.6 0,0.7 6,1.6 8.2,5.6 7.6,12 4.4,18.6 4,22.6!"))
    glass = Shape(
        outline=smooth("-2.6,22! -3,18.4 -6.2,11.6 -6.8,5.8 -5,2.8 0,2.1 5,2.8 6.8,5.8 6.2,11.6 3,18.4 2.6,22!"),
        fill=WHITE,
        line=FINE,
    )
    glints = ticks((-4.6, 9.4, 0.4, 4), (-3.4, 12.4, 3.8, 4.6), (-1, 14, 3.6, 9), line=0.7)
    return (edge, glass, *glints)


def whole_photo_mirror(length: float, width: float) -> Shapes:
    """Draw a photo mirror lying flat: both ends may be used, one broad, one narrow."""
    half = width / 2
    upper = [(0.03, -0.8), (0.2, -1.0), (0.6, -0.72), (0.92, -0.56)]
    around = [(0.0, 0.0), *upper, (1.0, 0.0), *((x, -y) for x, y in reversed(upper))]
    edge = smooth([(x * length, y * half, False) for x, y in around])
    glass = all_moved((Shape(outline=edge, fill=WHITE, line=FINE),), scale(0.94, 0.88).then(shift(length * 0.03, 0)))
    glints = ticks(
        (length * 0.2, half * 0.3, length * 0.34, -half * 0.4), (length * 0.26, half * 0.5, length * 0.42, -half * 0.3)
    )
    return (Shape(outline=edge, fill=SHADE), *glass, *glints)
