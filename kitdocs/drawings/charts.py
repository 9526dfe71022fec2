"""Charts from numbers alone: greys and ink, words beside what they name, nothing under 7 pt.

A chart never stands alone: the page that carries it says in a sentence what it shows, and lists the numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from kitdocs.drawings.axes import (
    KEY_SAMPLE,
    Scale,
    clock,
    clock_axis,
    key_places,
    round_ticks,
    value_axis,
    value_words,
    widest,
)
from kitdocs.drawings.drawing import (
    FAINT,
    GRIP,
    INK,
    METAL,
    SHADE,
    WHITE,
    Drawing,
    document,
    number,
    rect,
    straight,
    text,
)
from kitdocs.drawings.lettering import BODY, LEADING, SMALL, in_lines, text_width

FULL_WIDTH_MM = 170.0
_ROW = 7.0
_GAP = 2.0
_FOOT = 6.0
_FILLS = (GRIP, METAL, SHADE)
_LABEL_SHARE = 0.4
"""No more than this share of a chart's width is given to the names of its rows."""
_LABEL_LEADING = BODY * LEADING


@dataclass(frozen=True, slots=True, kw_only=True)
class BandWords:
    """The words on a band chart, in the page's language."""

    median: str
    band: str
    stock: str


def step_band(
    times: Sequence[float],
    median: Sequence[float],
    high: Sequence[float],
    *,
    stock: float,
    words: BandWords,
    low: Sequence[float] | None = None,
    width_mm: float = FULL_WIDTH_MM,
    height_mm: float = 62.0,
    clock_words: Callable[[float], str] = clock,
) -> Drawing:
    """Draw how many are out of the store through the day: median, band up to `high`, and the stock as a line.

    Times are minutes after midnight; each value holds until the next time. The band starts at `low`, or at the
    median where there is none. Raises ValueError when the sequences differ in length.
    """
    floor_ = median if low is None else low
    if not len(times) == len(median) == len(high) == len(floor_):
        message = "a band chart needs one median, one low and one high value for every time"
        raise ValueError(message)
    ticks = round_ticks(max([stock, *high, *median], default=1.0) * 1.02, whole=True)
    left = widest([value_words(t) for t in ticks], SMALL) + 2.6
    key = key_places([words.median, words.band], left, width_mm)
    top = key[-1][1] + 4.9
    start, end = (times[0], times[-1]) if len(times) > 1 else (480.0, 1080.0)
    x = Scale(low=start, high=end, start_mm=left, end_mm=width_mm - 4)
    y = Scale(low=0, high=ticks[-1], start_mm=height_mm - _FOOT, end_mm=top)
    elements = value_axis(y, ticks, left=left, right=width_mm - 4)
    if times:
        elements.append(f'<path d="{_steps(x, y, times, high)}{_steps_back(x, y, times, floor_)}Z" fill="{SHADE}"/>')
        elements.append(
            f'<path d="{_steps(x, y, times, median)}" fill="none" stroke="{INK}"'
            ' stroke-width="0.6" stroke-linejoin="round"/>'
        )
    elements += clock_axis(x, y(0), top=y(0), words=clock_words)
    elements += _stock_line(x, y(stock), words.stock)
    elements += _band_key(key, words)
    return document(elements, width_mm=width_mm, height_mm=height_mm)


def _steps(x: Scale, y: Scale, times: Sequence[float], values: Sequence[float]) -> str:
    found = f"M{number(x(times[0]))} {number(y(values[0]))}"
    for time, value in zip(times[1:], values[1:], strict=True):
        found += f"H{number(x(time))}V{number(y(value))}"
    return found


def _steps_back(x: Scale, y: Scale, times: Sequence[float], values: Sequence[float]) -> str:
    found = f"V{number(y(values[-1]))}"
    for i in range(len(times) - 1, 0, -1):
        found += f"H{number(x(times[i]))}V{number(y(values[i - 1]))}"
    return found + f"H{number(x(times[0]))}"


def _stock_line(x: Scale, y: float, words: str) -> list[str]:
    wide = text_width(words, SMALL, bold=True)
    return [
        straight(x.start_mm, y, x.end_mm, y, line=0.5, dash="2 1.4"),
        rect(x.end_mm - wide - 1.2, y - 1 - SMALL, wide + 1.2, SMALL + 0.5, fill=WHITE),
        text(words, x.end_mm, y - 1.2, size=SMALL, anchor="end", bold=True),
    ]


def _band_key(places: Sequence[tuple[float, float]], words: BandWords) -> list[str]:
    (line, y), (band, below) = places
    return [
        straight(line, y, line + 5.5, y, line=0.6),
        text(words.median, line + KEY_SAMPLE, y, size=SMALL, centred=True),
        rect(band, below - 1.3, 5.5, 2.6, fill=SHADE),
        text(words.band, band + KEY_SAMPLE, below, size=SMALL, centred=True),
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class BarSpan:
    """A load from start to end, minutes after midnight, with a word on it (drawn where it has room)."""

    start: float
    end: float
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayRow:
    """One machine's day."""

    label: str
    spans: tuple[BarSpan, ...]


def bars_day(
    rows: Sequence[DayRow],
    start: float,
    end: float,
    *,
    width_mm: float = FULL_WIDTH_MM,
    empty: str = "",
    clock_words: Callable[[float], str] = clock,
) -> Drawing:
    """Draw the machines' day: a row for each machine, a bar for each load. `empty` is said where there is no row."""
    names = _row_names([r.label for r in rows], width_mm)
    left = names.room
    height = max(len(rows), 1) * names.row + _FOOT + 1
    x = Scale(low=start, high=max(end, start + 1), start_mm=max(left, 5.0), end_mm=width_mm - 5)
    foot = height - _FOOT
    elements = clock_axis(x, foot, top=0.5, words=clock_words)
    for i, row in enumerate(rows):
        middle = names.middle(i)
        elements += names.drawn(i)
        for span in row.spans:
            elements += _span(x, span, middle)
    if not rows:
        elements.append(text(empty, left, _ROW / 2, size=BODY, centred=True, colour=FAINT))
    return document(elements, width_mm=width_mm, height_mm=height)


def _span(x: Scale, span: BarSpan, middle: float) -> list[str]:
    begin, finish = max(span.start, x.low), min(span.end, x.high)
    if finish <= begin:
        return []
    half = (_ROW - _GAP) / 2
    width = x(finish) - x(begin)
    found = [rect(x(begin), middle - half, width, 2 * half, fill=SHADE, line=0.25)]
    if span.label and text_width(span.label, SMALL) < width - 0.8:
        found.append(text(span.label, x(begin) + width / 2, middle, size=SMALL, centred=True, anchor="middle"))
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class StackRow:
    """One bar, made of as many values as the chart has parts."""

    label: str
    values: tuple[float, ...]
    shown: str = ""
    """The total as it should read, for instance "3 h 20 min"."""


def stacked_bars(
    rows: Sequence[StackRow],
    parts: Sequence[str],
    *,
    width_mm: float = FULL_WIDTH_MM,
    empty: str = "",
) -> Drawing:
    """Draw where something goes: each bar in parts, each part with its number, the numbers explained underneath.

    Raises ValueError when a row has not one value for each part.
    """
    if any(len(row.values) != len(parts) for row in rows):
        message = "every row of a stacked bar needs one value for each part"
        raise ValueError(message)
    names = _row_names([r.label for r in rows], width_mm)
    left = names.room
    totals = [row.shown or value_words(round(sum(row.values), 1)) for row in rows]
    right = width_mm - widest(totals, SMALL) * 1.06 - 2.5
    x = Scale(low=0, high=max((sum(r.values) for r in rows), default=1.0) or 1.0, start_mm=left, end_mm=right)
    elements: list[str] = []
    for i, (row, total) in enumerate(zip(rows, totals, strict=True)):
        middle = names.middle(i)
        elements += names.drawn(i)
        elements += _parts(x, row.values, middle)
        elements.append(text(total, x(sum(row.values)) + 1.4, middle, size=SMALL, centred=True, bold=True))
    if not rows:
        elements.append(text(empty, 0, _ROW / 2, size=BODY, centred=True, colour=FAINT))
    key, depth = _part_key(parts, max(len(rows), 1) * names.row + 2, left if rows else 0.0, width_mm)
    return document([*elements, *key], width_mm=width_mm, height_mm=depth)


def _parts(x: Scale, values: Sequence[float], middle: float) -> list[str]:
    found: list[str] = []
    half = (_ROW - _GAP) / 2
    done = 0.0
    for i, value in enumerate(values):
        begin, width = x(done), x(done + value) - x(done)
        done += value
        if width < 0.05:
            continue
        found.append(rect(begin, middle - half, width, 2 * half, fill=_FILLS[i % 3], line=0.25))
        figure = str(i + 1)
        if text_width(figure, SMALL, bold=True) < width - 0.6:
            at = begin + width / 2
            found.append(text(figure, at, middle, size=SMALL, centred=True, anchor="middle", bold=True))
    return found


def _part_key(parts: Sequence[str], top: float, left: float, width: float) -> tuple[list[str], float]:
    """Return the numbered names of the parts in as many lines as they take, and where the last line ends."""
    found: list[str] = []
    at, y = left, top
    for i, part in enumerate(parts):
        lines = in_lines(part, SMALL, width - left - 8)
        needed = 4.8 + widest(lines, SMALL) + 4
        if at > left and (at + needed > width or len(lines) > 1):
            at, y = left, y + 4.6
        found.append(rect(at, y, 3.6, 3.6, fill=_FILLS[i % 3], line=0.25))
        found.append(text(str(i + 1), at + 1.8, y + 1.8, size=SMALL, centred=True, anchor="middle", bold=True))
        for line in lines:
            found.append(text(line, at + 4.8, y + 1.8, size=SMALL, centred=True))
            y += SMALL * LEADING
        y -= SMALL * LEADING
        at += needed
    return found, y + (4.4 if parts else 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    label: str
    value: float
    shown: str = ""
    """The value as it should read; the plain number where this is empty."""
    stressed: bool = False
    """Drawn in ink: the one the sentence is about."""


def bars(rows: Sequence[Bar], *, width_mm: float = FULL_WIDTH_MM, empty: str = "") -> Drawing:
    """Draw horizontal bars from zero, each with its name before and its value after it. Values are not negative."""
    names = _row_names([r.label for r in rows], width_mm)
    left = names.room
    shown = [row.shown or value_words(row.value) for row in rows]
    right = width_mm - widest(shown, BODY) * 1.06 - 2.5
    x = Scale(low=0, high=max((r.value for r in rows), default=1.0) or 1.0, start_mm=left, end_mm=max(right, left + 5))
    elements: list[str] = []
    half = (_ROW - _GAP) / 2
    for i, (row, words) in enumerate(zip(rows, shown, strict=True)):
        middle = names.middle(i)
        fill = INK if row.stressed else SHADE
        width = x(max(row.value, 0.0)) - left
        elements += names.drawn(i)
        if width > 0:
            elements.append(rect(left, middle - half, width, 2 * half, fill=fill))
        elements.append(text(words, left + width + 1.4, middle, size=BODY, centred=True, bold=row.stressed))
    depth = max(len(rows), 1) * names.row
    if rows:
        elements.append(straight(left, 0.4, left, depth - 0.4, line=0.3))
    else:
        elements.append(text(empty, 0, _ROW / 2, size=BODY, centred=True, colour=FAINT))
    return document(elements, width_mm=width_mm, height_mm=depth)


@dataclass(frozen=True, slots=True)
class _RowNames:
    """The names before the rows of a chart, each in lines, the room they take and the height of a row."""

    lines: tuple[tuple[str, ...], ...]
    room: float
    row: float

    def middle(self, index: int) -> float:
        return (index + 0.5) * self.row

    def drawn(self, index: int) -> list[str]:
        lines = self.lines[index]
        first = self.middle(index) - (len(lines) - 1) * _LABEL_LEADING / 2
        return [
            text(words, self.room - 2, first + line * _LABEL_LEADING, size=BODY, centred=True, anchor="end")
            for line, words in enumerate(lines)
        ]


def _row_names(labels: Sequence[str], width: float) -> _RowNames:
    """Return the names in as many lines as they need; every row is as high as the one with the most lines."""
    room = min(widest(list(labels), BODY) + 2.5, width * _LABEL_SHARE) if labels else 2.0
    lines = tuple(in_lines(label, BODY, room - 2) for label in labels)
    deepest = max(map(len, lines), default=1)
    return _RowNames(lines, room, max(_ROW + (deepest - 1) * _LABEL_LEADING / 2, deepest * _LABEL_LEADING + 1))
