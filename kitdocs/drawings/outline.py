"""Outlines: lines and Bézier curves that can be moved, turned, mirrored, stretched and measured."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import cos, fsum, hypot, radians, sin, sqrt

from kitdocs.drawings.drawing import number

Point = tuple[float, float]
Segment = tuple[str, tuple[Point, ...]]
Outline = tuple[Segment, ...]
"""SVG's own M, L, C and Z, with absolute coordinates."""

_TOKEN = re.compile(r"[MLHVCQZ]|-?\d*\.?\d+")
_ARITY = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "Q": 4}
QUARTER = 4 / 3 * (sqrt(2) - 1)
"""Control arm of a cubic curve that stands for a quarter of a unit circle."""


@dataclass(frozen=True, slots=True)
class Affine:
    """x' = a·x + c·y + e, y' = b·x + d·y + f."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def __call__(self, point: Point) -> Point:
        x, y = point
        return (self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f)

    def then(self, after: Affine) -> Affine:
        """This, followed by another, as one."""
        e, f = after((self.e, self.f))
        return Affine(
            a=after.a * self.a + after.c * self.b,
            b=after.b * self.a + after.d * self.b,
            c=after.a * self.c + after.c * self.d,
            d=after.b * self.c + after.d * self.d,
            e=e,
            f=f,
        )


MIRROR = Affine(a=-1.0)
"""Left for right about the upright axis x = 0."""


def shift(x: float, y: float) -> Affine:
    return Affine(e=x, f=y)


def scale(x: float, y: float | None = None) -> Affine:
    return Affine(a=x, d=x if y is None else y)


def turn(degrees: float, about: Point = (0.0, 0.0)) -> Affine:
    """Return a turn, clockwise on the page, as y runs downwards."""
    c, s = cos(radians(degrees)), sin(radians(degrees))
    x, y = about
    return Affine(a=c, b=s, c=-s, d=c, e=x - c * x + s * y, f=y - s * x - c * y)


def moved(outline: Outline, by: Affine) -> Outline:
    return tuple((letter, tuple(by(p) for p in points)) for letter, points in outline)


def path(d: str) -> Outline:
    """Return SVG path text with absolute M L H V C Q Z."""
    found: list[Segment] = []
    tokens = _TOKEN.findall(d)
    at, letter, here = 0, "M", (0.0, 0.0)
    while at < len(tokens):
        if tokens[at].isalpha():
            letter = tokens[at]
            at += 1
        if letter == "Z":
            found.append(("Z", ()))
            continue
        numbers = [float(t) for t in tokens[at : at + _ARITY[letter]]]
        at += _ARITY[letter]
        segment = _segment(letter, numbers, here)
        found.append(segment)
        here = segment[1][-1]
        letter = "L" if letter == "M" else letter
    return tuple(found)


def _segment(letter: str, numbers: Sequence[float], here: Point) -> Segment:
    if letter == "H":
        return ("L", ((numbers[0], here[1]),))
    if letter == "V":
        return ("L", ((here[0], numbers[0]),))
    points = tuple(zip(numbers[::2], numbers[1::2], strict=True))
    if letter == "Q":
        (qx, qy), end = points
        first = (here[0] + 2 / 3 * (qx - here[0]), here[1] + 2 / 3 * (qy - here[1]))
        second = (end[0] + 2 / 3 * (qx - end[0]), end[1] + 2 / 3 * (qy - end[1]))
        return ("C", (first, second, end))
    return (letter, points)


def ellipse(x: float, y: float, rx: float, ry: float | None = None) -> Outline:
    ry = rx if ry is None else ry
    k, h = rx * QUARTER, ry * QUARTER
    return (
        ("M", ((x + rx, y),)),
        ("C", ((x + rx, y + h), (x + k, y + ry), (x, y + ry))),
        ("C", ((x - k, y + ry), (x - rx, y + h), (x - rx, y))),
        ("C", ((x - rx, y - h), (x - k, y - ry), (x, y - ry))),
        ("C", ((x + k, y - ry), (x + rx, y - h), (x + rx, y))),
        ("Z", ()),
    )


def polygon(points: Iterable[Point]) -> Outline:
    first, *rest = points
    return (("M", (first,)), *(("L", (p,)) for p in rest), ("Z", ()))


def smooth(points: str | Sequence[tuple[float, float, bool]], *, closed: bool = True) -> Outline:
    """Return a curve through points: "x,y" is passed smoothly, "x,y!" is a corner. Two corners in a row give a straight
    line."""
    knots = _knots(points) if isinstance(points, str) else list(points)
    count = len(knots)
    found: list[Segment] = [("M", (knots[0][:2],))]
    for i in range(count if closed else count - 1):
        j = (i + 1) % count
        found.append(_span(knots, i, j, closed=closed))
    if closed:
        found.append(("Z", ()))
    return tuple(found)


def _knots(points: str) -> list[tuple[float, float, bool]]:
    found = []
    for token in points.split():
        x, y = token.rstrip("!").split(",")
        found.append((float(x), float(y), token.endswith("!")))
    return found


def _span(knots: Sequence[tuple[float, float, bool]], i: int, j: int, *, closed: bool) -> Segment:
    start, end = knots[i][:2], knots[j][:2]
    reach = hypot(end[0] - start[0], end[1] - start[1]) / 3
    leaving, arriving = _heading(knots, i, closed=closed), _heading(knots, j, closed=closed)
    if leaving is None and arriving is None:
        return ("L", (end,))
    first = None if leaving is None else (start[0] + leaving[0] * reach, start[1] + leaving[1] * reach)
    second = None if arriving is None else (end[0] - arriving[0] * reach, end[1] - arriving[1] * reach)
    if first is None and second is not None:
        first = ((start[0] + second[0]) / 2, (start[1] + second[1]) / 2)
    if second is None and first is not None:
        second = ((end[0] + first[0]) / 2, (end[1] + first[1]) / 2)
    assert first is not None and second is not None
    return ("C", (first, second, end))


def _heading(knots: Sequence[tuple[float, float, bool]], i: int, *, closed: bool) -> Point | None:
    """Return the unit direction in which the curve passes a point; None at a corner or an open end."""
    if knots[i][2] or (not closed and i in {0, len(knots) - 1}):
        return None
    before, after = knots[i - 1], knots[(i + 1) % len(knots)]
    dx, dy = after[0] - before[0], after[1] - before[1]
    size = hypot(dx, dy) or 1.0
    return (dx / size, dy / size)


def sampled(curve: tuple[Point, Point, Point, Point], halves: Sequence[float]) -> list[tuple[float, float, float]]:
    """Return a spine for `ribbon` along one cubic Bézier curve, with the half widths evenly spread over it."""
    spine = []
    count = 12
    for i in range(count + 1):
        t = i / count
        weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        x, y = (fsum(w * p[axis] for w, p in zip(weights, curve, strict=True)) for axis in (0, 1))
        at = t * (len(halves) - 1)
        low = min(int(at), len(halves) - 2)
        spine.append((x, y, halves[low] + (halves[low + 1] - halves[low]) * (at - low)))
    return spine


def ribbon(spine: Sequence[tuple[float, float, float]], *, cap: str = "round") -> Outline:
    """Return a band along a smooth spine of (x, y, half width); the far end round, flat or pointed."""
    left: list[tuple[float, float, bool]] = []
    right: list[tuple[float, float, bool]] = []
    for i, (x, y, half) in enumerate(spine):
        before, after = spine[max(i - 1, 0)], spine[min(i + 1, len(spine) - 1)]
        dx, dy = after[0] - before[0], after[1] - before[1]
        size = hypot(dx, dy) or 1.0
        nx, ny = -dy / size * half, dx / size * half
        corner = i == 0 or (i == len(spine) - 1 and cap != "round")
        left.append((x + nx, y + ny, corner))
        right.append((x - nx, y - ny, corner))
    x, y, half = spine[-1]
    px, py, _ = spine[-2]
    size = hypot(x - px, y - py) or 1.0
    ends = [] if cap == "flat" else [(x + (x - px) / size * half, y + (y - py) / size * half, cap == "point")]
    return smooth([*left, *ends, *reversed(right)])


def data(outline: Outline) -> str:
    """Return the `d` of an SVG path element."""
    return "".join(letter + " ".join(f"{number(x)} {number(y)}" for x, y in points) for letter, points in outline)


def bounds(outlines: Iterable[Outline]) -> tuple[float, float, float, float]:
    """Return left, top, right, bottom of the curves themselves (not of their control points), without stroke."""
    xs: list[float] = []
    ys: list[float] = []
    for outline in outlines:
        here = (0.0, 0.0)
        for letter, points in outline:
            if not points:
                continue
            xs.append(points[-1][0])
            ys.append(points[-1][1])
            if letter == "C":
                xs += _turning(here[0], points[0][0], points[1][0], points[2][0])
                ys += _turning(here[1], points[0][1], points[1][1], points[2][1])
            here = points[-1]
    return (min(xs), min(ys), max(xs), max(ys))


def _turning(p0: float, p1: float, p2: float, p3: float) -> list[float]:
    """Return the values of a cubic Bézier coordinate where its derivative is zero."""
    a, b, c = -p0 + 3 * p1 - 3 * p2 + p3, 2 * (p0 - 2 * p1 + p2), p1 - p0
    if abs(a) < 1e-12:
        roots = [] if abs(b) < 1e-12 else [-c / b]
    else:
        under = b * b - 4 * a * c
        roots = [] if under < 0 else [(-b + sqrt(under)) / (2 * a), (-b - sqrt(under)) / (2 * a)]
    return [
        p0 * (1 - t) ** 3 + 3 * p1 * t * (1 - t) ** 2 + 3 * p2 * t * t * (1 - t) + p3 * t**3 for t in roots if 0 < t < 1
    ]
