"""The working end of a hinged instrument: pointing up, joint on x = 0, on the 18 mm × 22 mm tip canvas."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from kitdocs.drawings.drawing import INK
from kitdocs.drawings.outline import Outline, Point, ellipse, path, smooth
from kitdocs.drawings.shape import FINE, Shape, Shapes, both, metal, shade, stroke, white

CENTRE = 17.3
"""How far below the top of the canvas the joint of a plier lies."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    beaks: Shapes
    joint: Shapes
    stubs: Shapes
    """The beginnings of the handles, cut off by the lower edge of the tip canvas; the whole has real ones."""
    centre: float = CENTRE
    handles: Literal["plier", "rings", "bows", "palm"] = "plier"
    real: float = 1.75
    """Real millimetres to one millimetre of the canvas, for an instrument 140 mm long."""
    jaws_stay: bool = False
    """Whether the jaws stay where they are when the handles spread: seen from the front, or spread by squeezing."""


def half(inner_to_outer: str) -> Outline:
    """Return the right beak: from the inner edge above the joint, round the tip, down to the shoulder; the body is
    added."""
    return smooth(f"{inner_to_outer} 3.9,16.4 3.5,18.6 2,19.8 0.05,20.1!")


def box_joint(y: float = CENTRE, radius: float = 2.5) -> Shapes:
    """Draw the round of a box joint with its slotted screw."""
    screw = radius * 0.42
    return (
        metal(ellipse(0, y, radius)),
        white(ellipse(0, y, screw)),
        stroke(path(f"M{-screw * 0.6} {y + screw * 0.6} L{screw * 0.6} {y - screw * 0.6}")),
    )


def plier_stubs() -> Shapes:
    stub = path("M3.4 17.6 C4.4 19.2 6 20.4 6.9 22.4 L3 22.4 C2.4 21.2 1.4 20.4 0.6 19.4")
    return both(shade(stub))


def plier(*beaks: Shape, jaws_stay: bool = False) -> Head:
    """Draw the head of a plier, its beaks back to front."""
    return Head(beaks=beaks, joint=box_joint(), stubs=plier_stubs(), jaws_stay=jaws_stay)


def teeth(first: Point, last: Point, *, count: int, depth: float, line: float = FINE) -> Shape:
    """Draw a zigzag between two points: the meeting line of serrated jaws."""
    (x1, y1), (x2, y2) = first, last
    length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    nx, ny = -(y2 - y1) / length * depth, (x2 - x1) / length * depth
    points = []
    for i in range(count + 1):
        t, side = i / count, (0 if i in {0, count} else (1 if i % 2 else -1))
        points.append((x1 + (x2 - x1) * t + nx * side, y1 + (y2 - y1) * t + ny * side))
    start, *rest = points
    return Shape(outline=(("M", (start,)), *(("L", (p,)) for p in rest)), line=line)


def ticks(*lines: tuple[float, float, float, float], line: float = FINE, ink: str = INK) -> Shapes:
    return tuple(
        Shape(outline=(("M", ((x1, y1),)), ("L", ((x2, y2),))), line=line, ink=ink) for x1, y1, x2, y2 in lines
    )
