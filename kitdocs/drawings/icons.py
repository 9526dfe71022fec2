"""Small pictures for what a step asks for, 20 mm × 20 mm."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from kitdocs.drawings.drawing import METAL, SHADE, WHITE, Drawing, document
from kitdocs.drawings.outline import ellipse, path, polygon, scale, shift
from kitdocs.drawings.scene import area, arrow, box, filled, ink_line, rounded, tick
from kitdocs.drawings.shape import Shape, Shapes

Icon = Literal["count", "order", "clean", "sharp", "indicator"]
ICON_MM = 20.0
ICON_LINES = 1.4
"""Icons stand about 10 mm wide beside a sentence: their lines are drawn this much heavier."""


def icon(name: Icon) -> Drawing:
    """Draw the picture of that name."""
    shapes = _ICONS[name]()
    return document((s.element(ICON_LINES) for s in shapes), width_mm=ICON_MM, height_mm=ICON_MM)


def _count() -> Shapes:
    """Draw a tray whose places are all filled."""
    tray = rounded(1, 3, 18, 14, 1.6, WHITE)
    places = [rounded(3.2 + 3.1 * i, 5, 1.8, 10, 0.9, SHADE) for i in range(4)]
    return (tray, *places, *tick(15.2, 13, 3.2, 1.0))


def _order() -> Shapes:
    """Draw instruments side by side, all tips to the left."""
    rows: list[Shape] = []
    for y in (4.5, 10, 15.5):
        rows.append(area(f"M1 {y} L6.4 {y - 1.5} H19 V{y + 1.5} H6.4 Z", SHADE))
        rows.append(area(f"M1 {y} L6.4 {y - 1.5} V{y + 1.5} Z", "#1b1b1d"))
    return tuple(rows)


def _clean() -> Shapes:
    """Draw a drop, and a gleam."""
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
    """Draw a cutting edge under a magnifier."""
    jaw = filled(path("M8.3 12.6 V4.4 L9.4 6 L10.2 8.6 L11.6 10.4 V12.6 Z"), SHADE)
    edge = area("M8.3 3.6 L9.3 6.2 L8.3 9.4 Z", "#1b1b1d", 0.0)
    mirror = scale(-1, 1).then(shift(16.6, 0))
    return (
        ink_line("M13.6 13.6 L17.9 17.9", 2.2),
        Shape(outline=ellipse(8.3, 8.3, 7.3), fill=WHITE, line=0.9),
        *(half for part in (jaw, edge) for half in (part, part.moved(mirror))),
    )


def _indicator() -> Shapes:
    """Draw a new strip going in and the used one coming out."""
    new = (box(1.5, 3.4, 11, 4.2, WHITE), box(8.2, 3.4, 2.6, 4.2, METAL, 0.3))
    used = (box(7.5, 12.4, 11, 4.2, WHITE), box(14.2, 12.4, 2.6, 4.2, "#1b1b1d", 0.3))
    return (*new, *used, *arrow(13.4, 5.5, 16, 5.5, 19.4, 5.5, 0.5), *arrow(6.6, 14.5, 4, 14.5, 0.6, 14.5, 0.5))


_ICONS: dict[Icon, Callable[[], Shapes]] = {
    "count": _count,
    "order": _order,
    "clean": _clean,
    "sharp": _sharp,
    "indicator": _indicator,
}
