"""A filled or stroked outline, and the handful of looks an instrument is drawn in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from kitdocs.drawings.drawing import INK, METAL, SHADE, WHITE, number
from kitdocs.drawings.outline import MIRROR, Affine, Outline, bounds, data, moved

EDGE = 0.56
"""Outline of a tip on its 22 mm canvas: 0.38 mm when printed 15 mm high."""
FINE = 0.38
"""Lines inside an outline, on the same canvas."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    outline: Outline
    fill: str = "none"
    line: float = EDGE
    """Stroke width in millimetres, 0 for none."""
    ink: str = INK

    def moved(self, by: Affine) -> Shape:
        return replace(self, outline=moved(self.outline, by))

    @property
    def mirrored(self) -> Shape:
        return self.moved(MIRROR)

    def element(self, thinner: float = 1.0) -> str:
        edge = (
            f' stroke="{self.ink}" stroke-width="{number(self.line * thinner)}"'
            ' stroke-linejoin="round" stroke-linecap="round"'
            if self.line
            else ""
        )
        return f'<path d="{data(self.outline)}" fill="{self.fill}" fill-rule="evenodd"{edge}/>'


Shapes = tuple[Shape, ...]


def metal(outline: Outline) -> Shape:
    return Shape(outline=outline, fill=METAL)


def shade(outline: Outline) -> Shape:
    """Draw metal that lies behind or faces away."""
    return Shape(outline=outline, fill=SHADE)


def white(outline: Outline) -> Shape:
    return Shape(outline=outline, fill=WHITE)


def grip(outline: Outline, colour: str = "#8f8f94") -> Shape:
    return Shape(outline=outline, fill=colour)


def black(outline: Outline) -> Shape:
    """Draw the telling feature: an edge that cuts, teeth, a slot."""
    return Shape(outline=outline, fill=INK, line=0.0)


def stroke(outline: Outline, line: float = FINE) -> Shape:
    return Shape(outline=outline, line=line)


def ticks(*lines: tuple[float, float, float, float], line: float = FINE) -> Shapes:
    """Draw straight lines: (x1, y1, x2, y2)."""
    return tuple(Shape(outline=(("M", ((x1, y1),)), ("L", ((x2, y2),))), line=line) for x1, y1, x2, y2 in lines)


def both(*shapes: Shape) -> Shapes:
    """Draw each shape and its mirror image."""
    return tuple(s for shape in shapes for s in (shape, shape.mirrored))


def all_moved(shapes: Iterable[Shape], by: Affine) -> Shapes:
    return tuple(s.moved(by) for s in shapes)


def ink_bounds(shapes: Iterable[Shape], thinner: float = 1.0) -> tuple[float, float, float, float]:
    """Return left, top, right, bottom of everything drawn, strokes included."""
    boxes = []
    for shape in shapes:
        left, top, right, bottom = bounds([shape.outline])
        half = shape.line * thinner / 2
        boxes.append((left - half, top - half, right + half, bottom + half))
    return (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )
