"""Parts that the symbols for mishaps are put together from: packs, people, hands, machines, sheets."""

from __future__ import annotations

from math import cos, radians, sin

from kitdocs.drawings.drawing import GRIP, INK, METAL, SHADE, WHITE
from kitdocs.drawings.outline import ellipse, polygon
from kitdocs.drawings.scene import area, box, dot, filled, ink_line, rounded
from kitdocs.drawings.shape import Shape, Shapes


def pack(x: float, y: float, width: float, height: float) -> Shapes:
    """Draw a wrapped cassette from the front: the sheet, and the tape across with its changed stripes."""
    tape = y + height * 0.36
    stripes = (
        ink_line(f"M{x + width * part} {tape + 2.1} L{x + width * part + 1.2} {tape + 0.3}", 0.5) for part in _THIRDS
    )
    return (rounded(x, y, width, height, 0.9, METAL), box(x, tape, width, 2.4, WHITE, 0.3), *stripes)


_THIRDS = (0.2, 0.45, 0.7)


def person(x: float, y: float, fill: str = SHADE) -> Shapes:
    """Draw head and shoulders, 7 wide and 10 high, from the corner at the upper left."""
    shoulders = f"M{x} {y + 10} V{y + 8} C{x} {y + 5.2} {x + 1.4} {y + 4.8} {x + 3.5} {y + 4.8}"
    shoulders += f" C{x + 5.6} {y + 4.8} {x + 7} {y + 5.2} {x + 7} {y + 8} V{y + 10} Z"
    return (area(shoulders, fill), filled(ellipse(x + 3.5, y + 2.3, 2.3), fill))


def drop(x: float, y: float, size: float, fill: str = GRIP) -> Shape:
    d = f"M{x} {y} C{x + size * 0.3} {y + size * 0.5} {x + size * 0.5} {y + size * 0.7} {x + size * 0.5} {y + size}"
    d += f" C{x + size * 0.5} {y + size * 1.6} {x - size * 0.5} {y + size * 1.6} {x - size * 0.5} {y + size}"
    return area(d + f" C{x - size * 0.5} {y + size * 0.7} {x - size * 0.3} {y + size * 0.5} {x} {y} Z", fill, 0.3)


def round_arrow(x: float, y: float, radius: float, line: float = 0.9) -> Shapes:
    """Draw an arrow that goes round almost once, clockwise: again."""
    points = [(x + radius * sin(radians(a)), y - radius * cos(radians(a))) for a in range(40, 306, 5)]
    way = "M" + " L".join(f"{px:.3f} {py:.3f}" for px, py in points)
    (end_x, end_y), along, size = points[-1], radians(305), 2.6
    ahead = (end_x + 1.5 * size * cos(along), end_y + 1.5 * size * sin(along))
    beside = [(end_x + side * size * sin(along), end_y - side * size * cos(along)) for side in (-1, 1)]
    return (
        ink_line(way, line * 2, WHITE),
        ink_line(way, line),
        Shape(outline=polygon([ahead, *beside]), fill=INK, line=0.0),
    )


def palm(x: float, y: float, fill: str) -> Shapes:
    """Draw a raised hand, 9 wide and 12 high."""
    d = f"M{x + 1.9} {y + 12} L{x + 0.4} {y + 7.4} C{x - 0.2} {y + 5.9} {x + 1.5} {y + 5.2} {x + 2.2} {y + 6.7}"
    d += f" V{y + 2.2}"
    for finger, top in ((0, 1.0), (1, 0.2), (2, 0.8), (3, 2.4)):
        left = x + 2.2 + 1.6 * finger
        d += f" V{y + top + 0.7} C{left} {y + top - 0.4} {left + 1.6} {y + top - 0.4} {left + 1.6} {y + top + 0.7}"
        d += f" V{y + 5}"
    d += f" V{y + 8.4} C{x + 8.6} {y + 10.2} {x + 8} {y + 11} {x + 7.6} {y + 12} Z"
    gaps = (ink_line(f"M{x + 2.2 + 1.6 * n} {y + 2} V{y + 5.6}", 0.25) for n in (1, 2, 3))
    return (area(d, fill), *gaps)


def machine(x: float, y: float, width: float, height: float) -> Shapes:
    """Draw a sterilizer with its round door."""
    middle, radius = (x + width * 0.42, y + height * 0.56), min(width, height) * 0.3
    return (
        rounded(x, y, width, height, 1.0, METAL),
        filled(ellipse(*middle, radius), SHADE, 0.4),
        filled(ellipse(*middle, radius * 0.68), WHITE, 0.3),
        dot(x + width * 0.84, y + height * 0.25, 0.75),
        dot(x + width * 0.84, y + height * 0.5, 0.75),
    )


def sheet(x: float, y: float, width: float, height: float, lines: int) -> Shapes:
    rows = (ink_line(f"M{x + 1.4} {y + 2.4 + 2.3 * n} H{x + width - 1.4}", 0.45, GRIP) for n in range(lines))
    return (box(x, y, width, height, WHITE), *rows)


def bubble(x: float, y: float, width: float, height: float, tail: float) -> Shape:
    """Draw a speech bubble whose tail begins `tail` from its left edge."""
    foot, right = y + height, x + width
    return area(
        f"M{x + 1} {y} H{right - 1} Q{right} {y} {right} {y + 1} V{foot - 1} Q{right} {foot} {right - 1} {foot}"
        f" H{x + tail + 2} L{x + tail - 0.8} {foot + 2.4} L{x + tail} {foot} H{x + 1} Q{x} {foot} {x} {foot - 1}"
        f" V{y + 1} Q{x} {y} {x + 1} {y} Z",
        WHITE,
    )


def exclamation(x: float, y: float, height: float) -> Shapes:
    return (ink_line(f"M{x} {y} V{y + height * 0.6}", 1.0), dot(x, y + height * 0.95, 0.75))


def equals(x: float) -> Shapes:
    return (ink_line(f"M{x - 1} 9.4 H{x + 0.6}", 0.7), ink_line(f"M{x - 1} 11.2 H{x + 0.6}", 0.7))


def question(x: float, y: float) -> Shapes:
    hook = f"M{x - 1.7} {y + 1.6} C{x - 1.7} {y - 0.7} {x + 1.9} {y - 0.7} {x + 1.9} {y + 1.6}"
    hook += f" C{x + 1.9} {y + 3} {x} {y + 3} {x} {y + 4.6}"
    return (ink_line(hook, 0.85), dot(x, y + 6.4, 0.7))
