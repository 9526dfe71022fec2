"""Whole hinged instruments: head, joint and handles, lying down with the tip to the left, closed or open.

Two levers cross at the joint: the upper jaw and the lower handle are one, the lower jaw and the upper handle the other.
To open the instrument is to turn both about the joint, away from each other.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, fsum, sin

from kitdocs.drawings.drawing import SHADE
from kitdocs.drawings.heads import Head
from kitdocs.drawings.outline import Affine, bounds, ellipse, path, ribbon, sampled, scale, shift, turn
from kitdocs.drawings.shape import FINE, Shape, Shapes, all_moved, metal, stroke

LYING = Affine(a=0.0, b=-1.0, c=1.0, d=0.0)
"""Turns what points up into what points left."""
ACROSS = Affine(d=-1.0)
"""Upper for lower, about the long axis."""


@dataclass(frozen=True, slots=True)
class Levers:
    """The shapes of a hinged instrument, back to front, and the lever that each belongs to.

    1 for the lever of the upper jaw, -1 for that of the lower jaw, 0 for what stays when the levers turn.
    """

    shapes: Shapes
    levers: tuple[int, ...]
    joint: tuple[float, float]

    def moved(self, by: Affine) -> Levers:
        return Levers(all_moved(self.shapes, by), self.levers, by(self.joint))

    def opened(self, degrees: float) -> Levers:
        """Return both levers turned by so many degrees, away from each other."""
        turned = (
            shape.moved(turn(degrees * lever, self.joint))
            for shape, lever in zip(self.shapes, self.levers, strict=True)
        )
        return Levers(tuple(turned), self.levers, self.joint)


def levers_of(head: Head, length: float, width: float) -> Levers:
    """Return the closed instrument with its long axis on y = 0; about `length` × `width`, the caller makes it exact."""
    real = head.real * length / 140
    head_shapes = (*head.beaks, *head.joint)
    top = min(point[1] for shape in head_shapes for _, points in shape.outline for point in points)
    joint_x = (head.centre - top) * real
    lay = shift(0, -head.centre).then(scale(real)).then(LYING).then(shift(joint_x, 0))
    front = all_moved(head_shapes, lay)
    jaws = [0 if head.jaws_stay else _side(shape) for shape in head.beaks]
    handles = {"plier": _plier, "rings": _rings, "bows": _bows, "palm": _palm}[head.handles]
    lower = handles(joint_x, length, width / 2, real)
    return Levers(
        shapes=(*lower, *all_moved(lower, ACROSS), *front),
        levers=(*(1 for _ in lower), *(-1 for _ in lower), *jaws, *(0 for _ in head.joint)),
        joint=(joint_x, 0.0),
    )


def _side(shape: Shape) -> int:
    """Return the side of the axis to which a part of the head belongs: 1 for the right, which is the upper jaw when
    lying.

    Of a part that bends over the axis, where it comes from the joint tells more than where it is.
    """
    left, _, right, _ = bounds([shape.outline])
    middle = (left + right) / 2
    root = [points[-1][0] for _, points in shape.outline if points and points[-1][1] >= _ROOT]
    if root and abs(middle) <= _OVER_THE_AXIS:
        middle = fsum(root) / len(root)
    return 0 if abs(middle) < _ON_THE_AXIS else 1 if middle > 0 else -1


_ROOT = 15.0
"""From here downwards, on the canvas of a tip, a beak is near its joint."""
_OVER_THE_AXIS = 1.5
"""A part whose middle is nearer the axis than this bends over it."""
_ON_THE_AXIS = 0.2
"""Nearer the axis than this, a part belongs to neither side."""


def _plier(joint: float, length: float, half: float, real: float) -> Shapes:
    run = length - joint
    thick = min(3.6 * length / 140, half / 2.2)
    far = half - thick
    curve = (
        (joint + 0.4 * real, 0.5 * real),
        (joint + run * 0.24, far * 0.86),
        (joint + run * 0.5, far * 1.5),
        (length - thick, far * 0.7),
    )
    widths = [thick * k for k in (0.62, 0.86, 1.0, 1.04, 1.02, 0.98, 0.9)]
    return (Shape(outline=ribbon(sampled(curve, widths)), fill=SHADE),)


def _bows(joint: float, length: float, half: float, real: float) -> Shapes:
    """Draw slim shanks that run to finger rings."""
    run = length - joint
    ring = min(half * 0.5, run * 0.2, 12.5 * length / 125)
    long_ring = ring * 1.18
    cx, cy = length - long_ring, half - ring
    thin = min(2.0 * length / 140, ring * 0.3)
    band = 0.85 * thin
    root = (cx - (long_ring - band) * cos(0.6), cy - (ring - band) * sin(0.6))
    curve = ((joint, 0.35 * real), (joint + run * 0.3, cy * 0.42), (joint + run * 0.5, cy * 0.98), root)
    shank = ribbon(sampled(curve, [thin * k for k in (1.2, 1.05, 1.0, 1.0, 0.7)]), cap="flat")
    bow = ellipse(cx, cy, long_ring, ring) + ellipse(cx, cy, long_ring - 1.7 * thin, ring - 1.7 * thin)
    return (Shape(outline=shank, fill=SHADE), Shape(outline=bow, fill=SHADE))


def _rings(joint: float, length: float, half: float, real: float) -> Shapes:
    """Draw bows with a ratchet between the shanks."""
    at = joint + (length - joint) * 0.57
    reach = half * 0.36
    bar = path(f"M{at} {reach} L{at + 0.3} -0.6 L{at + 2.4} -0.6 L{at + 2.6} {reach} Z")
    cuts = [stroke(path(f"M{at + 0.4} {y} H{at + 2.3}"), FINE) for y in (0.6, 1.5, 2.4, 3.3) if y < reach - 1]
    return (metal(bar), *cuts, *_bows(joint, length, half, real))


def _palm(joint: float, length: float, half: float, real: float) -> Shapes:
    run = length - joint
    thick = min(2.6 * length / 140, half / 3)
    far = half - thick
    curve = (
        (joint + 0.2 * real, 0.5 * real),
        (joint + run * 0.2, far * 1.3),
        (joint + run * 0.62, far * 1.55),
        (length - thick * 2.6, far * 0.22),
    )
    widths = [thick * k for k in (0.8, 0.95, 1.02, 1.05, 1.0, 0.85, 0.75)]
    spine = [*sampled(curve, widths), (length - thick * 0.7, far * 0.18, thick * 0.75)]
    x, y, _ = spine[3]
    spring = ribbon([(x, y, 0.55), ((x + joint + run * 0.47) / 2, y * 0.52, 0.5), (joint + run * 0.47, 0.5, 0.45)])
    teeth = [stroke(path(f"M{length - thick * (2.6 - 0.45 * i)} 0 V{far * 0.2}"), FINE) for i in range(4)]
    return (Shape(outline=spring, fill=SHADE), *teeth, Shape(outline=ribbon(spine), fill=SHADE))
