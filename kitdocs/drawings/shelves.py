"""The shelves of the store from the front, with the packs that stand on them: lengths and heights to one scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kitdocs.drawings.drawing import FAINT, INK, METAL, SHADE, WHITE, Drawing, document, rect, straight, text
from kitdocs.drawings.lettering import PT, in_lines, text_width

WIDTH_MM = 170.0
_NAME, _CODE = 10 * PT, 11 * PT
#: A board is drawn so thick, mm; lines of packs and edges; the least between two codes.
_BOARD, _LINE, _EDGE, _BETWEEN = 1.8, 0.18, 0.4, 1.0
#: How high the codes stand above the tallest pack.
_ABOVE = 2.6


@dataclass(frozen=True, slots=True, kw_only=True)
class PacksDrawn:
    """Packs of one kind beside each other; mm in the room, `start` from the left end of the shelf."""

    code: str
    packs: int
    start: float
    end: float
    height: float
    wrapped: bool
    """Whether they are wrapped cassettes; else pouches, drawn white."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfDrawn:
    """A shelf, with its packs from left to right. `length` in mm."""

    name: str
    length: float
    packs: tuple[PacksDrawn, ...]


def shelf_map(shelves: Sequence[ShelfDrawn]) -> Drawing:
    """Draw shelves one below the other, the first on top; each pack is a strip, each kind carries its code.

    Raises ValueError without a shelf.
    """
    scale = (WIDTH_MM - 2 * _EDGE) / max(shelf.length for shelf in shelves)
    elements: list[str] = []
    y = 0.0
    for shelf in shelves:
        drawn, y = _shelf(shelf, scale, y)
        elements += drawn
    return document(elements, width_mm=WIDTH_MM, height_mm=y)


def _shelf(shelf: ShelfDrawn, scale: float, top: float) -> tuple[list[str], float]:
    elements: list[str] = []
    y = top
    for line in in_lines(shelf.name, _NAME, WIDTH_MM - 2 * _EDGE, bold=True):
        y += _NAME * 1.2
        elements.append(text(line, _EDGE, y, size=_NAME, bold=True))
    labelled = [packs for packs in shelf.packs if not _fits_inside(packs, scale)]
    codes = y + 2.0 + _CODE * 0.75
    tallest = max((packs.height for packs in shelf.packs), default=150.0) * scale
    board = (codes + _ABOVE if labelled else y + 2.0) + tallest
    for packs in shelf.packs:
        elements += _packs(packs, scale, board)
    elements += _codes_above(labelled, scale, codes, board)
    elements.append(rect(_EDGE, board, shelf.length * scale, _BOARD, fill=SHADE, line=_EDGE))
    return elements, board + _BOARD + 4.0


def _fits_inside(packs: PacksDrawn, scale: float) -> bool:
    return text_width(packs.code, _CODE, bold=True) + 2 * _BETWEEN <= (packs.end - packs.start) * scale


def _packs(packs: PacksDrawn, scale: float, board: float) -> Iterator[str]:
    left, width, height = _EDGE + packs.start * scale, (packs.end - packs.start) * scale, packs.height * scale
    yield rect(left, board - height, width, height, fill=METAL if packs.wrapped else WHITE, line=_LINE)
    each = width / packs.packs
    for n in range(1, packs.packs):
        yield straight(left + n * each, board - height, left + n * each, board, line=_LINE, stroke=FAINT)
    yield rect(left, board - height, width, height, line=_EDGE)
    if _fits_inside(packs, scale):
        middle, high = left + width / 2, board - height / 2
        room = text_width(packs.code, _CODE, bold=True) + 1.6
        yield rect(middle - room / 2, high - 2.8, room, 5.6, fill=WHITE, line=_LINE)
        yield text(packs.code, middle, high, size=_CODE, anchor="middle", bold=True, centred=True)


def _codes_above(labelled: Sequence[PacksDrawn], scale: float, y: float, board: float) -> Iterator[str]:
    """Yield the codes of narrow packs above all packs, as near over each as the others let it, and a line to it."""
    wanted = [_EDGE + (packs.start + packs.end) / 2 * scale for packs in labelled]
    widths = [text_width(packs.code, _CODE, bold=True) + _BETWEEN for packs in labelled]
    for packs, middle, place in zip(labelled, wanted, _spread(wanted, widths), strict=True):
        yield text(packs.code, place, y, size=_CODE, anchor="middle", bold=True)
        yield straight(place, y + 0.7, middle, board - packs.height * scale, line=_LINE, stroke=INK)


def _spread(wanted: Sequence[float], widths: Sequence[float]) -> list[float]:
    """Return where texts so wide stand side by side from left to right, near where they are wanted."""
    places: list[float] = []
    end = 0.0
    for middle, width in zip(wanted, widths, strict=True):
        places.append(max(middle, end + width / 2))
        end = places[-1] + width / 2
    start = WIDTH_MM
    for n in range(len(places) - 1, -1, -1):
        places[n] = min(places[n], start - widths[n] / 2)
        start = places[n] - widths[n] / 2
    return places
