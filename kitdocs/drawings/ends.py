"""The working ends of instruments held like a pencil: pointing up on the 18 mm × 22 mm tip canvas."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from kitdocs.drawings.drawing import GRIP, WHITE
from kitdocs.drawings.outline import Point, ellipse, path, ribbon, scale, shift, smooth, turn
from kitdocs.drawings.shape import FINE, Shape, Shapes, all_moved, black, grip, metal, shade, stroke, ticks, white


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
    """Draw a round disc on an angled neck."""
    neck = _shank((0, 19.6, 1.1), (0, 17.4, 1.0), (-0.5, 15, 0.85), (-1.2, 12.4, 0.8))
    rim = metal(ellipse(-1.6, 6.8, 6.2))
    glass = Shape(outline=ellipse(-1.6, 6.8, 4.9), fill=WHITE, line=FINE)
    glints = ticks((-4.6, 6.8, -1.6, 3.6), (-3.4, 8.8, 0.4, 4.6), line=0.5)
    return End(shapes=(neck, rim, glass, *glints), neck=1.1, real=1.75)


def explorer() -> End:
    """Draw a fine sickle that runs out in a sharp point."""
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
    """Draw a curved blade of triangular section, broad at the root and pointed."""
    blade = metal(
        smooth(
            "-1.3,22.6! -1.3,19 -0.9,16.4 0.2,14 1.5,11.6 2,9 1.1,6.2 -1.2,3.2 -5,1.1! -0.4,1.1 3.2,3.6 4.7,7.4"
            " 4.2,11.2 2.7,14.2 1.7,16.6 1.3,19 1.3,22.6!"
        )
    )
    back = grip(smooth("2.9,13.2! 3.4,9.4 2.3,5.2 -0.6,2.3 -5,1.1! -0.4,1.1 3.2,3.6 4.7,7.4 4.2,11.2"))
    edge = Shape(outline=smooth("1.7,11 2,9 1.1,6.2 -1.2,3.2 -5,1.1!", closed=False), line=1.0)
    return End(shapes=(blade, back, edge), neck=1.3, real=1.0)


def periodontal_probe() -> End:
    """Draw a straight thin rod with dark bands to measure by, and a blunt end."""
    foot, end = (-2.0, 11.6), (4.2, 1.1)
    rod = _shank(
        (0, 19.4, 1.15),
        (-0.7, 16.8, 1.0),
        (-2.2, 14.4, 0.9),
        (-2.5, 13.1, 0.88),
        (*foot, 0.85),
        (*_between(foot, end, 0.5), 0.7),
        (*end, 0.55),
    )
    bands = [
        black(
            ribbon([(*_between(foot, end, a), 0.85 - 0.3 * a), (*_between(foot, end, b), 0.85 - 0.3 * b)], cap="flat")
        )
        for a, b in ((0.18, 0.34), (0.46, 0.62), (0.74, 0.88))
    ]
    return End(shapes=(rod, *bands), neck=1.15, real=1.0)


def _between(first: Point, last: Point, share: float) -> Point:
    return (first[0] + (last[0] - first[0]) * share, first[1] + (last[1] - first[1]) * share)


def band_pusher() -> End:
    """Draw a small rectangular serrated head on a bent shank."""
    shank = _shank((0, 18.6, 1.3), (-0.4, 15.4, 1.1), (-1.2, 12.2, 1.1), (0.3, 8.8, 1.1), (1.2, 6.6, 1.2))
    head = metal(path("M-2.2 1.4 H5.4 V6.6 H-2.2 Z"))
    waffle = ticks(
        *((x, 2, x, 6) for x in (-1.05, 0.35, 1.75, 3.15, 4.35)),
        *((-1.7, y, 4.9, y) for y in (2.65, 4, 5.35)),
        line=0.5,
    )
    return End(shapes=(shank, head, *waffle), neck=1.3, real=1.0)


def band_seater() -> End:
    """Draw a broad plastic stick to bite on, with a triangular metal insert."""
    stick = Shape(outline=smooth("-3.6,22.6! -3.6,4 -2.4,1.4 0,0.9 2.4,1.4 3.6,4 3.6,22.6!"), fill=GRIP)
    insert = white(path("M0 4 L2.7 10 H-2.7 Z"))
    rows = ticks((-1.0, 7.2, 1.0, 7.2), (-1.5, 8.6, 1.5, 8.6), line=0.5)
    return End(shapes=(stick, insert, *rows), neck=3.6, real=1.5, handle="slab")


def ligature_director() -> End:
    """Draw a slim shank that ends in a notched fork."""
    fork = metal(
        smooth(
            "-1.1,22.6! -1.1,18.6 -0.8,14 -0.85,11 -1.4,8.6 -2.4,6.4 -2.6,1.8 -1.9,1 -1.3,1.8 -1,4.4 0,5.5 1,4.4"
            " 1.3,1.8 1.9,1 2.6,1.8 2.4,6.4 1.4,8.6 0.85,11 0.8,14 1.1,18.6 1.1,22.6!"
        )
    )
    notch = black(smooth("-1.1,3! -1,4.4 0,5.6 1,4.4 1.1,3! 0,4.4!"))
    return End(shapes=(fork, notch), real=1.0)


def cement_spatula() -> End:
    """Draw a flat blade with a rounded end."""
    blade = metal(
        smooth(
            "-1.25,22.6! -1.2,19 -1.1,16.6 -2,14.6 -3,12 -3.2,4.4 -2,1.6 0,0.9 2,1.6 3.2,4.4 3,12 2,14.6"
            " 1.1,16.6 1.2,19 1.25,22.6!"
        )
    )
    bevel = stroke(smooth("-0.9,15.6 -1.9,12.4 -2.1,5 -1.3,2.9 0,2.2 1.3,2.9 2.1,5 1.9,12.4 0.9,15.6", closed=False))
    return End(shapes=(blade, bevel), neck=1.2, real=1.5)


def bracket_height_gauge() -> End:
    """Draw a star whose arms end in plates with a pin each, at different heights."""
    shank = _shank((0, 19, 1.2), (0, 15, 1.0), (0, 10, 0.95), cap="flat")
    # The handle takes the place of the fourth arm.
    star = _star(*((8.2, 0.8 * (i + 1), 90 * i) for i in (-1, 0, 1)))
    return End(shapes=(shank, *all_moved(star, shift(0, 9.2))), neck=1.2, real=1.0)


def height_gauge(length: float, width: float) -> Shapes:
    """Draw a whole gauge that is nearly as wide as it is long: a star of four arms about the origin."""
    size = min(length, width) / 18
    reaches = (width / 2, length / 2, width / 2, length / 2)
    return all_moved(_star(*((reach / size, 0.45 * i, 90 * i) for i, reach in enumerate(reaches))), scale(size))


def _star(*arms: tuple[float, float, float]) -> Shapes:
    """Draw arms about the origin, each of a reach, height and direction, and the hub on them."""
    hub = (metal(ellipse(0, 0, 2.7)), Shape(outline=ellipse(0, 0, 1.1), fill=WHITE, line=FINE))
    return (*(shape for arm in arms for shape in _arm(*arm)), *hub)


def _arm(reach: float, height: float, degrees: float) -> Shapes:
    """Draw one arm with a cross plate and, at its own height, a pin."""
    plate = -reach + 2.6 + height
    parts = (
        metal(path(f"M-0.9 0 L-0.8 {plate} H0.8 L0.9 0 Z")),
        metal(path(f"M-2.4 {plate - 0.65} H2.4 V{plate + 0.65} H-2.4 Z")),
        black(path(f"M-0.6 {plate - 0.65} H0.6 V{-reach + 0.5} L0 {-reach} L-0.6 {-reach + 0.5} Z")),
    )
    return all_moved(parts, turn(degrees))


def hand_driver() -> End:
    """Draw a knurled collar with a short hexagonal point."""
    neck = metal(path("M-2 22.6 V17.4 H2 V22.6 Z"))
    collar = shade(path("M-5 10.6 H5 L5.6 11.4 V17 L5 17.8 H-5 L-5.6 17 V11.4 Z"))
    knurl = ticks(*((x, 11.4, x, 17) for x in (-4.2, -2.8, -1.4, 0, 1.4, 2.8, 4.2)), line=0.7)
    shaft = metal(path("M-1.9 10.6 L-1.5 5.6 H1.5 L1.9 10.6 Z"))
    point = black(path("M-1.5 5.6 V1.6 L-0.8 0.9 H0.8 L1.5 1.6 V5.6 Z"))
    return End(shapes=(neck, collar, *knurl, shaft, point), neck=2.0, real=1.0)
