"""Dates and times of day as lists hold them, in whatever form: a column decides together what its dates mean.

A date is read from a date, the number that a spreadsheet keeps for one, ISO 8601, figures in any order with `/`, `-` or
`.`, and the names of months in the languages that lists are read in (Unicode CLDR). `11/26/2026` says itself which is
the month; `03/04/2026` does not: then the other dates of the column say it, and where none does, a person must.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, timezone
from functools import cache
from typing import Literal
from zoneinfo import ZoneInfo

from babel.dates import get_month_names

from kitdocs.importing.grids import CellValue
from kitdocs.importing.vocabulary import folded, of_one_meaning, read_languages
from kitdocs.practice import quantities

Order = Literal["mdy", "dmy"]

#: Day 0 of a spreadsheet's dates; right from 1 March 1900 on (ISO/IEC 29500-1, 18.17.4.1).
_DAY_0 = datetime(1899, 12, 30)
#: 2000 to 2100, as such numbers.
_SERIALS = (36526, 73051)
_ISO = re.compile(r"(\d{4})([-/.]?)(\d{2})\2(\d{2})(?!\d)")
_FIGURES = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})(?!\d)")
_DAY_FIRST = re.compile(
    r"(\d{1,2})(?:st|nd|rd|th|er)?[ .-]+(?:de )?([a-z]{3,10})\.?,?[ -]+(?:del? )?(\d{4}|\d{2})(?!\d)"
)
_MONTH_FIRST = re.compile(r"([a-z]{3,10})\.?[ -]+(\d{1,2})(?:st|nd|rd|th)?,?[ -]+(\d{4})(?!\d)")
_WEEKDAY = re.compile(r"^[a-z]{2,10}\.?,? (?=[a-z0-9])")
_TIME = re.compile(r"t?(\d{1,2})(?:[:.]| ?h ?)(\d{2})(?:[:.](\d{2})(?:\.\d+)?)? ?(?:([ap])\.? ?(?:m\.?)?|uhr|h)?")
_HOUR = re.compile(r"(\d{1,2}) ?(?:([ap])\.? ?m?\.?|uhr)")


@dataclass(frozen=True, slots=True)
class Moment:
    """A date, and the time of day where the cell has one, in minutes after midnight. `halves`: the time says am or pm;
    `utc`: it is universal time."""

    day: date
    minute: float | None = None
    halves: bool = False
    utc: bool = False

    def local(self, zone: ZoneInfo) -> Moment:
        """Return what the clocks of a zone show, when this is universal time; else the same."""
        if not self.utc or self.minute is None:
            return self
        midnight = datetime(self.day.year, self.day.month, self.day.day, tzinfo=timezone.utc)
        there = (midnight + timedelta(minutes=self.minute)).astimezone(zone)
        return Moment(there.date(), there.hour * 60 + there.minute, True)


@cache
def _months() -> Mapping[str, int]:
    names = of_one_meaning(
        (folded(name).rstrip("."), number)
        for language in read_languages()
        for width in ("wide", "abbreviated")
        for context in ("format", "stand-alone")
        for number, name in get_month_names(width, context, language).items()
    )
    return {**names, "sept": 9, "set": 9, "sep": 9, "maerz": 3, "jaenner": 1, "janner": 1}


def order_of(values: Iterable[CellValue]) -> Order | Literal["both"] | None:
    """Return the order of day and month in a column's dates in figures; None when nothing says it.

    `both` when some dates are possible in one order only and others only in the other. Dates with points between have
    the day first wherever they are in use (Unicode CLDR).
    """
    seen: set[Order] = set()
    for value in values:
        found = _FIGURES.search(folded(value)) if isinstance(value, str) and not _ISO.search(value) else None
        if found:
            first, sign, second = int(found[1]), found[2], int(found[3])
            if sign == "." or first > 12 >= second:
                seen.add("dmy")
            elif second > 12 >= first:
                seen.add("mdy")
    return "both" if len(seen) == 2 else next(iter(seen), None)


def needs_order(values: Iterable[CellValue]) -> bool:
    """Whether a column has dates in figures that the order of day and month decides."""
    texts = (folded(value) for value in values if isinstance(value, str))
    return any(_FIGURES.search(text) and not _ISO.search(text) for text in texts)


def moment_of(value: CellValue, order: Order | None) -> Moment | None:
    """Return the date, and the time, in a cell; None when it is none, or `order` would decide it and is not known."""
    match value:
        case datetime():
            return (
                Moment(value.date(), value.hour * 60 + value.minute, True)
                if value.time() != time()
                else Moment(value.date())
            )
        case date():
            return Moment(value)
        case str():
            text = folded(value)
            if re.fullmatch(r"\d{5}(?:\.\d+)?", text):
                return _serial(float(text))
            return _moment_in(text, order) or _moment_in(_WEEKDAY.sub("", text), order)
        case bool() | None | time() | timedelta():
            return None
    return _serial(float(value))


def _moment_in(text: str, order: Order | None) -> Moment | None:
    found = _day_in(text, order)
    if not found:
        return None
    rest = found[1].strip(" ,t-")
    utc = rest.endswith("z")
    minute, halves = (_clock(rest.removesuffix("z").strip()) or (-1.0, False)) if rest else (None, False)
    return None if minute == -1 else Moment(found[0], minute, halves, utc)


def _serial(number: float) -> Moment | None:
    if not _SERIALS[0] <= number <= _SERIALS[1]:
        return None
    when = _DAY_0 + timedelta(minutes=round(number * 24 * 60))
    return Moment(when.date()) if number == int(number) else Moment(when.date(), when.hour * 60 + when.minute, True)


def _day_in(text: str, order: Order | None) -> tuple[date, str] | None:
    """The date with which a text begins, and what follows."""
    if found := _ISO.match(text):
        parts = int(found[1]), int(found[3]), int(found[4])
    elif found := _FIGURES.match(text):
        order = "dmy" if found[2] == "." else order
        first, second = int(found[1]), int(found[3])
        if order is None:
            return None
        month, day = (second, first) if order == "dmy" else (first, second)
        parts = _year(found[4]), month, day
    elif found := _DAY_FIRST.match(text):
        parts = _year(found[3]), _months().get(found[2], 0), int(found[1])
    elif found := _MONTH_FIRST.match(text):
        parts = _year(found[3]), _months().get(found[1], 0), int(found[2])
    else:
        return None
    try:
        return date(*parts), text[found.end() :]
    except ValueError:
        return None


def _year(text: str) -> int:
    return int(text) + (2000 if len(text) == 2 else 0)


def time_of(value: CellValue) -> tuple[float, bool] | None:
    """Return a time of day in minutes after midnight, and whether it says am or pm; None when it is none.

    From a time, the part of a day that a spreadsheet keeps for one, ``8:30``, ``8:30:00 PM``, ``0830``, ``8.30 p. m.``
    A number between 0 and 1 is a part of a day.
    """
    match value:
        case datetime() | time():
            return value.hour * 60 + value.minute + value.second / 60, True
        case timedelta():
            return value.total_seconds() / 60, True
        case bool() | None | date():
            return None
        case int() | float():
            if _SERIALS[0] <= value <= _SERIALS[1] and value != int(value):
                value = value - int(value)
            return (round(value * 24 * 60, 2), True) if 0 <= value < 1 else _clock(f"{value:g}")
    return _clock(folded(value))


def _clock(text: str) -> tuple[float, bool] | None:
    if re.fullmatch(r"0?\.\d+", text):
        return round(float(text) * 24 * 60, 2), True
    if found := _TIME.fullmatch(text):
        hour, minute, second, half = int(found[1]), int(found[2]), int(found[3] or 0), found[4]
    elif found := _HOUR.fullmatch(text):
        hour, minute, second, half = int(found[1]), 0, 0, found[2]
    elif found := re.fullmatch(r"(\d{1,2})(\d{2})", text):
        hour, minute, second, half = int(found[1]), int(found[2]), 0, None
    else:
        return None
    if minute > 59 or second > 59 or hour > 23 or (half and not hour <= 12):
        return None
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    return hour * 60 + minute + second / 60, bool(half)


#: Nobody is booked before this hour; times below it, where no time says am or pm, are of the afternoon.
_EARLIEST = 7


def of_the_day(times: Iterable[tuple[float, bool] | None]) -> list[float | None]:
    """Return the times of a column: where none says am or pm and none is past 12:59, `1:30` is that after noon.

    No practice sees patients before seven: common practice, no source.
    """
    found = list(times)
    bare = [each[0] for each in found if each]
    in_twelve = bare and not any(each[1] for each in found if each) and max(bare) < 13 * 60
    return [
        None if each is None else each[0] + 12 * 60 if in_twelve and each[0] < _EARLIEST * 60 else each[0]
        for each in found
    ]


def minutes_of(value: CellValue) -> float | None:
    """Return a duration in minutes: a number of minutes, `30 min`, `0:30`, a time, or the part of a day; else None."""
    match value:
        case timedelta():
            return value.total_seconds() / 60
        case datetime() | time():
            return value.hour * 60.0 + value.minute
        case str():
            return _minutes_in(folded(value))
        case bool() | None | date():
            return None
    return round(value * 24 * 60, 2) if 0 < value < 1 else float(value)


def _minutes_in(text: str) -> float | None:
    if found := re.fullmatch(r"(\d{1,2}):(\d{2})(?::(\d{2}))?", text):
        return int(found[1]) * 60.0 + int(found[2])
    if re.fullmatch(r"\d+(?:[.,]\d+)?", text):
        return minutes_of(float(text.replace(",", ".")))
    try:
        return quantities.duration(text)
    except ValueError:
        return None
