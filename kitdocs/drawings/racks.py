"""Loads in a chamber, seen from above: packs and free places where they stand, all to one scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kitdocs.drawings.drawing import Drawing, document, rect, straight, text
from kitdocs.drawings.lettering import LEADING, PT, in_lines
from kitdocs.drawings.load_packs import SWATCH_MM, PackLook, pack, swatch

WIDTH_MM = 170.0
_SIZE, _LETTER_SIZE = 10 * PT, 12 * PT
_LINE = _SIZE * LEADING
_GAP, _BELOW, _AIR = 3.5, 2.2, 1.2
#: A chamber beside its words, above or below them in a narrow drawing, and one of several in a line, mm at most.
_BESIDE, _NARROW, _SMALL = (38.5, 26.0), (67.0, 34.0), (26.0, 14.0)
#: Before a word: the letter of its load, the swatch of its kind.
_LETTER, _SWATCH = 4.4, SWATCH_MM + 1.2
_IN_A_LINE = 3
_EDGE = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class PackDrawn:
    """A pack or a free place, mm: from the left wall, seen from the door, and from the door; its width and length."""

    look: PackLook
    across: float
    along: float
    width: float
    length: float
    free: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class WordsDrawn:
    """So many of one kind, said in words, or free places for so many; without a look what is no kind."""

    words: str
    look: PackLook | None = None
    free: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadDrawn:
    """A load in the chamber. One without a letter is drawn small."""

    words: tuple[WordsDrawn, ...]
    packs: tuple[PackDrawn, ...]
    letter: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Chamber:
    """The chamber, mm."""

    width: float
    depth: float

    def scale(self, room: tuple[float, float]) -> float:
        """Return the scale at which it is at most so wide and so high, its door at the left."""
        return min((room[0] - 2 * _EDGE) / self.depth, (room[1] - 2 * _EDGE) / self.width)

    def size(self, scale: float) -> tuple[float, float]:
        """Return how wide and how high it is drawn."""
        return self.depth * scale + 2 * _EDGE, self.width * scale + 2 * _EDGE


def loads_from_above(loads: Sequence[LoadDrawn], width: float, depth: float, *, width_mm: float = WIDTH_MM) -> Drawing:
    """Draw a chamber `width` by `depth` mm once for each load, doors to the left: those with a letter one by one, the
    others smaller, three in a line.

    Raises ValueError without a load.
    """
    if not loads:
        raise ValueError("a chamber is drawn with at least one load")
    chamber = _Chamber(width=width, depth=depth)
    columns = 2 if width_mm >= WIDTH_MM else 1
    room = (width_mm - (columns - 1) * _GAP) / columns
    lettered = [load for load in loads if load.letter]
    small = [load for load in loads if not load.letter]
    cells = [[load] for load in lettered] + [small[n : n + _IN_A_LINE] for n in range(0, len(small), _IN_A_LINE)]
    elements: list[str] = []
    top = 0.0
    for first in range(0, len(cells), columns):
        bottoms = []
        for n, cell in enumerate(cells[first : first + columns]):
            left = n * (room + _GAP)
            if not cell[0].letter:
                drawn, bottom = _in_a_line(cell, chamber, left, top, room)
            elif columns == 1:
                drawn, bottom = _below_words(cell[0], chamber, left, top, room)
            else:
                drawn, bottom = _beside_words(cell[0], chamber, left, top, room)
            elements += drawn
            bottoms.append(bottom)
        top = max(bottoms) + _BELOW
    return document(elements, width_mm=width_mm, height_mm=top - _BELOW + _EDGE)


def _beside_words(load: LoadDrawn, chamber: _Chamber, left: float, top: float, room: float) -> tuple[list[str], float]:
    """Return a load with its chamber at the left and its words beside it, and where it ends."""
    scale = chamber.scale(_BESIDE)
    wide, high = chamber.size(scale)
    words, end = _words(load, left + wide + _AIR, top, room - wide - _AIR)
    return [*words, *_drawn(load, chamber, left, top, scale)], max(end, top + high)


def _below_words(load: LoadDrawn, chamber: _Chamber, left: float, top: float, room: float) -> tuple[list[str], float]:
    scale = chamber.scale(_NARROW)
    words, end = _words(load, left, top, room)
    return [*words, *_drawn(load, chamber, left, end + _AIR, scale)], end + _AIR + chamber.size(scale)[1]


def _in_a_line(
    loads: Sequence[LoadDrawn], chamber: _Chamber, left: float, top: float, room: float
) -> tuple[list[str], float]:
    """Return loads side by side, their words below them."""
    each = (room - (_IN_A_LINE - 1) * _GAP) / _IN_A_LINE
    scale = chamber.scale((min(each, _SMALL[0]), _SMALL[1]))
    high = chamber.size(scale)[1]
    elements: list[str] = []
    ends = []
    for n, load in enumerate(loads):
        x = left + n * (each + _GAP)
        words, end = _words(load, x, top + high + _AIR, each)
        elements += [*words, *_drawn(load, chamber, x, top, scale)]
        ends.append(end)
    return elements, max(ends)


def _words(load: LoadDrawn, left: float, top: float, room: float) -> tuple[list[str], float]:
    """Return the words of a load, each kind with its swatch, and where they end."""
    elements: list[str] = []
    if load.letter:
        elements.append(text(load.letter, left, top + _LINE / 2, size=_LETTER_SIZE, bold=True, centred=True))
        left, room = left + _LETTER, room - _LETTER
    y = top
    for part in load.words:
        before = _SWATCH if part.look else 0.0
        if part.look:
            elements += swatch(part.look, left, y + _LINE / 2, free=part.free)
        # Widths are estimates, those of other letters than Latin more than others.
        for line in in_lines(part.words, _SIZE, 0.95 * (room - before), bold=part.free):
            elements.append(text(line, left + before, y + _LINE / 2, size=_SIZE, bold=part.free, centred=True))
            y += _LINE
    return elements, y


def _drawn(load: LoadDrawn, chamber: _Chamber, left: float, top: float, scale: float) -> Iterator[str]:
    left, top = left + _EDGE, top + _EDGE
    yield rect(left, top, chamber.depth * scale, chamber.width * scale, line=0.3)
    yield straight(left, top, left, top + chamber.width * scale, line=2 * _EDGE)
    for one in load.packs:
        x, y = left + one.along * scale, top + one.across * scale
        yield from pack(one.look, x, y, one.length * scale, one.width * scale, free=one.free, line=0.25)
