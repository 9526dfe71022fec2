"""A wrapped pack, a little from above and from its end: where the strips of tape go, and where the end label."""

from __future__ import annotations

from collections.abc import Sequence

from kitdocs.drawings.drawing import INK, WHITE, Drawing
from kitdocs.drawings.fold import Area, Flap, Pack, cut, within
from kitdocs.drawings.outline import Affine, Point, path, polygon, scale, shift
from kitdocs.drawings.scene import INSIDE, LINE, OUTSIDE, STEP_HEIGHT_MM, STEP_WIDTH_MM, arrow, picture
from kitdocs.drawings.shape import Shape, Shapes

_FRONT = "#bcbcc0"
_END = "#a2a2a8"
_TAPE_WIDTH_MM = 19.0
"""A common width of indicator tape, 3/4 in. From memory."""
_DEPTH = (0.75, 0.55)
"""How far one millimetre of height goes to the right and down in the picture."""
_ROOM = (54.0, 42.0)


def wrapped_pack(pack: Pack, flaps: Sequence[Flap], last: Area = ()) -> Drawing:
    """Draw the finished pack: the flaps on its top, tape across the edge of the `last` area or, without one, across the
    middle line, and the label on the right end."""
    right, down = (pack.height * k for k in _DEPTH)
    size = min(_ROOM[0] / (pack.length + right), _ROOM[1] / (pack.width + down))
    middle = (STEP_WIDTH_MM - right * size) / 2, (STEP_HEIGHT_MM - down * size) / 2 + 1.5
    lay = scale(size).then(shift(*middle))
    half_l, half_w = pack.length / 2, pack.width / 2
    on_top = ((0, -half_l, 1), (0, half_l, -1), (1, -half_w, 1), (1, half_w, -1))
    found = (
        *_faces(pack, lay),
        _shape(pack.top, OUTSIDE, lay),
        *(s for flap in flaps for s in _flap(within(flap, *on_top), lay)),
        *(s for x in _places(pack) for s in _tape(pack, last, x, lay)),
        *_label(pack, lay),
    )
    return picture(found)


def _faces(pack: Pack, lay: Affine) -> Shapes:
    half_l, half_w = pack.length / 2, pack.width / 2
    right, down = (pack.height * k for k in _DEPTH)
    front = ((-half_l, half_w), (half_l, half_w), (half_l + right, half_w + down), (-half_l + right, half_w + down))
    end = ((half_l, -half_w), (half_l + right, -half_w + down), (half_l + right, half_w + down), (half_l, half_w))
    return (_shape(front, _FRONT, lay), _shape(end, _END, lay))


def _flap(flap: Flap, lay: Affine) -> Shapes:
    shown = ((flap.over, OUTSIDE), (flap.tab, INSIDE))
    return tuple(_shape(area, fill, lay) for area, fill in shown if len(area) >= 3)


def _places(pack: Pack) -> list[float]:
    """Return where the strips go along the length: evenly, as far from the ends as from each other."""
    return [pack.length * ((i + 1) / (pack.strips + 1) - 0.5) for i in range(pack.strips)]


def _tape(pack: Pack, last: Area, x: float, lay: Affine) -> Shapes:
    """Draw one strip over the edge of the last flap, half on either side of it, on over the near edge where it is
    longer."""
    edge, half_w = _edge(last, x, pack.width / 2), pack.width / 2
    wide = min(_TAPE_WIDTH_MM, 0.6 * pack.length / (pack.strips + 1)) / 2
    left, right, foot = x - wide, x + wide, edge + pack.strip / 2
    top, end = max(edge - pack.strip / 2, -half_w), min(foot, half_w)
    found = _striped(((left, top), (right, top), (right, end), (left, end)), lay)
    over = min(foot - half_w, pack.height) / pack.height
    if over <= 0:
        return found
    dx, dy = (pack.height * k * over for k in _DEPTH)
    front = ((left, half_w), (right, half_w), (right + dx, half_w + dy), (left + dx, half_w + dy))
    return (*found, *_striped(front, lay))


def _edge(last: Area, x: float, near: float) -> float:
    """Return the y at which the last area ends at x; 0 where there is none."""
    column = cut(cut(last, 0, x - 0.5, 1), 0, x + 0.5, -1)
    return min(max((y for _, y in column), default=0.0), near)


def _striped(area: Area, lay: Affine) -> Shapes:
    """Draw a strip with the slanting lines of an external indicator."""
    (x1, y1), (x2, _), (x3, y3), (x4, _) = area
    count = max(round((y3 - y1) / 14), 1)
    lines = []
    for i in range(count):
        a, b = (i + 0.25) / count, (i + 0.75) / count
        start, end = lay((x1 + (x4 - x1) * b, y1 + (y3 - y1) * b)), lay((x2 + (x3 - x2) * a, y1 + (y3 - y1) * a))
        lines.append(Shape(outline=path(f"M{start[0]} {start[1]} L{end[0]} {end[1]}"), line=0.3))
    return (_shape(area, WHITE, lay), *lines)


def _label(pack: Pack, lay: Affine) -> Shapes:
    """Draw the end label on the right end, and an arrow to it."""
    right, down = (pack.height * k for k in _DEPTH)
    half_l, half_w = pack.length / 2, pack.width / 2

    def at(along: float, deep: float) -> Point:
        return (half_l + right * deep, half_w * along + down * deep)

    label = (at(-0.5, 0.14), at(-0.5, 0.86), at(0.5, 0.86), at(0.5, 0.14))
    words = (at(-0.36, 0.38), at(-0.36, 0.62), at(0.1, 0.62), at(0.1, 0.38))
    x, y = lay(at(-0.5, 0.5))
    start = min(x + 4.5, STEP_WIDTH_MM - 1.2)
    shown = arrow(start, y - 10.5, min(x + 5.5, STEP_WIDTH_MM - 1.0), y - 5, x + 0.4, y + 1.2, 0.5)
    return (_shape(label, WHITE, lay), _shape(words, INK, lay), *shown)


def _shape(area: Area, fill: str, lay: Affine) -> Shape:
    return Shape(outline=polygon([lay(p) for p in area]), fill=fill, line=LINE)
