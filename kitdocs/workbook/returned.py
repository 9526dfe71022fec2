"""A workbook that came back: the cells of its sheets, found by their keys, and the files that it was made from."""

from __future__ import annotations

import zipfile
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from kitdocs.errors import KitdocsError
from kitdocs.importing.grids import Grid, GridCell, UnreadableError, read_grids
from kitdocs.practice.message import Message, message
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.shipped import shipped_languages
from kitdocs.workbook.carried import CARRIED_SHEET, MARK, unpacked
from kitdocs.workbook.sheets import WorkbookSheet, sheets_of
from kitdocs.workbook.texts import data_of

#: The row of keys is looked for among so many.
_FIRST_ROWS = 12
#: Bytes of the list of a workbook's sheets that are looked at.
_LARGEST_LIST = 1024 * 1024


class NoWorkbookError(KitdocsError):
    """A file that is no practice workbook, or whose hidden sheet is gone or damaged."""


@dataclass(frozen=True, slots=True)
class ReturnedRow:
    """A row of a sheet: its first cell, and the others by the key of their column."""

    first: GridCell
    cells: Mapping[str, GridCell]

    @property
    def is_empty(self) -> bool:
        """Whether nothing stands in it."""
        return self.first.value is None and all(cell.value is None for cell in self.cells.values())


@dataclass(frozen=True, slots=True)
class ReturnedSheet:
    """A sheet as it came back, beside the one that was written. A settings sheet has one row, whose key is ''."""

    sheet: WorkbookSheet
    title: str
    rows: Sequence[ReturnedRow]
    unused: Sequence[GridCell] = ()
    """Cells below no key of ours."""


@dataclass(frozen=True, slots=True)
class ReturnedBook:
    """A workbook as it came back. `texts` are the files that it was made from, by stem."""

    file: str
    texts: Mapping[str, str]
    sheets: Sequence[ReturnedSheet]
    told: Sequence[Message] = field(default_factory=tuple)


def is_practice_workbook(path: Path) -> bool:
    """Whether a file is a workbook that `kitdocs workbook` wrote."""
    suffix = path.suffix.lower()
    try:
        if suffix == ".xlsx" and not _names_hidden_sheet(path):
            return False
        return suffix in (".xlsx", ".ods") and any(_carries(grid) for grid in read_grids(path))
    except (UnreadableError, OSError):
        return False


def _names_hidden_sheet(path: Path) -> bool:
    """Whether a workbook has a sheet of the name of ours; found without reading its cells."""
    try:
        with zipfile.ZipFile(path) as archive, archive.open("xl/workbook.xml") as listed:
            return f'"{CARRIED_SHEET}"'.encode() in listed.read(_LARGEST_LIST)
    except (zipfile.BadZipFile, KeyError, NotImplementedError, RuntimeError, EOFError, zlib.error):
        return False


def _carries(grid: Grid) -> bool:
    return grid.sheet == CARRIED_SHEET and grid.rows[0][0].value == MARK


def read_back(path: Path) -> ReturnedBook:
    """Return a workbook that came back. Raises `NoWorkbookError`, `UnreadableError`."""
    return returned_book(path.name, read_grids(path))


def returned_book(file: str, grids: Sequence[Grid]) -> ReturnedBook:
    """Return the workbook with these sheets. Raises `NoWorkbookError`."""
    hidden = next((grid for grid in grids if _carries(grid)), None)
    cells = [str(row[0].value) for row in hidden.rows if row[0].value is not None] if hidden else []
    try:
        texts = unpacked(cells)
    except ValueError as error:
        raise NoWorkbookError(f"{file}: {error}; write a new one with kitdocs workbook") from None
    found: list[ReturnedSheet] = []
    told: list[Message] = []
    read = [hidden]
    for sheet in sheets_of(data_of(texts)):
        grid, keys = next(((grid, keys) for grid in grids if (keys := _key_row(grid, sheet)) >= 0), (None, -1))
        if grid is None:
            if sheet.records:
                told.append(message("workbook.told.no-sheet", sheet=sheet.name))
            continue
        read.append(grid)
        returned = _settings(grid, keys, sheet) if sheet.form == "settings" else _table(grid, keys, sheet)
        found.append(returned)
        missing = _missing(grid, keys, sheet)
        told += [message("workbook.told.no-column", sheet=grid.sheet, key=key) for key in missing]
        told += [message("workbook.told.unused", sheet=grid.sheet, cell=cell.where) for cell in returned.unused]
    starts = {shipped_sentences(language)["workbook.start.tab"] for language in shipped_languages()}
    others = (grid for grid in grids if grid not in read and grid.sheet not in starts and grid is not grids[0])
    told += [message("workbook.told.not-read", sheet=grid.sheet) for grid in others]
    return ReturnedBook(file, texts, found, told)


def _key_row(grid: Grid, sheet: WorkbookSheet) -> int:
    """Return the number of the row with the keys, from 0; -1 where the grid is not that sheet."""
    return next((n for n, row in enumerate(grid.rows[:_FIRST_ROWS]) if row and row[0].text == sheet.name), -1)


def _keys(grid: Grid, keys: int) -> dict[int, str]:
    """Return the keys of the columns, by their number from 0."""
    return {n: cell.text for n, cell in enumerate(grid.rows[keys]) if n and cell.text}


def _missing(grid: Grid, keys: int, sheet: WorkbookSheet) -> list[str]:
    held = {row[0].text for row in grid.rows[keys + 2 :]} if sheet.form == "settings" else {*_keys(grid, keys).values()}
    written = [key for key in sheet.records for _ in (0,)]
    used = {key for record in written for key, cell in sheet.cells(record).items() if cell is not None}
    return [column.key for column in sheet.columns if column.key not in held and column.key in used]


def _settings(grid: Grid, keys: int, sheet: WorkbookSheet) -> ReturnedSheet:
    place = next((n for n, key in _keys(grid, keys).items() if key == "value"), 2)
    known = {column.key for column in sheet.columns}
    cells, unused = {}, []
    for row in grid.rows[keys + 2 :]:
        if row[0].text in known:
            cells[row[0].text] = row[place] if place < len(row) else GridCell(None, row[0].row, place + 1)
        elif place < len(row) and row[place].value is not None:
            unused.append(row[place])
    first = GridCell("", keys + 1, 1)
    return ReturnedSheet(sheet, grid.sheet, [ReturnedRow(first, cells)], unused)


def _table(grid: Grid, keys: int, sheet: WorkbookSheet) -> ReturnedSheet:
    known = {column.key for column in sheet.columns}
    places = {n: key for n, key in _keys(grid, keys).items() if key in known}
    rows: list[ReturnedRow] = []
    unused: dict[int, GridCell] = {}  # the first of each column
    for row in grid.rows[keys + 2 :]:
        returned = ReturnedRow(row[0], {key: row[n] for n, key in places.items()})
        if not returned.is_empty:
            rows.append(returned)
        for n, cell in enumerate(row):
            if n and n not in places and cell.value is not None:
                unused.setdefault(n, cell)
    return ReturnedSheet(sheet, grid.sheet, rows, list(unused.values()))
