"""Marks: plain filled shapes for chairs; strips of tape or engraved lines for cassettes."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, pi, sin

from kitdocs.drawings.drawing import INK, Drawing, document
from kitdocs.drawings.outline import Outline, data, ellipse, path, polygon
from kitdocs.practice.kinds import ChairMark, SetMark

CHAIR_MARK_MM = 20.0
SET_MARK_MM = (30.0, 12.0)


def _star(points: int, outer: float, inner: float, centre_y: float) -> Outline:
    """Return a star with a point on top."""
    angles = [2 * pi * i / (2 * points) - pi / 2 for i in range(2 * points)]
    radii = (outer, inner) * points
    return polygon((10 + r * cos(angle), centre_y + r * sin(angle)) for r, angle in zip(radii, angles, strict=True))


# The hexagon is broad, because a regular one is taken for the circle from across the room.
# Sizes are set by eye so that the shapes look equally large: equal boxes would make the square shout.
_CHAIR_MARKS: dict[ChairMark, Outline] = {
    "circle": ellipse(10, 10, 8.2),
    "square": path("M2.8 2.8 H17.2 V17.2 H2.8 Z"),
    "triangle": path("M10 1.2 L19.2 17.2 H0.8 Z"),
    "diamond": path("M10 0.8 L18 10 L10 19.2 L2 10 Z"),
    "star": _star(5, 9.8, 4.2, centre_y=10.7),
    "cross": path("M7 1.5 H13 V7 H18.5 V13 H13 V18.5 H7 V13 H1.5 V7 H7 Z"),
    "ring": ellipse(10, 10, 8.6) + ellipse(10, 10, 4.3),
    "hexagon": path("M5.2 3.4 H14.8 L19.6 10 L14.8 16.6 H5.2 L0.4 10 Z"),
    "crescent": path(
        "M13.6 1.3 C4.5 0.6 1 6.5 1.6 11 C2.3 16.5 8 20 14.8 18.2 C9.2 16.4 7 12.6 7.2 9 C7.4 5.6 9.8 2.7 13.6 1.3 Z"
    ),
    "drop": path(
        "M10 0.6 C12.4 5 16.6 8.6 16.6 12.8 C16.6 16.6 13.7 19.3 10 19.3 C6.3 19.3 3.4 16.6 3.4 12.8 C3.4"
        " 8.6 7.6 5 10 0.6 Z"
    ),
    "arrow": path("M10 0.9 L18.6 9.9 H13.4 V19 H6.6 V9.9 H1.4 Z"),
    "heart": path(
        "M10 18.8 C6.6 15.4 1.2 11.6 1.2 6.8 C1.2 3.7 3.4 1.6 6.1 1.6 C7.8 1.6 9.2 2.5 10 4.1 C10.8 2.5 12.2"
        " 1.6 13.9 1.6 C16.6 1.6 18.8 3.7 18.8 6.8 C18.8 11.6 13.4 15.4 10 18.8 Z"
    ),
}


def _bars(*lefts: float) -> Outline:
    return tuple(s for x in lefts for s in path(f"M{x} 0 H{x + 4} V12 H{x} Z"))


#: Each mark alone, in its 30 mm × 12 mm box, for drawings that carry it.
SET_MARKS: Mapping[SetMark, Outline] = {
    "one-bar": _bars(13),
    "two-bars": _bars(9, 17),
    "three-bars": _bars(5, 13, 21),
    "slash": path("M18 0 H24 L12 12 H6 Z"),
    "chevron": path("M9 0 H14.5 L20.5 6 L14.5 12 H9 L15 6 Z"),
    "zigzag": path("M1 8.2 L8 1 L15 8.2 L22 1 L29 8.2 V12 H26.8 L22 7 L15 12 L8 7 L3.2 12 H1 Z"),
    "corner": path("M0 0 H20 L0 12 Z"),
    "dots": ellipse(6, 6, 2.9) + ellipse(15, 6, 2.9) + ellipse(24, 6, 2.9),
}


def chair_mark(shape: ChairMark, colour: str = INK) -> Drawing:
    """Draw a chair's mark, 20 mm × 20 mm, filled with the colour."""
    return document([filled_path(_CHAIR_MARKS[shape], colour)], width_mm=CHAIR_MARK_MM, height_mm=CHAIR_MARK_MM)


def set_mark(mark: SetMark, colour: str = INK) -> Drawing:
    """Draw a set's mark, 30 mm × 12 mm, as it is taped or engraved on the end of its cassette."""
    width, height = SET_MARK_MM
    return document([filled_path(SET_MARKS[mark], colour)], width_mm=width, height_mm=height)


def filled_path(outline: Outline, colour: str) -> str:
    """Return an outline filled with the colour, as an SVG element."""
    return f'<path d="{data(outline)}" fill="{colour}" fill-rule="evenodd"/>'
