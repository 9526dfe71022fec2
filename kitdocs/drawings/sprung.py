"""Tweezers: two sprung arms joined at the far end."""

from __future__ import annotations

from kitdocs.drawings.drawing import SHADE
from kitdocs.drawings.hinged import ACROSS
from kitdocs.drawings.outline import ellipse, path, ribbon
from kitdocs.drawings.shape import Shape, Shapes, all_moved, black, metal, shade, ticks


def cotton_plier_tip() -> Shapes:
    """Draw two fine arms that bend to one side together and are serrated where they meet."""
    left = shade(ribbon([(-4.6, 22.6, 0.95), (-3.5, 17, 0.9), (-1.9, 12.2, 0.85), (1.2, 7, 0.75), (5.1, 1.5, 0.45)]))
    right = metal(ribbon([(2.6, 22.6, 0.95), (1.9, 17.6, 0.9), (1.8, 13, 0.85), (3.2, 7.8, 0.75), (6.1, 2.1, 0.45)]))
    grooves = ticks(
        *((x - 0.75, y - 0.5, x + 0.85, y + 0.55) for x, y in ((4.75, 3), (4.2, 3.95), (3.65, 4.9), (3.1, 5.85))),
        line=0.5,
    )
    return (left, right, *grooves)


def bracket_holder_tip() -> Shapes:
    """Draw arms that cross, so that they open when squeezed; fine square-ended points."""
    a = ribbon([(5.2, 22.6, 1.1), (3.6, 18.4, 1.1), (0, 13.6, 1.0), (-1.5, 9.6, 0.8), (-1, 3.4, 0.5)], cap="flat")
    b = ribbon([(-5.2, 22.6, 1.1), (-3.6, 18.4, 1.1), (0, 13.6, 1.0), (1.5, 9.6, 0.8), (1, 3.4, 0.5)], cap="flat")
    pads = path("M-1.7 1 H-0.2 V4.4 H-1.7 Z"), path("M0.2 1 H1.7 V4.4 H0.2 Z")
    return (shade(a), metal(b), *(black(p) for p in pads))


def tube_holder_tip() -> Shapes:
    """Draw arms that cross, with points bent far to one side, to reach the back teeth; cupped ends hold the tube."""
    a = ribbon(
        [(2.6, 22.6, 1.1), (0.6, 18.6, 1.1), (-3.6, 14.2, 1.0), (-4.6, 9.6, 0.85), (-2.6, 5.4, 0.75), (2.4, 3.4, 0.6)]
    )
    b = ribbon(
        [(-7.4, 22.6, 1.1), (-5.8, 18.6, 1.1), (-2.6, 14.2, 1.0), (-1.8, 11, 0.85), (-0.2, 8.4, 0.75), (3, 6.8, 0.6)]
    )
    jaws = (
        path("M1.8 2.3 L6.2 1.3 C7.4 2 7.6 3.2 7 4.2 L4.6 4 L2.4 4.7 Z"),
        path("M2.6 5.6 L4.9 5.6 L7.2 5.2 C8 6.2 8 7.4 7.2 8.3 L3 8.2 Z"),
    )
    return (shade(a), metal(b), *(black(jaw) for jaw in jaws))


def whole_cotton_plier(length: float, width: float) -> Shapes:
    """Draw the side view: the arms meet at both ends; the points bend upwards."""
    thin = min(1.1, width / 8)
    bend = length * 0.2
    low = width / 2 - thin
    lower = ribbon(
        [
            (thin, -low, thin * 0.4),
            (bend * 0.5, -low * 0.35, thin * 0.75),
            (bend, low * 0.3, thin * 0.95),
            (length * 0.42, low * 0.95, thin),
            (length * 0.62, low, thin),
            (length * 0.85, low * 0.55, thin),
            (length - thin * 2, low * 0.2, thin),
        ]
    )
    upper = ribbon(
        [
            (thin * 2.2, -low * 0.98, thin * 0.4),
            (bend * 0.6, -low * 0.4, thin * 0.75),
            (bend * 1.15, 0, thin * 0.95),
            (length * 0.42, -low * 0.55, thin),
            (length * 0.62, -low * 0.6, thin),
            (length * 0.85, -low * 0.25, thin),
            (length - thin * 2, low * 0.2, thin),
        ]
    )
    ribs = ticks(
        *((length * t, low * 0.99 - thin, length * t, low * 0.99 + thin) for t in (0.46, 0.48, 0.5, 0.52, 0.54, 0.56))
    )
    return (Shape(outline=lower, fill=SHADE), metal(upper), *ribs)


def whole_bracket_holder(length: float, width: float) -> Shapes:
    """Draw arms that cross behind the points and bow apart under round finger rests."""
    thin = min(1.2, width / 8)
    far = width / 2 - thin
    arm = ribbon(
        [
            (0.4, -0.8, thin * 0.5),
            (length * 0.08, -1.4, thin * 0.75),
            (length * 0.15, -0.9, thin),
            (length * 0.21, far * 0.3, thin),
            (length * 0.34, far * 0.9, thin),
            *_bow(length, far, thin),
        ]
    )
    rest = ellipse(length * 0.46, far * 0.98, min(5.0, length / 28), thin)
    one = (Shape(outline=arm, fill=SHADE), metal(rest))
    point = black(path(f"M0 -1.5 H{length * 0.03:.2f} V-0.25 H0 Z"))
    return (*one, *all_moved(one, ACROSS), point, *all_moved((point,), ACROSS))


def whole_tube_holder(length: float, width: float) -> Shapes:
    """Draw a bracket holder whose points are bent to one side."""
    thin = min(1.2, width / 8)
    far = width / 2 - thin
    upper = ribbon(
        [
            (0.6, -far, thin * 0.6),
            (length * 0.05, -far * 0.5, thin * 0.8),
            (length * 0.12, far * 0.1, thin),
            (length * 0.2, far * 0.4, thin),
            (length * 0.34, far * 0.9, thin),
            *_bow(length, far, thin),
        ]
    )
    lower = ribbon(
        [
            (3.2, -far, thin * 0.6),
            (length * 0.07, -far * 0.6, thin * 0.8),
            (length * 0.13, -far * 0.1, thin),
            (length * 0.2, -far * 0.5, thin),
            (length * 0.34, -far * 0.95, thin),
            *_bow(length, -far, thin),
        ]
    )
    rests = tuple(ellipse(length * 0.46, y, min(5.0, length / 28), thin) for y in (far * 0.98, -far * 0.98))
    jaws = (
        ribbon([(length * 0.028, -far * 0.74, thin * 0.85), (-0.6, -far * 1.15, thin * 0.8)], cap="flat"),
        ribbon([(length * 0.044, -far * 0.84, thin * 0.85), (2.6, -far * 1.25, thin * 0.8)], cap="flat"),
    )
    arms = (Shape(outline=upper, fill=SHADE), Shape(outline=lower, fill=SHADE))
    return (*arms, *(metal(rest) for rest in rests), *(black(jaw) for jaw in jaws))


def _bow(length: float, far: float, thin: float) -> list[tuple[float, float, float]]:
    """Return how an arm runs from under the finger rests to where both meet: for `ribbon`."""
    return [
        (length * 0.5, far, thin),
        (length * 0.72, far * 0.75, thin),
        (length * 0.9, far * 0.25, thin),
        (length - thin, far * 0.08, thin),
    ]
