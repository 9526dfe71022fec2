"""Paper folded round a box: flat outlines in millimetres, seen from above, the box's middle at (0, 0).

The box lies with its length from left to right; y runs towards the person. A sheet reaches up a side before it lies on
the top, so a corner that reaches r past an edge of the box comes r minus the height past that edge on the top. Bare
cover of the envelope fold needs half the sheet's diagonal to be (length + width) / 2 + height; what it has more is the
overlap of every corner (the derivation stands in ``planning/measures/wrap.py``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from kitdocs.drawings.outline import Point

Area = tuple[Point, ...]

TAB_MM = 45.0
"""How much of a corner's tip is turned back. Common practice, no source."""
TAPE_MM = 50.0
"""Shortest strip of tape. Source: *Techniques or procedures for preparing sterile packages*, "not less than 5 cm"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """A closed cassette and the square sheet that wraps it, in millimetres; `length` is the longest side, `height` the
    shortest. `strips` of tape close it, each `strip` long."""

    length: float
    width: float
    height: float
    side: float
    strips: int = 3
    strip: float = TAPE_MM

    @property
    def top(self) -> Area:
        """The upper side of the cassette, as the box is seen from above."""
        half_l, half_w = self.length / 2, self.width / 2
        return ((-half_l, -half_w), (half_l, -half_w), (half_l, half_w), (-half_l, half_w))

    @property
    def half_diagonal(self) -> float:
        return self.side / sqrt(2)

    @property
    def overlap(self) -> float:
        """How far each corner of the envelope fold reaches past bare cover; below 0 the sheet is too small."""
        return self.half_diagonal - (self.length + self.width) / 2 - self.height


@dataclass(frozen=True, slots=True, kw_only=True)
class Flap:
    """A part of the sheet folded over the box: `over` shows its outside, `tab` the inside of its tip turned back."""

    over: Area
    tab: Area = ()


def cut(area: Sequence[Point], axis: int, at: float, side: int) -> Area:
    """Return the part of a convex area on one side (-1 below, 1 above) of the line where coordinate `axis` is `at`."""
    found: list[Point] = []
    for here, there in zip(area, [*area[1:], *area[:1]], strict=True):
        inside, next_inside = ((p[axis] - at) * side >= 0 for p in (here, there))
        if inside:
            found.append(here)
        if inside != next_inside:
            share = (at - here[axis]) / (there[axis] - here[axis])
            found.append((here[0] + (there[0] - here[0]) * share, here[1] + (there[1] - here[1]) * share))
    return tuple(found)


def turned_back(area: Area, axis: int, crease: float, side: int, end: float) -> Flap:
    """Return an area whose part on one side of the crease is turned back over the rest, as far as `end` at most."""
    tip = cut(area, axis, crease, side)
    mirrored = tuple((x if axis else 2 * crease - x, 2 * crease - y if axis else y) for x, y in tip)
    return Flap(over=cut(area, axis, crease, -side), tab=cut(mirrored, axis, end, side))


# envelope fold: the sheet lies like a diamond ---------------------------------------------------------


def diamond(pack: Pack) -> Area:
    d = pack.half_diagonal
    return ((0.0, -d), (d, 0.0), (0.0, d), (-d, 0.0))


def near_corner(pack: Pack) -> Area:
    """Return the near corner, folded over the top and not yet turned back: a triangle on the near edge."""
    edge = pack.width / 2
    reach = pack.half_diagonal - edge - pack.height
    return ((-reach, edge), (reach, edge), (0.0, edge - reach))


def left_corner(pack: Pack) -> Area:
    """Return the left corner, folded after the near one: its near side runs along the near edge."""
    edge = -pack.length / 2
    reach = pack.half_diagonal - pack.length / 2 - pack.height
    near = pack.width / 2
    return ((edge, -reach), (edge + reach, 0.0), (edge + reach - near, near), (edge, near))


def far_corner(pack: Pack) -> Area:
    """Return the far corner, folded last: as wide as the box until its slanting sides begin."""
    edge, half = -pack.width / 2, pack.length / 2
    reach = pack.half_diagonal - pack.width / 2 - pack.height
    return ((-half, edge), (half, edge), (half, edge + reach - half), (0.0, edge + reach), (-half, edge + reach - half))


def near_flap(pack: Pack) -> Flap:
    area, edge = near_corner(pack), pack.width / 2
    crease = max(area[2][1] + _tab(edge - area[2][1]), -edge * 0.86)
    return turned_back(area, 1, crease, -1, edge * 0.7)


def left_flap(pack: Pack) -> Flap:
    area, edge = left_corner(pack), pack.length / 2
    crease = min(area[1][0] - _tab(area[1][0] + edge), edge * 0.86)
    return turned_back(area, 0, crease, 1, -edge * 0.7)


def far_flap(pack: Pack) -> Flap:
    """Return the far corner with its tip tucked in under the others, so that nothing of the inside shows."""
    area = far_corner(pack)
    return Flap(over=cut(area, 1, closing(pack), -1))


def closing(pack: Pack) -> float:
    """Return the y of the line along which the last corner is tucked in."""
    edge = pack.width / 2
    tip = far_corner(pack)[3][1]
    return min(tip - _tab(tip + edge), edge * 0.8)


def _tab(reach: float) -> float:
    return min(TAB_MM, reach * 0.4)


# parcel fold: the sheet lies edge to edge ---------------------------------------------------------------


def square(pack: Pack) -> Area:
    half = pack.side / 2
    return ((-half, -half), (half, -half), (half, half), (-half, half))


def near_side(pack: Pack) -> Flap:
    """Return the near half of the sheet over the box from end to end, its edge turned back."""
    edge, half = pack.width / 2, pack.side / 2
    reach = half - edge - pack.height
    area = ((-half, edge), (half, edge), (half, edge - reach), (-half, edge - reach))
    crease = max(edge - reach + _tab(reach) / 2, -edge * 0.86)
    return turned_back(area, 1, crease, -1, edge * 0.7)


def far_side(pack: Pack) -> Flap:
    """Return the far half, like the near one; its edge is the one that shows."""
    near = near_side(pack)
    return Flap(over=_flipped(near.over), tab=_flipped(near.tab))


def left_end(pack: Pack) -> Flap:
    """Return the left end, its corners folded in to a point, over the top."""
    edge, half = pack.length / 2, pack.width / 2
    reach = min(pack.side / 2 - edge - pack.height, 1.8 * edge)
    straight = max(reach - half, 0.0)
    blunt = max(half - reach, 0.0)
    return Flap(
        over=(
            (-edge, -half),
            (-edge + straight, -half),
            (-edge + reach, -blunt),
            (-edge + reach, blunt),
            (-edge + straight, half),
            (-edge, half),
        )
    )


def _flipped(area: Area) -> Area:
    return tuple((x, -y) for x, y in area)


def mirrored(flap: Flap) -> Flap:
    """Left for right."""
    return Flap(over=tuple((-x, y) for x, y in flap.over), tab=tuple((-x, y) for x, y in flap.tab))


def within(flap: Flap, *cuts: tuple[int, float, int]) -> Flap:
    """Return the part of a flap inside of the cuts: (axis, at, side) as in `cut`."""
    over, tab = flap.over, flap.tab
    for axis, at, side in cuts:
        over, tab = cut(over, axis, at, side), cut(tab, axis, at, side)
    return Flap(over=over, tab=tab)
