"""Whole hinged instruments: head, joint and handles, lying down with the tip to the left."""

from __future__ import annotations

from kitdocs.drawings.drawing import SHADE
from kitdocs.drawings.head import Head
from kitdocs.drawings.outline import Affine, ellipse, path, ribbon, scale, shift
from kitdocs.drawings.shape import FINE, Shape, Shapes, all_moved, metal, stroke

LYING = Affine(a=0.0, b=-1.0, c=1.0, d=0.0)
"""Turns what points up into what points left."""
ACROSS = Affine(d=-1.0)
"""Upper for lower, about the long axis."""


def whole_hinged(head: Head, length: float, width: float) -> Shapes:
    """The instrument with its long axis on y = 0; about `length` × `width`, the caller makes it exact."""
    real = head.real * length / 140
    head_shapes = (*head.beaks, *head.joint)
    top = min(point[1] for shape in head_shapes for _, points in shape.outline for point in points)
    joint_x = (head.centre - top) * real
    lay = shift(0, -head.centre).then(scale(real)).then(LYING).then(shift(joint_x, 0))
    front = all_moved(head_shapes, lay)
    handles = {"plier": _plier, "rings": _rings, "bows": _bows, "palm": _palm}[head.handles]
    lower = handles(joint_x, length, width / 2, real)
    return (*lower, *all_moved(lower, ACROSS), *front)


def _plier(joint: float, length: float, half: float, real: float) -> Shapes:
    run = length - joint
    thick = min(3.6 * length / 140, half / 2.2)
    far = half - thick
    spine = [
        (joint + 0.4 * real, 0.4 * real, thick * 0.6),
        (joint + run * 0.08, far * 0.26, thick * 0.85),
        (joint + run * 0.22, far * 0.66, thick * 0.95),
        (joint + run * 0.42, far * 0.95, thick),
        (joint + run * 0.6, far, thick * 1.02),
        (joint + run * 0.8, far * 0.9, thick),
        (length - thick * 0.9, far * 0.74, thick * 0.85),
    ]
    return (Shape(outline=ribbon(spine), fill=SHADE),)


def _bows(joint: float, length: float, half: float, real: float) -> Shapes:
    """Slim shanks that run to finger rings."""
    run = length - joint
    ring = min(half * 0.5, run * 0.2, 12.5 * length / 125)
    long_ring = ring * 1.18
    cx, cy = length - long_ring, half - ring
    thin = min(2.0 * length / 140, ring * 0.3)
    shank = ribbon(
        [
            (joint, 0.35 * real, thin * 1.15),
            (joint + run * 0.25, cy * 0.36, thin * 1.05),
            (joint + run * 0.5, cy * 0.68, thin),
            (cx - long_ring * 1.15, cy * 0.9 - ring * 0.12, thin),
            (cx - long_ring * 0.72, cy - ring * 0.5, thin * 0.95),
        ]
    )
    bow = ellipse(cx, cy, long_ring, ring) + ellipse(cx, cy, long_ring - 1.7 * thin, ring - 1.7 * thin)
    return (Shape(outline=shank, fill=SHADE), Shape(outline=bow, fill=SHADE))


def _rings(joint: float, length: float, half: float, real: float) -> Shapes:
    """Bows with a ratchet between the shanks."""
    at = joint + (length - joint) * 0.57
    reach = half * 0.36
    bar = path(f"M{at} {reach} L{at + 0.3} -0.6 L{at + 2.4} -0.6 L{at + 2.6} {reach} Z")
    cuts = [stroke(path(f"M{at + 0.4} {y} H{at + 2.3}"), FINE) for y in (0.6, 1.5, 2.4, 3.3) if y < reach - 1]
    return (metal(bar), *cuts, *_bows(joint, length, half, real))


def _palm(joint: float, length: float, half: float, real: float) -> Shapes:
    run = length - joint
    thick = min(2.6 * length / 140, half / 3)
    far = half - thick
    spine = [
        (joint + 0.2 * real, 0.5 * real, thick * 0.8),
        (joint + run * 0.1, far * 0.42, thick * 0.95),
        (joint + run * 0.26, far * 0.82, thick),
        (joint + run * 0.45, far, thick * 1.05),
        (joint + run * 0.65, far * 0.92, thick),
        (joint + run * 0.83, far * 0.55, thick * 0.9),
        (length - thick * 2.2, far * 0.2, thick * 0.75),
        (length - thick * 0.7, far * 0.2, thick * 0.7),
    ]
    spring = ribbon(
        [
            (joint + run * 0.2, far * 0.62, 0.55),
            (joint + run * 0.33, far * 0.36, 0.5),
            (joint + run * 0.47, 0.5, 0.45),
        ]
    )
    teeth = [stroke(path(f"M{length - thick * (2.6 - 0.45 * i)} 0 V{far * 0.2}"), FINE) for i in range(4)]
    return (Shape(outline=spring, fill=SHADE), *teeth, Shape(outline=ribbon(spine), fill=SHADE))
