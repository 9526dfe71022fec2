"""Pieces that step pictures and pictograms share: arrows, sheets, a closed cassette."""

from __future__ import annotations

from math import atan2, cos, pi, sin

from kitdocs.drawings.drawing import GRIP, INK, METAL, SHADE, WHITE, Drawing, document
from kitdocs.drawings.outline import Outline, ellipse, path, polygon
from kitdocs.drawings.shape import Shape, Shapes

STEP_WIDTH_MM = 60.0
STEP_HEIGHT_MM = 50.0
LINE = 0.35
STEP_LINES = 2.0
"""Step pictures stand 18 mm wide on the back of a card: their lines are drawn this much heavier."""
INSIDE = "#f7f7f8"
"""The side of a sheet that touches the cassette."""
OUTSIDE = SHADE


def area(d: str, fill: str = METAL, line: float = LINE, ink: str = INK) -> Shape:
    return Shape(outline=path(d), fill=fill, line=line, ink=ink)


def filled(outline: Outline, fill: str = METAL, line: float = LINE) -> Shape:
    return Shape(outline=outline, fill=fill, line=line)


def ink_line(d: str, line: float = LINE, ink: str = INK) -> Shape:
    return Shape(outline=path(d), line=line, ink=ink)


def box(x: float, y: float, width: float, height: float, fill: str = METAL, line: float = LINE) -> Shape:
    return area(f"M{x} {y} H{x + width} V{y + height} H{x} Z", fill, line)


def rounded(x: float, y: float, width: float, height: float, radius: float, fill: str = METAL) -> Shape:
    r, right, foot = radius, x + width, y + height
    return area(
        f"M{x + r} {y} H{right - r} Q{right} {y} {right} {y + r} V{foot - r} Q{right} {foot} {right - r} {foot}"
        f" H{x + r} Q{x} {foot} {x} {foot - r} V{y + r} Q{x} {y} {x + r} {y} Z",
        fill,
    )


def dot(x: float, y: float, radius: float, fill: str = INK) -> Shape:
    return Shape(outline=ellipse(x, y, radius), fill=fill, line=0.0)


def dashes(x1: float, y1: float, x2: float, y2: float, *, dash: float = 1.1, ink: str = GRIP) -> Shapes:
    """Draw a dashed line as short lines, so that it looks the same wherever it is drawn."""
    length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    count = max(round(length / (dash * 1.8)), 1)
    found = []
    for i in range(count):
        a, b = i / count, (i + 0.55) / count
        d = f"M{x1 + (x2 - x1) * a} {y1 + (y2 - y1) * a} L{x1 + (x2 - x1) * b} {y1 + (y2 - y1) * b}"
        found.append(ink_line(d, 0.3, ink))
    return tuple(found)


def arrow(x1: float, y1: float, bend_x: float, bend_y: float, x2: float, y2: float, line: float = 0.6) -> Shapes:
    """Draw a curved arrow in ink on a white halo, so that it stands clear of what it crosses."""
    way = atan2(y2 - bend_y, x2 - bend_x)
    size = 6.5 * line
    stop_x, stop_y = x2 - cos(way) * size * 0.7, y2 - sin(way) * size * 0.7
    shaft = f"M{x1} {y1} Q{bend_x} {bend_y} {stop_x} {stop_y}"
    head = polygon(
        [
            (x2, y2),
            (x2 + cos(way + pi * 0.86) * size, y2 + sin(way + pi * 0.86) * size),
            (x2 + cos(way - pi * 0.86) * size, y2 + sin(way - pi * 0.86) * size),
        ]
    )
    return (
        ink_line(shaft, line * 2.1, WHITE),
        Shape(outline=head, fill=WHITE, line=line * 1.2, ink=WHITE),
        ink_line(shaft, line),
        Shape(outline=head, fill=INK, line=0.0),
    )


def cassette_from_above(x: float, y: float, length: float, width: float) -> Shapes:
    """Draw a closed cassette in plan, with its slots."""
    found = [rounded(x, y, length, width, 1.6, METAL)]
    rows, columns = 3, 7
    for row in range(rows):
        for column in range(columns):
            cx = x + length * (column + 1) / (columns + 1)
            cy = y + width * (row + 1) / (rows + 1)
            slot = (length / (columns + 1)) * 0.26
            found.append(ink_line(f"M{cx - slot} {cy} H{cx + slot}", 0.5, GRIP))
    return tuple(found)


def cross(x: float, y: float, size: float, line: float = 0.75) -> Shapes:
    """Draw a cross that says "not so"."""
    a, b = f"M{x - size} {y - size} L{x + size} {y + size}", f"M{x - size} {y + size} L{x + size} {y - size}"
    return (*(ink_line(d, line * 2, WHITE) for d in (a, b)), *(ink_line(d, line) for d in (a, b)))


def tick(x: float, y: float, size: float, line: float = 0.75) -> Shapes:
    d = f"M{x - size} {y + size * 0.1} L{x - size * 0.3} {y + size * 0.8} L{x + size} {y - size * 0.8}"
    return (ink_line(d, line * 2, WHITE), ink_line(d, line))


def picture(shapes: Shapes) -> Drawing:
    """Draw a step picture: all have the same size, so that they stand in rows."""
    elements = (s.element(STEP_LINES) for s in shapes)
    return document(elements, width_mm=STEP_WIDTH_MM, height_mm=STEP_HEIGHT_MM)
