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
        end = _LEFT + math.fsum(count * scale / rows[row].capacity for row, count in load.loaded)
        if load.strip:
            drawn, height = _load(load, rows, scale, y)
            above += drawn
            y += height + _GAP
        ends.append((end, y - _GAP if load.strip else None))
    y += _SIZE
    columns = [right + 1.0 + _COLUMN * (n + 1) for n in range(1 + len(loads))]
    heads = [alone, *(f"+ {load.letter}" for load in loads)]
    shown = [text(head, x, y, size=_SIZE, anchor="end", colour=FAINT) for head, x in zip(heads, columns, strict=True)]
    shown += _letters(loads, [end for end, _ in ends], right, y)
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


def _letters(loads: Sequence[CommonLoad], ends: Sequence[float], right: float, y: float) -> Iterator[str]:
    """Yield the letter of each load where it ends, beside those that end near it."""
    apart = 4.2
    places: dict[int, float] = {}
    last = _LEFT
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
    elements += _words(lines, middle)
    elements.append(rect(_LEFT, rail, scale, _RAIL, fill=WHITE, stroke=FAINT, line=0.2))
    x = _LEFT
    for row, count in load.loaded:
        each = scale / rows[row].capacity
        for _ in range(count):
            elements += pack(rows[row].look, x + _BETWEEN, rail + 0.5, each - 2 * _BETWEEN, _RAIL - 1.0)
            x += each
    return elements, height


def _row(row: SlotRow, scale: float, columns: Sequence[float], top: float) -> tuple[list[str], float]:
    """Return a kind's slots with its figures, and how high the row is."""
    lines = _lines([row.name])
    height = _height(lines, _SLOT) + _BETWEEN_ROWS
    middle = top + height / 2
    elements = [*swatch(row.look, 0.2, middle)]
    elements += _words(lines, middle)
    each = scale / row.capacity
    together = next((n for n in (1, 5, 10, 50) if n * each >= _NARROWEST), row.capacity)
    right = _LEFT + scale
    for first in range(0, row.capacity, together):
        many = min(together, row.capacity - first)
        # Counted by fives, from the end at which the free ones are.
        five = 0.7 if together == 1 and row.capacity > 10 and first % 5 == 0 and first else 0.0
        left = right - (first + many) * each + _BETWEEN / 2
        elements.append(rect(left, middle - _SLOT / 2, many * each - _BETWEEN - five, _SLOT, fill=WHITE, line=0.25))
    for count, x in zip((row.capacity, *row.beside), columns, strict=True):
        elements.append(text(str(count or "–"), x, middle, size=_FIGURE, anchor="end", bold=True, centred=True))
    return elements, height
