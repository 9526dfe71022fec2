"""The slots of one load, to be counted: a row of them for each kind, and loads that are common above.

The whole width is one load. A kind of which `capacity` fill a load takes 1/capacity of it, so what a load leaves free
lies to the right of where it ends, and the whole slots there are what still fits.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kitdocs.drawings.drawing import FAINT, WHITE, Drawing, document, rect, straight, text
from kitdocs.drawings.lettering import LEADING, PT, in_lines
from kitdocs.drawings.load_packs import PackLook, pack, swatch

WIDTH_MM = 170.0
#: As wide as a phone shows letters of 7 pt at 12 px.
NARROW_MM = 68.0
_NARROW_COLUMN = 7.5
_SIZE, _FIGURE = 10 * PT, 12 * PT
#: Letter of a load, names of kinds, and a column of figures, mm.
_LETTER, _NAMES, _COLUMN = 6.0, 40.0, 9.5
_LEFT = _LETTER + _NAMES + 2.0
_SLOT, _RAIL, _GAP, _BETWEEN, _BETWEEN_ROWS = 4.4, 6.0, 1.6, 0.25, 0.5
#: Narrower slots than this are not counted one by one, mm: some are drawn as one.
_NARROWEST = 1.3
_DASHES = ("", "2 1.2", "0.2 1.1")


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotRow:
    """A kind and how many of it fill a load."""

    name: str
    look: PackLook
    capacity: int
    beside: tuple[int, ...]
    """How many fit beside each load."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CommonLoad:
    """So many of some rows, counted from 0, in the order in which they are drawn; `words` say it part by part."""

    letter: str
    words: tuple[str, ...]
    loaded: tuple[tuple[int, int], ...]
    strip: bool = True
    """Whether it is drawn; one that is drawn elsewhere only has the line at which it ends."""


def load_slots(rows: Sequence[SlotRow], loads: Sequence[CommonLoad], alone: str) -> Drawing:
    """Draw loads and slots; `alone` heads the figures of kinds that nothing lies beside.

    Raises ValueError without a row.
    """
    if not rows:
        raise ValueError("slots need at least one kind")
    right = WIDTH_MM - _COLUMN * (1 + len(loads)) - 1.0
    scale = right - _LEFT
    above: list[str] = []
    ends: list[tuple[float, float | None]] = []
    y = 0.0
    for load in loads:
        end = _LEFT + _length(load, rows, scale)
        if load.strip:
            drawn, height = _load(load, rows, scale, y)
            above += drawn
            y += height + _GAP
        ends.append((end, y - _GAP if load.strip else None))
    y += _SIZE
    columns = [right + 1.0 + _COLUMN * (n + 1) for n in range(1 + len(loads))]
    heads = [alone, *(f"+ {load.letter}" for load in loads)]
    shown = [text(head, x, y, size=_SIZE, anchor="end", colour=FAINT) for head, x in zip(heads, columns, strict=True)]
    shown += _letters(loads, [end for end, _ in ends], _LEFT, right, y)
    y += _GAP
    rows_begin = y
    for row in rows:
        drawn, height = _row(row, scale, columns, y)
        shown += drawn
        y += height
    drops, lines = [], []
    for (end, low), dash in zip(ends, _DASHES, strict=False):
        if low is not None:
            drops.append(straight(end, low, end, rows_begin - _GAP - _SIZE, line=0.4, dash=dash))
        lines.append(straight(end, rows_begin, end, y, line=0.4, dash=dash))
    return document([*drops, *above, *shown, *lines], width_mm=WIDTH_MM, height_mm=y)


def narrow_load_slots(rows: Sequence[SlotRow], loads: Sequence[CommonLoad], alone: str) -> Drawing:
    """Draw the same for a small screen: each row of slots below its name, with the letters of the loads above it.

    Raises ValueError without a row.
    """
    if not rows:
        raise ValueError("slots need at least one kind")
    scale, line = NARROW_MM - 1.0, _SIZE * LEADING
    columns = [NARROW_MM - _NARROW_COLUMN * (len(loads) - n) for n in range(1 + len(loads))]
    elements: list[str] = []
    y = 0.0
    for load in loads:
        if load.strip:
            lines = tuple(one for part in load.words for one in in_lines(part, _SIZE, NARROW_MM - _LETTER))
            elements.append(text(load.letter, 0, y + line / 2, size=_FIGURE, bold=True, centred=True))
            elements += _words(lines, y + len(lines) * line / 2)
            y += len(lines) * line
            elements += _strip(load, rows, 0.5, scale, y)
            y += _RAIL + _GAP
    y += _SIZE
    heads = [alone, *(f"+ {load.letter}" for load in loads)]
    elements += [
        text(head, x, y, size=_SIZE, anchor="end", colour=FAINT) for head, x in zip(heads, columns, strict=True)
    ]
    ends = [0.5 + _length(load, rows, scale) for load in loads]
    for row in rows:
        lines = in_lines(row.name, _SIZE, columns[0] - _NARROW_COLUMN - _LETTER)
        height = _height(lines, _SLOT)
        middle = y + _GAP + height / 2
        elements += [*swatch(row.look, 0.2, middle), *_words(lines, middle), *_figures(row, columns, middle)]
        y += _GAP + height
        if loads:
            y += line
            elements += _letters(loads, ends, 0.5, 0.5 + scale, y - 0.6)
        elements += _slots(row, 0.5, scale, y + _SLOT / 2)
        for end, dash in zip(ends, _DASHES, strict=False):
            elements.append(straight(end, y, end, y + _SLOT, line=0.4, dash=dash))
        y += _SLOT + _BETWEEN_ROWS
    return document(elements, width_mm=NARROW_MM, height_mm=y)


def _length(load: CommonLoad, rows: Sequence[SlotRow], scale: float) -> float:
    return math.fsum(count * scale / rows[row].capacity for row, count in load.loaded)


def _letters(loads: Sequence[CommonLoad], ends: Sequence[float], left: float, right: float, y: float) -> Iterator[str]:
    """Yield the letter of each load where it ends, beside those that end near it."""
    apart = 4.2
    places: dict[int, float] = {}
    last = left
    for n in sorted(range(len(ends)), key=ends.__getitem__):
        last = places[n] = max(ends[n], last + apart)
    last = right - apart / 2 + apart
    for n in sorted(places, key=places.__getitem__, reverse=True):
        last = places[n] = min(places[n], last - apart)
        yield text(loads[n].letter, last, y, size=_SIZE, anchor="middle", bold=True)


def _lines(words: Sequence[str]) -> list[str]:
    return [line for part in words for line in in_lines(part, _SIZE, _NAMES)]


def _words(lines: Sequence[str], middle: float) -> Iterator[str]:
    for n, line in enumerate(lines):
        yield text(line, _LETTER, middle + (n - (len(lines) - 1) / 2) * _SIZE * LEADING, size=_SIZE, centred=True)


def _height(lines: Sequence[str], least: float) -> float:
    return max(least, len(lines) * _SIZE * LEADING)


def _load(load: CommonLoad, rows: Sequence[SlotRow], scale: float, top: float) -> tuple[list[str], float]:
    """Return a load as it lies side by side, and how high it is drawn."""
    lines = _lines(load.words)
    height = _height(lines, _RAIL)
    rail = top + (height - _RAIL) / 2
    middle = top + height / 2
    elements = [text(load.letter, 0, middle, size=_FIGURE, bold=True, centred=True)]
    return [*elements, *_words(lines, middle), *_strip(load, rows, _LEFT, scale, rail)], height


def _strip(load: CommonLoad, rows: Sequence[SlotRow], left: float, scale: float, top: float) -> Iterator[str]:
    """Yield a load as it lies side by side."""
    yield rect(left, top, scale, _RAIL, fill=WHITE, stroke=FAINT, line=0.2)
    x = left
    for row, count in load.loaded:
        each = scale / rows[row].capacity
        for _ in range(count):
            yield from pack(rows[row].look, x + _BETWEEN, top + 0.5, each - 2 * _BETWEEN, _RAIL - 1.0)
            x += each


def _row(row: SlotRow, scale: float, columns: Sequence[float], top: float) -> tuple[list[str], float]:
    """Return a kind's slots with its figures, and how high the row is."""
    lines = _lines([row.name])
    height = _height(lines, _SLOT) + _BETWEEN_ROWS
    middle = top + height / 2
    elements = [*swatch(row.look, 0.2, middle)]
    elements += [*_words(lines, middle), *_slots(row, _LEFT, scale, middle), *_figures(row, columns, middle)]
    return elements, height


def _figures(row: SlotRow, columns: Sequence[float], middle: float) -> Iterator[str]:
    for count, x in zip((row.capacity, *row.beside), columns, strict=True):
        yield text(str(count or "–"), x, middle, size=_FIGURE, anchor="end", bold=True, centred=True)


def _slots(row: SlotRow, left: float, scale: float, middle: float) -> Iterator[str]:
    """Yield a kind's slots."""
    each = scale / row.capacity
    together = next((n for n in (1, 5, 10, 50) if n * each >= _NARROWEST), row.capacity)
    right = left + scale
    for first in range(0, row.capacity, together):
        many = min(together, row.capacity - first)
        # Counted by fives, from the end at which the free ones are.
        five = 0.7 if together == 1 and row.capacity > 10 and first % 5 == 0 and first else 0.0
        begin = right - (first + many) * each + _BETWEEN / 2
        yield rect(begin, middle - _SLOT / 2, many * each - _BETWEEN - five, _SLOT, fill=WHITE, line=0.25)
