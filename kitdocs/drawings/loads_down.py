"""The machines' day for a narrow screen: the hours run down, one column for each machine, one box for each load."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from kitdocs.drawings.axes import HAIRLINE, Scale, clock, clock_ticks, widest
from kitdocs.drawings.charts import BarSpan
from kitdocs.drawings.drawing import FAINT, SHADE, Drawing, document, rect, straight, text
from kitdocs.drawings.lettering import LEADING, SMALL, in_lines, text_width

_LINE = SMALL * LEADING
_WIDEST_COLUMN = 15.0
_LEAST, _MOST = 0.09, 0.14
"""Millimetres a minute: as many as the shortest load needs for its word, within bounds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineDay:
    """One machine's day: the kind of machine, its number among them (empty where there is one), and its loads."""

    kind: str
    number: str
    spans: tuple[BarSpan, ...]


def loads_down(
    machines: Sequence[MachineDay],
    start: float,
    end: float,
    *,
    width_mm: float,
    empty: str = "",
    clock_words: Callable[[float], str] = clock,
) -> Drawing:
    """Draw each machine's loads down a column from `start` to `end`, minutes after midnight.

    `empty` is said where there is no machine.
    """
    if not machines:
        return document([text(empty, 0, _LINE, size=SMALL, colour=FAINT)], width_mm=width_mm, height_mm=2 * _LINE)
    end = max(end, start + 60)
    left = widest([clock_words(time) for time in (start, end, 1200)], SMALL) + 2
    column = min((width_mm - left) / len(machines), _WIDEST_COLUMN)
    head, top = _head(machines, left, column)
    shortest = min((span.end - span.start for machine in machines for span in machine.spans), default=60.0)
    each = min(max(_LEAST, SMALL * 1.2 / max(shortest, 1.0)), _MOST)
    y = Scale(low=start, high=end, start_mm=top, end_mm=top + (end - start) * each)
    elements = [*head, *_hours(y, left, left + column * len(machines), clock_words)]
    for n, machine in enumerate(machines):
        for span in machine.spans:
            elements += _load(y, span, left + n * column + 0.5, column - 1)
    return document(elements, width_mm=width_mm, height_mm=y.end_mm + 1.5)


def _head(machines: Sequence[MachineDay], left: float, column: float) -> tuple[list[str], float]:
    """Return the names over the columns, machines of one kind under one name, and where the day begins below them."""
    kinds = [(kind, len(list(same))) for kind, same in groupby(machines, key=lambda machine: machine.kind)]
    lines = [in_lines(kind, SMALL, many * column - 1) for kind, many in kinds]
    deepest = max(map(len, lines))
    found, at = [], left
    for (_, many), name in zip(kinds, lines, strict=True):
        for n, line in enumerate(name, deepest - len(name)):
            found.append(text(line, at + 0.5, (n + 1) * _LINE, size=SMALL))
        at += many * column
    top = deepest * _LINE + 1.5
    if any(machine.number for machine in machines):
        for n, machine in enumerate(machines):
            middle = left + (n + 0.5) * column
            found.append(text(machine.number, middle, top + _LINE, size=SMALL, anchor="middle", bold=True))
        top += _LINE + 1
    return found, top + 1


def _hours(y: Scale, left: float, right: float, words: Callable[[float], str]) -> Iterator[str]:
    """Yield a hairline for each time that has room, with the time before it."""
    for minute in clock_ticks(y.low, y.high, y.end_mm - y.start_mm, each_mm=5.0):
        yield straight(left, y(minute), right, y(minute), line=HAIRLINE, stroke="#d0d0d3")
        yield text(words(minute), left - 1.2, y(minute), size=SMALL, centred=True, anchor="end", colour=FAINT)


def _load(y: Scale, span: BarSpan, left: float, width: float) -> Iterator[str]:
    begin, finish = max(span.start, y.low), min(span.end, y.high)
    if finish <= begin:
        return
    high = y(finish) - y(begin)
    yield rect(left, y(begin), width, high, fill=SHADE, line=0.25)
    if span.label and text_width(span.label, SMALL) < width - 0.4 and high > SMALL:
        yield text(span.label, left + width / 2, y(begin) + high / 2, size=SMALL, centred=True, anchor="middle")
