"""Small pictures for what a step asks for, 20 mm × 20 mm."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from kitdocs.drawings.drawing import METAL, SHADE, WHITE, Drawing, document
from kitdocs.drawings.outline import ellipse, path, polygon, scale, shift, smooth, turn
from kitdocs.drawings.scene import INSIDE, area, arrow, box, cross, dashes, dot, filled, ink_line, rounded, tick
from kitdocs.drawings.shape import Shape, Shapes, all_moved

Icon = Literal[
    "count",
    "order",
    "clean",
    "sharp",
    "indicator",
    "hinge-open",
    "label",
    "seal",
    "tape-side-up",
    "look",
    "dry",
    "no-stacking",
    "repair-tag",
]
ICON_MM = 20.0
ICON_LINES = 1.4
"""Icons stand about 10 mm wide beside a sentence: their lines are drawn this much heavier."""


def icon(name: Icon) -> Drawing:
    """The picture of that name."""
    shapes = _ICONS[name]()
    return document((s.element(ICON_LINES) for s in shapes), width_mm=ICON_MM, height_mm=ICON_MM)


def _count() -> Shapes:
    """A tray whose places are all filled."""
    tray = rounded(1, 3, 18, 14, 1.6, WHITE)
    places = [rounded(3.2 + 3.1 * i, 5, 1.8, 10, 0.9, SHADE) for i in range(4)]
    return (tray, *places, *tick(15.2, 13, 3.2, 1.0))


def _order() -> Shapes:
    """Instruments side by side, all tips to the left."""
    rows: list[Shape] = []
    for y in (4.5, 10, 15.5):
        rows.append(area(f"M1 {y} L6.4 {y - 1.5} H19 V{y + 1.5} H6.4 Z", SHADE))
        rows.append(area(f"M1 {y} L6.4 {y - 1.5} V{y + 1.5} Z", "#1b1b1d"))
    return tuple(rows)


def _clean() -> Shapes:
    """A drop, and a gleam."""
    drop = filled(
        path(
            "M8 1.6 C10.2 6.2 13.6 8.6 13.6 12.6 C13.6 16 11.2 18.4 8 18.4 C4.8 18.4 2.4 16 2.4 12.6 C2.4 8.6"
            " 5.8 6.2 8 1.6 Z"
        ),
        METAL,
    )
    gleam = ink_line("M4.8 12.6 Q5 15.4 7.6 16", 0.7)
    stars = [_spark(16, 4.6, 2.9), _spark(17, 12.6, 1.9)]
    return (drop, gleam, *stars)


def _spark(x: float, y: float, r: float) -> Shape:
    k = r * 0.22
    points = [(0, -r), (k, -k), (r, 0), (k, k), (0, r), (-k, k), (-r, 0), (-k, -k)]
    return Shape(outline=polygon((x + dx, y + dy) for dx, dy in points), fill="#1b1b1d", line=0.0)


def _sharp() -> Shapes:
    """A cutting edge under a magnifier."""
    jaw = filled(path("M8.3 12.6 V4.4 L9.4 6 L10.2 8.6 L11.6 10.4 V12.6 Z"), SHADE)
    edge = area("M8.3 3.6 L9.3 6.2 L8.3 9.4 Z", "#1b1b1d", 0.0)
    mirror = scale(-1, 1).then(shift(16.6, 0))
    return (
        ink_line("M13.6 13.6 L17.9 17.9", 2.2),
        Shape(outline=ellipse(8.3, 8.3, 7.3), fill=WHITE, line=0.9),
        *(half for part in (jaw, edge) for half in (part, part.moved(mirror))),
    )


def _indicator() -> Shapes:
    """A new strip goes in, the used one comes out."""
    new = (box(1.5, 3.4, 11, 4.2, WHITE), box(8.2, 3.4, 2.6, 4.2, METAL, 0.3))
    used = (box(7.5, 12.4, 11, 4.2, WHITE), box(14.2, 12.4, 2.6, 4.2, "#1b1b1d", 0.3))
    return (*new, *used, *arrow(13.4, 5.5, 16, 5.5, 19.4, 5.5, 0.5), *arrow(6.6, 14.5, 4, 14.5, 0.6, 14.5, 0.5))


def _hinge_open() -> Shapes:
    """Two halves apart at a hinge."""
    half = filled(smooth("-1,-9! 1.2,-8.6 2,-2 1.6,3 2.2,9.4 0.4,10.6 -1.4,9.6 -2,3 -2,-3"), SHADE)
    left, right = half.moved(scale(0.9).then(turn(-24))), half.moved(scale(0.9).then(turn(24)))
    middle = shift(10, 10)
    return (*all_moved((left, right), middle), filled(ellipse(10, 10, 2.4), METAL), dot(10, 10, 0.9))


def _label() -> Shapes:
    """A label with a line in bold and two thin ones."""
    return (
        rounded(1.4, 4, 17.2, 12, 1.2, WHITE),
        ink_line("M4 7.6 H13", 1.5),
        ink_line("M4 10.8 H16 M4 13.4 H11.5", 0.6),
    )


def _seal() -> Shapes:
    """A pouch whose flap is folded over on the line."""
    return (
        box(2, 5, 16, 13, INSIDE),
        box(2, 5, 16, 4.6, SHADE),
        *dashes(2, 5, 18, 5),
        *arrow(17, 1.4, 11, -0.6, 9.6, 7.2, 0.5),
    )


def _tape_side_up() -> Shapes:
    """A pack with its tape uppermost, and an arrow that points up."""
    pack = (
        area("M1 8 L5 3 H19 L15 8 Z", METAL),
        box(1, 8, 14, 9, SHADE),
        area("M15 8 L19 3 V12 L15 17 Z", "#bcbcc0"),
    )
    strips = [area(f"M{x} 8 L{x + 4} 3 H{x + 5.8} L{x + 1.8} 8 Z", "#1b1b1d", 0.2) for x in (2.6, 6.4, 10.2)]
    return (*pack, *strips, *arrow(8, 15.6, 8, 12, 8, 9.4, 0.6))


def _look() -> Shapes:
    """An eye."""
    return (
        filled(path("M1 10 C4.6 3.6 15.4 3.6 19 10 C15.4 16.4 4.6 16.4 1 10 Z"), WHITE, 0.8),
        filled(ellipse(10, 10, 3.9), METAL, 0.6),
        dot(10, 10, 1.9),
    )


def _dry() -> Shapes:
    """A drop, crossed out."""
    drop = filled(
        path(
            "M10 1.6 C12.4 6.2 15.8 8.6 15.8 12.6 C15.8 16 13.3 18.4 10 18.4 C6.7 18.4 4.2 16 4.2 12.6 C4.2 8.6"
            " 7.6 6.2 10 1.6 Z"
        ),
        METAL,
    )
    return (drop, ink_line("M3 17.6 L17 3", 2.2, WHITE), ink_line("M3 17.6 L17 3", 1.1))


def _no_stacking() -> Shapes:
    """Packs on top of each other, crossed out."""
    return (*(rounded(3, y, 14, 3.6, 0.8, METAL) for y in (4.4, 8.2, 12)), *cross(10, 10, 7.4, 0.9))


def _repair_tag() -> Shapes:
    """A tag on a string."""
    return (
        area("M6.4 5 H18.6 V15 H6.4 L2.6 10 Z", WHITE, 0.5),
        Shape(outline=ellipse(6.6, 10, 1.1), line=0.5),
        ink_line("M5.6 10 C3 8 2.4 4 0.8 2.4", 0.6),
        ink_line("M9.8 8.4 H16 M9.8 11.6 H14", 0.7),
    )


_ICONS: dict[Icon, Callable[[], Shapes]] = {
    "count": _count,
    "order": _order,
    "clean": _clean,
    "sharp": _sharp,
    "indicator": _indicator,
    "hinge-open": _hinge_open,
    "label": _label,
    "seal": _seal,
    "tape-side-up": _tape_side_up,
    "look": _look,
    "dry": _dry,
    "no-stacking": _no_stacking,
    "repair-tag": _repair_tag,
}
