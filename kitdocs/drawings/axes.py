"""Axes: round ticks, clock times, and where a value lies between two edges of a plot."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

from kitdocs.drawings.drawing import FAINT, straight, text
from kitdocs.drawings.lettering import SMALL, text_width

HAIRLINE = 0.2
KEY_SAMPLE, KEY_LINE = 7.0, 4.2
"""From the edge of a key's sample to its words, and from one line of a key to the next."""
_CLOCK_STEPS = (15, 30, 60, 120, 180, 240, 360, 720, 1440)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A straight line from values to millimetres."""

    low: float
    high: float
    start_mm: float
    end_mm: float

    def __call__(self, value: float) -> float:
        share = (value - self.low) / ((self.high - self.low) or 1.0)
        return self.start_mm + share * (self.end_mm - self.start_mm)


def round_ticks(high: float, *, at_most: int = 6, whole: bool = False) -> list[float]:
    """Return round numbers from 0 to at least `high`, in steps of 1, 2 or 5 times a power of ten."""
    high = max(high, 1.0 if whole else 1e-9)
    rough = high / max(at_most - 1, 1)
    power = 10.0 ** floor(log10(rough))
    step = next(m * power for m in (1, 2, 5, 10) if m * power >= rough * (1 - 1e-9))
    if whole:
        step = max(step, 1.0)
    return [step * i for i in range(ceil(high / step - 1e-9) + 1)]


def money_ticks(low: float, high: float) -> list[float]:
    """Return round amounts from at most `low` to at least `high`."""
    step = round_ticks(max(high - low, 1.0), whole=True)[1]
    first = floor(low / step) * step
    ticks = [first]
    while ticks[-1] < high:
        ticks.append(ticks[-1] + step)
    return ticks if len(ticks) > 1 else [first, first + step]


def clock(minutes: float) -> str:
    """Return minutes after midnight as 8:05; after midnight it counts on from 0:00."""
    whole = round(minutes)
    return f"{whole // 60 % 24}:{whole % 60:02d}"


def clock_ticks(start: float, end: float, room_mm: float, *, each_mm: float = 11.0) -> list[int]:
    """Return full clock times between start and end (minutes), as many as have room."""
    span = max(end - start, 1.0)
    for step in _CLOCK_STEPS:
        if span / step * each_mm <= room_mm:
            break
    return list(range(ceil(start / step) * step, floor(end) + 1, step))


def key_places(words: Sequence[str], left: float, right: float) -> list[tuple[float, float]]:
    """Return where the entries of a key stand, each a sample and its words, in as many lines as they take.

    A place is the sample's left edge and the middle of the line, the first line at 2.6 mm; words begin `KEY_SAMPLE`
    mm after it.
    """
    places: list[tuple[float, float]] = []
    at, y = left, 2.6
    for each in words:
        needed = KEY_SAMPLE + text_width(each, SMALL)
        if at > left and at + needed > right:
            at, y = left, y + KEY_LINE
        places.append((at, y))
        at += needed + 5
    return places


def value_words(value: float) -> str:
    """Return a number for an axis: no needless decimals."""
    return f"{value:.10g}"


def clock_axis(x: Scale, y: float, *, top: float, words: Callable[[float], str] = clock) -> list[str]:
    """Return the base line with a time under each tick and a hairline up through the plot."""
    elements = [straight(x.start_mm, y, x.end_mm, y, line=0.3)]
    for minute in clock_ticks(x.low, x.high, x.end_mm - x.start_mm):
        at = x(minute)
        elements.append(straight(at, y, at, y + 1.2, line=0.3))
        if top < y:
            elements.append(straight(at, top, at, y, line=HAIRLINE, stroke="#e2e2e4"))
        elements.append(text(words(minute), at, y + 1.8 + SMALL * 0.8, size=SMALL, anchor="middle", colour=FAINT))
    return elements


def value_axis(y: Scale, ticks: list[float], *, left: float, right: float) -> list[str]:
    """Return a hairline and a number for each tick."""
    elements = []
    for tick in ticks:
        at = y(tick)
        elements.append(straight(left, at, right, at, line=HAIRLINE, stroke="#d0d0d3"))
        elements.append(text(value_words(tick), left - 1.2, at, size=SMALL, centred=True, anchor="end", colour=FAINT))
    return elements


def widest(words: Sequence[str], size: float) -> float:
    return max((text_width(w, size) for w in words), default=0.0)
