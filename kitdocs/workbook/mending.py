"""Values that a spreadsheet program rewrote: a date of 1-2, a number of 08:00 or 12%. They are recognised, or told."""

from __future__ import annotations

import re
from collections.abc import Collection
from datetime import date, datetime, time, timedelta
from typing import Any

from kitdocs.importing.grids import CellValue, text_of
from kitdocs.practice.message import Value, message
from kitdocs.practice.quantities import clock, share
from kitdocs.practice.reading.yaml_file import plain
from kitdocs.practice.values import clock_text, share_text
from kitdocs.workbook.cells import Cell, several
from kitdocs.workbook.columns import SEVERAL, SheetColumn

#: From so many digits on, a spreadsheet program has rounded a number.
_ROUNDED = 10**15
_DAY = 24 * 60
_YES = {
    "true": True,
    "false": False,
    "yes": True,
    "no": False,
    "ja": True,
    "nein": False,
    "wahr": True,
    "falsch": False,
    "sí": True,
    "si": True,
    "verdadero": True,
    "falso": False,
}
#: A day that stands for a time of day alone, by the two calendars of spreadsheet files.
_NO_DAY = (date(1899, 12, 30), date(1899, 12, 31), date(1900, 1, 1), date(1904, 1, 1))
_WITHOUT_WIDTH = re.compile("[\x00-\x08\x0b-\x1f\x7f\u200b-\u200f\u202a-\u202e\u2060-\u206f\ufeff]")


class UnmendedError(ValueError):
    """A cell that cannot be taken as it is; `message` says why and what to do."""

    def __init__(self, name: str, /, **values: Value) -> None:
        self.message = message(f"workbook.cell.{name}", **values)
        super().__init__(str(self.message))


def is_unchanged(value: CellValue, before: Cell) -> bool:
    """Whether a cell holds what was written into it, though perhaps rewritten by a spreadsheet program."""
    if value is None or before is None:
        return value is None and (before is None or not clean(str(before)))
    if isinstance(value, str):
        return clean(value) == clean(str(before)) if isinstance(before, str) else clean(value) == text_of(before)
    if isinstance(value, bool):
        return str(value).lower() == str(before).lower()
    if isinstance(before, str):
        return _was(value, before)
    return isinstance(value, int | float) and float(value) == float(before)


def clean(text: str) -> str:
    """Return a text without what a spreadsheet does not keep: blanks around it, letters without width."""
    return _WITHOUT_WIDTH.sub("", text.replace("\r\n", "\n").replace("\r", "\n")).strip()


def _was(value: int | float | date | time | timedelta, before: str) -> bool:
    """Whether a number, date or time was made of a text."""
    minutes = _minutes(value)
    if minutes is not None and _read(clock, before) == minutes:
        return True
    if isinstance(value, int | float):
        return _number(before) == float(value) or _read(share, before) == float(value)
    return isinstance(value, date) and before in _spellings(value)


def _read(parser: Any, text: str) -> Any:
    try:
        return parser(text)
    except ValueError:
        return None


def _number(text: str) -> float | None:
    try:
        return float(text.strip().replace(",", "."))
    except ValueError:
        return None


def _minutes(value: CellValue) -> int | None:
    """Return the time of day that a cell means, in minutes after midnight; None when it means none."""
    if isinstance(value, datetime):
        return value.hour * 60 + value.minute if value.date() in _NO_DAY else None
    if isinstance(value, time):
        return value.hour * 60 + value.minute
    if isinstance(value, timedelta):
        minutes = value.total_seconds() / 60
        return round(minutes) if 0 <= minutes < _DAY else None
    if isinstance(value, float) and 0 < value < 1:
        minutes = value * _DAY
        return round(minutes) if abs(minutes - round(minutes)) < 0.02 else None
    return None


def _spellings(day: date) -> list[str]:
    """Return the texts that a spreadsheet program turns into a day: 1-2, 02-01, 1/2, 1-2-26, 2026-1-2."""
    pairs = [(day.month, day.day), (day.day, day.month)]
    if day.day == 1:  # 1-26, a month
        pairs += [(day.month, day.year % 100), (day.month, day.year)]
    numbers = [*pairs, *((a, b, year) for a, b in pairs[:2] for year in (day.year, day.year % 100))]
    numbers += [(year, day.month, day.day) for year in (day.year, day.year % 100)]
    found = [sign.join(map(str, each)) for each in numbers for sign in "-/."]
    found += [sign.join(f"{n:02d}" for n in each) for each in numbers for sign in "-/."]
    return list(dict.fromkeys(found))


def as_id(value: CellValue, known: Collection[str]) -> str:
    """Return the id that a cell means. `known` are those that it can be. Raises `UnmendedError`."""
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, date):
        return _of_date(value, known)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise UnmendedError("no-id", value=text_of(value))
    if abs(value) >= _ROUNDED or value != int(value):
        raise UnmendedError("rounded", value=text_of(value))
    return text_of(value)


def _of_date(day: date, known: Collection[str]) -> str:
    meant = [text for text in _spellings(day) if text in known]
    if len(meant) != 1:
        raise UnmendedError("date", value=text_of(day))
    return meant[0]


def meant(value: CellValue, column: SheetColumn, before: Any, known: Collection[str]) -> Any:
    """Return what a cell that was changed means, as it is written in the folder. Raises `UnmendedError`.

    `before` is the value that was there; `known` are the ids that the column takes.
    """
    if isinstance(value, str):
        return _of_text(value, column, before)
    if column.kind == "yes-no" and isinstance(value, bool):
        return value
    if column.kind in ("clock", "clocks") and (minutes := _minutes(value)) is not None:
        return clock_text(minutes) if column.kind == "clock" else [clock_text(minutes)]
    if isinstance(value, bool):
        return str(value).lower() if column.kind == "word" else value
    if isinstance(value, int | float):
        return _of_number(value, column)
    if isinstance(value, date):
        day = _of_date(value, known)
        return [day] if column.kind in ("ids", "contents") else day
    raise UnmendedError("time", value=text_of(value))


def _of_text(value: str, column: SheetColumn, before: Any) -> Any:
    value = clean(value)
    if column.kind in SEVERAL:
        try:
            return several(value, column, before)
        except ValueError:
            raise UnmendedError("several", value=value) from None
    if column.kind == "yes-no":
        return _YES.get(value.casefold(), value)
    if column.kind in ("text", "plain", "word", "id"):
        return value if "\n" in str(before) else " ".join(value.split())
    return plain(value)


def _of_number(value: int | float, column: SheetColumn) -> Any:
    if abs(value) >= _ROUNDED:
        raise UnmendedError("rounded", value=text_of(value))
    number = int(value) if float(value).is_integer() else float(text_of(value))
    if column.kind == "share" and 0 < number < 1:
        return share_text(number)
    if column.kind in ("text", "plain", "word", "id"):
        return text_of(value)
    if column.kind in ("ids", "contents", "words"):
        return [text_of(value)]
    return number
