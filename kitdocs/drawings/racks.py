"""Chambers seen from above, with the cassettes of one kind in each: all to one scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kitdocs.drawings.drawing import INK, METAL, Drawing, document, rect, straight, text
from kitdocs.drawings.lettering import LEADING, PT, in_lines

WIDTH_MM = 170.0
_SIZE, _GAP = 10 * PT, 6.0
_MOST_IN_A_LINE, _HIGHEST = 3, 24.0
_EDGE, _BELOW = 0.5, 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Chambered:
    """Cassettes of one kind in a chamber: their edges, mm, from its left wall and from its door, seen from the door."""

    words: str
    places: tuple[tuple[float, float, float, float], ...]
    """How far from the left wall, how far from the door, how wide, how long."""


def racks_from_above(racks: Sequence[Chambered], width: float, depth: float, *, width_mm: float = WIDTH_MM) -> Drawing:
    """Draw a chamber `width` by `depth` mm once for each kind, doors to the left; in a narrow drawing one a line.

    Raises ValueError without a kind.
    """
    if not racks:
        raise ValueError("a chamber is drawn with at least one kind of cassette")
    in_a_line = min(len(racks), _MOST_IN_A_LINE if width_mm >= WIDTH_MM else 1)
    panel = (width_mm - (in_a_line - 1) * _GAP) / in_a_line
    scale = min((panel - 2 * _EDGE) / depth, _HIGHEST / width)
    elements: list[str] = []
    y = 0.0
    for first in range(0, len(racks), in_a_line):
        line = racks[first : first + in_a_line]
        heads = [in_lines(rack.words, _SIZE, panel, bold=True) for rack in line]
        top = y + max(map(len, heads)) * _SIZE * LEADING + 1.2
        for n, (rack, head) in enumerate(zip(line, heads, strict=True)):
            left = n * (panel + _GAP)
            for m, words in enumerate(head):
                elements.append(text(words, left, y + (m + 0.8) * _SIZE * LEADING, size=_SIZE, bold=True))
            elements += _chamber(rack, left + _EDGE, top, width, depth, scale)
        y = top + width * scale + _BELOW
    return document(elements, width_mm=width_mm, height_mm=y - _BELOW + _EDGE)


def _chamber(rack: Chambered, left: float, top: float, width: float, depth: float, scale: float) -> Iterator[str]:
    yield rect(left, top, depth * scale, width * scale, line=0.3)
    yield straight(left, top, left, top + width * scale, line=2 * _EDGE)
    for across, along, wide, long in rack.places:
        yield rect(
            left + along * scale, top + across * scale, long * scale, wide * scale, fill=METAL, stroke=INK, line=0.3
        )
