"""The working ends of instruments held like a pencil: pointing up on the 18 mm × 22 mm tip canvas."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from kitdocs.drawings.drawing import GRIP, WHITE
from kitdocs.drawings.head import ticks
from kitdocs.drawings.outline import ellipse, path, ribbon, smooth
from kitdocs.drawings.shape import FINE, Shape, Shapes, black, metal, shade, stroke, white


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    shapes: Shapes
    neck: float = 1.1
    """Half the width of the shank where the lower edge of the canvas cuts it."""
    real: float = 1.2
    """Real millimetres to one millimetre of the canvas, for an instrument 165 mm long."""
    handle: Literal["round", "flat", "slab"] = "round"


def _shank(*spine: tuple[float, float, float], cap: str = "round") -> Shape:
    return metal(ribbon([(0, 22.6, spine[0][2]), *spine], cap=cap))


def mouth_mirror() -> End:
    """A round disc on an angled neck."""
    neck = _shank((0, 19, 1.1), (0.2, 16.4, 0.95), (-0.1, 14.4, 0.85), (-1, 11.6, 0.8))
    rim = metal(ellipse(-1.6, 6.6, 6))
    glass = Shape(outline=ellipse(-1.6, 6.6, 4.7), fill=WHITE, line=FINE)
    glints = ticks((-4.6, 6.6, -1.6, 3.4), (-3.4, 8.6, 0.4, 4.4), line=0.5)
    return End(shapes=(neck, rim, glass, *glints), neck=1.1, real=1.85)


def explorer() -> End:
    """A fine sickle that runs out in a sharp point."""
    hook = _shank(
        (0, 18, 1.1),
        (0, 14, 0.85),
        (0.9, 10, 0.65),
        (2.7, 6.4, 0.55),
        (2.5, 2.9, 0.48),
        (-0.4, 1.4, 0.38),
        (-3.4, 2.6, 0.25),
        (-4.9, 4.8, 0.08),
        cap="point",
    )
    return End(shapes=(hook,), real=1.1)


def scaler() -> End:
    """A curved blade of triangular section, broad at the root and pointed."""
    shank = _shank((0, 18.4, 1.2), (0.3, 15.4, 1.0), (1.6, 12.3, 0.95))
    blade = metal(smooth("0.4,12.4! 2.1,9.4 1.3,6 -0.8,3.1 -4.6,1.2! -0.6,1.4 2.7,4 4.1,8 3,12.9!"))
    face = shade(smooth("1.7,12.6! 3.1,8.6 2,4.9 -0.4,2.3 -4.6,1.2! -0.6,1.4 2.7,4 4.1,8 3,12.9!"))
    edge = Shape(outline=smooth("0.4,12.4! 2.1,9.4 1.3,6 -0.8,3.1 -4.6,1.2!", closed=False), line=0.95)
    return End(shapes=(shank, blade, face, edge), neck=1.2, real=1.0)


def periodontal_probe() -> End:
    """A straight thin rod with dark bands to measure by, and a blunt end."""
    shank = _shank((0, 18.4, 1.1), (-0.3, 15.8, 0.9), (-1.8, 12.8, 0.75))
    rod = metal(smooth("-2.4,12.9! 3.35,1.3 3.9,0.9 4.2,1.6 -1.2,13.2!"))
    bands = []
    for near, far in ((0.3, 0.44), (0.56, 0.7), (0.82, 0.93)):
        corners = []
        for t, side in ((near, -1), (far, -1), (far, 1), (near, 1)):
            half = 0.62 - 0.22 * t
            corners.append((-1.8 + 5.6 * t + side * half * 0.9, 13 - 11.7 * t + side * half * 0.42))
        first, *rest = corners
        bands.append(black((("M", (first,)), *(("L", (p,)) for p in rest), ("Z", ()))))
    return End(shapes=(shank, rod, *bands), real=1.1)


def band_pusher() -> End:
    """A small rectangular serrated head on a bent shank."""
    shank = _shank((0, 18.6, 1.3), (-0.4, 15.4, 1.1), (-1.2, 12.2, 1.1), (0.3, 8.8, 1.1), (1.2, 6.6, 1.2))
    head = metal(path("M-2.2 1.4 H5.4 V6.6 H-2.2 Z"))
    waffle = ticks(
        *((x, 2, x, 6) for x in (-1.05, 0.35, 1.75, 3.15, 4.35)),
        *((-1.7, y, 4.9, y) for y in (2.65, 4, 5.35)),
        line=0.5,
    )
    return End(shapes=(shank, head, *waffle), neck=1.3, real=1.0)


def band_seater() -> End:
    """A broad plastic stick to bite on, with a triangular metal insert."""
    stick = Shape(outline=smooth("-3.6,22.6! -3.6,4 -2.4,1.4 0,0.9 2.4,1.4 3.6,4 3.6,22.6!"), fill=GRIP)
    insert = white(path("M0 4 L2.7 10 H-2.7 Z"))
    rows = ticks((-1.0, 7.2, 1.0, 7.2), (-1.5, 8.6, 1.5, 8.6), line=0.5)
    return End(shapes=(stick, insert, *rows), neck=3.6, real=1.5, handle="slab")


def ligature_director() -> End:
    """A slim shank that ends in a notched fork."""
    shank = _shank((0, 18.6, 1.1), (0, 14, 0.8), (0, 9.4, 0.8))
    fork = metal(
        smooth(
            "-0.8,10! -1.3,8 -2.1,6 -2.1,1.6 -1.55,1 -1,1.6 -0.8,4.4 0,5.4 0.8,4.4 1,1.6 1.55,1 2.1,1.6 2.1,6 1.3,8 0.8,10!"
        )
    )
    notch = black(smooth("-0.7,2.6! -0.8,4.4 0,5.5 0.8,4.4 0.7,2.6! 0,4!"))
    return End(shapes=(shank, fork, notch), real=1.0)


def cement_spatula() -> End:
    """A flat blade with a rounded end."""
    shank = _shank((0, 19, 1.2), (0, 15.4, 1.0))
    blade = metal(smooth("-1,15.8! -1.9,14 -2.6,11.4 -2.7,3.8 -1.6,1.4 0,0.9 1.6,1.4 2.7,3.8 2.6,11.4 1.9,14 1,15.8!"))
    sheen = stroke(smooth("1.2,3.6 1.3,8 1.1,12.4", closed=False))
    return End(shapes=(shank, blade, sheen), neck=1.2, real=1.6)
