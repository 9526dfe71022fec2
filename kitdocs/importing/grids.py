"""Sheets of a spreadsheet file as grids of cells, each with its place: .xlsx and .ods, and text with any separator.

Nothing is interpreted here: a cell holds what the file does, a formula its kept result.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from pathlib import Path

from python_calamine import CalamineError, CalamineWorkbook, PasswordError, SheetTypeEnum

from kitdocs.errors import KitdocsError
from kitdocs.importing.separated import rows_of
from kitdocs.importing.unpacking import refuse_bomb
from kitdocs.practice.message import Message, Value, message

#: No inventory or appointment book of an office is larger. Bytes of a file, and cells of a sheet with blank ones.
LARGEST = 20 * 1024 * 1024
MOST_CELLS = 2_000_000

CellValue = str | float | int | bool | datetime | date | time | timedelta | None


class UnreadableError(KitdocsError):
    """A file that cannot be taken in; `message` says why and what to do instead."""

    def __init__(self, name: str, /, **values: Value) -> None:
        self.message: Message = message(f"import.unreadable.{name}", **values)
        super().__init__(str(self.message))


def column_letters(column: int) -> str:
    """Return the letters of a column counted from 1: ``A``, ``Z``, ``AA``."""
    letters = ""
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


@dataclass(frozen=True, slots=True)
class GridCell:
    """One cell. Row and column count from 1; an empty cell is None, and so is one of blanks only."""

    value: CellValue
    row: int
    column: int

    @property
    def text(self) -> str:
        """What a person reads in it; '' in an empty one."""
        return text_of(self.value)

    @property
    def where(self) -> str:
        """Where it stands, as spreadsheet programs say: ``B7``."""
        return f"{column_letters(self.column)}{self.row}"


def text_of(value: CellValue) -> str:  # noqa: PLR0911  # one return a type
    """Return a value as a person reads it: ``12`` for 12.0, ``2026-11-25``, ``08:30``."""
    match value:
        case None:
            return ""
        case str():
            return " ".join(value.split())
        case bool():
            return "TRUE" if value else "FALSE"
        case int() | float():
            return format(value, ".15g")
        case datetime():
            return value.strftime("%Y-%m-%d %H:%M") if value.time() != time() else value.strftime("%Y-%m-%d")
        case date():
            return value.isoformat()
        case time():
            return value.strftime("%H:%M:%S" if value.second else "%H:%M")
        case timedelta():
            minutes = round(value.total_seconds() / 60)
            return f"{minutes // 60}:{minutes % 60:02d}"


@dataclass(frozen=True, slots=True)
class Grid:
    """One sheet. All rows are as long as the longest; row and column of a cell are its place in the file."""

    file: str
    """The name of the file, without its folder."""
    sheet: str
    """The name of the sheet; '' in a text file."""
    rows: tuple[tuple[GridCell, ...], ...]

    @property
    def name(self) -> str:
        """The file, and the sheet where there are sheets: ``inventory.xlsx, Pliers``."""
        return f"{self.file}, {self.sheet}" if self.sheet else self.file

    def without(self, columns: Iterable[int]) -> Grid:
        """Return the grid with some columns, counted from 1, empty."""
        gone = frozenset(columns)
        rows = tuple(tuple(replace(c, value=None) if c.column in gone else c for c in row) for row in self.rows)
        return replace(self, rows=rows)


def grid_of(file: str, sheet: str, rows: Sequence[Sequence[CellValue]]) -> Grid:
    """Return the grid of some rows of values, the first of which is row 1; shorter rows are filled with empty cells."""
    width = max((_width(row) for row in rows), default=0)
    last = max((n for n, row in enumerate(rows, 1) if _width(row)), default=0)
    cells = tuple(
        tuple(GridCell(_value(row[n] if n < len(row) else None), at, n + 1) for n in range(width))
        for at, row in enumerate(rows[:last], 1)
    )
    return Grid(file, sheet, cells)


def _width(row: Sequence[CellValue]) -> int:
    return max((n for n, value in enumerate(row, 1) if _value(value) is not None), default=0)


def _value(value: CellValue) -> CellValue:
    if isinstance(value, str):
        value = re.sub(r"[\x00-\x08\x0b-\x1f\x7f\u200b-\u200f\u202a-\u202e\u2060-\u206f\ufeff]", "", value).strip()
        return value or None
    return value


def read_grids(path: Path) -> tuple[Grid, ...]:
    """Return the sheets of a file that have anything in them, in their order.

    Raises `UnreadableError` when it cannot be read, is no spreadsheet, or is larger than `LARGEST` or `MOST_CELLS`.
    """
    file, suffix = path.name, path.suffix.lower()
    try:
        size = path.stat().st_size
        if size > LARGEST:
            raise UnreadableError("large", file=file, most=LARGEST // 1024 // 1024)
        data = path.read_bytes()
    except OSError as error:
        raise UnreadableError("missing", file=file, why=error.strerror or str(error)) from error
    if suffix in (".xlsx", ".xlsm", ".ods"):
        grids = _workbook(path, data)
    elif suffix in (".csv", ".tsv", ".txt", ".tab"):
        grids = (_text(file, data),)
    else:
        raise UnreadableError("suffix", file=file)
    return tuple(grid for grid in grids if grid.rows)


def _text(file: str, data: bytes) -> Grid:
    if data[:4] == b"PK\x03\x04" or data[:4] == b"\xd0\xcf\x11\xe0":
        raise UnreadableError("not-text", file=file)
    try:
        rows = rows_of(data)
    except ValueError as error:
        raise UnreadableError("no-table", file=file, why=str(error)) from error
    if sum(map(len, rows)) > MOST_CELLS:
        raise UnreadableError("cells", file=file, most=MOST_CELLS)
    return grid_of(file, "", rows)


def _workbook(path: Path, data: bytes) -> tuple[Grid, ...]:
    file = path.name
    if data[:4] == b"\xd0\xcf\x11\xe0":
        raise UnreadableError("locked-or-old", file=file)
    try:
        refuse_bomb(data, MOST_CELLS)
    except OverflowError:
        raise UnreadableError("cells", file=file, most=MOST_CELLS) from None
    except ValueError:
        raise UnreadableError("broken", file=file) from None
    try:
        with CalamineWorkbook.from_path(path) as book:
            names = [about.name for about in book.sheets_metadata if about.typ is SheetTypeEnum.WorkSheet]
            return tuple(
                grid_of(file, name, book.get_sheet_by_name(name).to_python(skip_empty_area=False)) for name in names
            )
    except PasswordError:
        raise UnreadableError("locked-or-old", file=file) from None
    except (CalamineError, OSError, ValueError, EOFError):
        raise UnreadableError("broken", file=file) from None
