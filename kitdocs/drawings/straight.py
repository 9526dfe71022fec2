"""Whole instruments held like a pencil, lying down with the working end to the left."""

from __future__ import annotations

from kitdocs.drawings.drawing import GRIP, SHADE
from kitdocs.drawings.ends import End
from kitdocs.drawings.hinged import LYING
from kitdocs.drawings.outline import ribbon, scale, shift, smooth
from kitdocs.drawings.shape import Shape, Shapes, all_moved, ink_bounds, ticks

CANVAS_FOOT = 22.0


def whole_straight(end: End, length: float, width: float) -> Shapes:
    """Draw the instrument along y = 0; about `length` × `width`, the caller makes it exact."""
    real = end.real * length / 165
    left, top, right, _ = ink_bounds(end.shapes, 0)
    real = min(real, width / (right - left), 0.5 * length / (CANVAS_FOOT - top))
    start = (CANVAS_FOOT - top) * real
    lay = shift(0, -CANVAS_FOOT).then(scale(real)).then(LYING).then(shift(start, 0))
    laid = all_moved(end.shapes, lay)
    reach = (min(-left, right) * real, (right - left) * real)
    body = _slab if end.handle == "slab" else _pencil
    return (*laid, *body(start, length, _handle_half(end, real, width, reach), end.neck * real))


def _handle_half(end: End, real: float, width: float, reach: tuple[float, float]) -> float:
    """Return half the handle's width: 4 mm, or less where the instrument is narrower, or more where nothing else fills
    it."""
    if end.handle == "slab":
        return min(end.neck * real, width / 2)
    natural = min(4.0, width / 2)
    return max(natural, width / 2 if reach[1] < width * 0.6 and width <= 12 else natural)


def _pencil(start: float, length: float, half: float, neck: float) -> Shapes:
    neck = min(neck, half * 0.7)
    run = length - start
    spine = [
        (start - 1.5, 0, neck),
        (start + run * 0.06, 0, neck * 1.1),
        (start + run * 0.13, 0, half * 0.96),
        (start + run * 0.2, 0, half),
        (start + run * 0.6, 0, half * 0.98),
        (start + run * 0.9, 0, half * 0.96),
        (length - half * 0.9, 0, half * 0.9),
    ]
    body = Shape(outline=ribbon(spine), fill=SHADE)
    rings = [
        (start + run * t, -half * 0.8, start + run * t, half * 0.8)
        for t in (0.2, 0.225, 0.25, 0.275, 0.3, 0.325, 0.35, 0.86, 0.885)
    ]
    return (body, *ticks(*rings))


def _slab(start: float, length: float, half: float, _neck: float) -> Shapes:
    body = smooth(
        [
            (start - 1, -half, True),
            (length - half, -half, False),
            (length, 0, False),
            (length - half, half, False),
            (start - 1, half, True),
        ],
        closed=False,
    )
    return (Shape(outline=body, fill=GRIP),)
