"""Edits that a workbook brings: what it holds now, compared cell by cell with what was written into it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from kitdocs.importing.grids import GridCell
from kitdocs.practice.editing.edits import GONE, same, with_value
from kitdocs.practice.locations import Path
from kitdocs.practice.message import Message, Value, message
from kitdocs.workbook.columns import SheetColumn
from kitdocs.workbook.mending import UnmendedError, as_id, is_unchanged, meant
from kitdocs.workbook.returned import ReturnedBook, ReturnedRow, ReturnedSheet
from kitdocs.workbook.sheets import RowKey, WorkbookSheet, value_at


@dataclass(frozen=True, slots=True, kw_only=True)
class BookEdit:
    """One value that the workbook brings. `path` begins with the file's stem; `before` is the value it was made from.

    `value` is `GONE` for what is taken out, `before` for what was not there. A whole record is put in or taken out
    with its own path, and its `after` is the record above it.
    """

    path: Path
    before: Any
    value: Any
    where: str
    """Where it stands: ``Sets!D7``."""
    after: str | None = None
    is_record: bool = False
    kept_as: str = ""
    """The text of a cell that a spreadsheet program had rewritten, as it was found."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BookProblem:
    """A cell that cannot be taken, and why."""

    where: str
    message: Message


@dataclass(slots=True)
class WorkbookEdits:
    """Everything that a workbook comes to. `cells` says where each value stands, by path with the file's stem."""

    edits: list[BookEdit] = field(default_factory=list)
    problems: list[BookProblem] = field(default_factory=list)
    cells: dict[Path, str] = field(default_factory=dict)


def compare(book: ReturnedBook) -> WorkbookEdits:
    """Return what a workbook brings."""
    out = WorkbookEdits()
    ids = _ids(book)
    for returned in book.sheets:
        _Comparing(returned, ids, out).all_rows()
    return out


def _ids(book: ReturnedBook) -> dict[Path, set[str]]:
    """Return the ids in each table of the workbook: those that were written, and new ones."""
    found: dict[Path, set[str]] = {}
    for returned in book.sheets:
        if returned.sheet.form == "table":
            typed = {str(row.first.value).strip() for row in returned.rows if isinstance(row.first.value, str)}
            found[returned.sheet.path] = typed | {str(key) for key in returned.sheet.records}
    return found


@dataclass(slots=True)
class _Comparing:
    """One sheet, row by row."""

    returned: ReturnedSheet
    ids: dict[Path, set[str]]
    out: WorkbookEdits
    seen: dict[RowKey, str] = field(default_factory=dict)

    @property
    def sheet(self) -> WorkbookSheet:
        return self.returned.sheet

    def where(self, cell: GridCell) -> str:
        return f"{self.returned.title}!{cell.where}"

    def problem(self, cell: GridCell, name: str, /, **values: Value) -> None:
        self.out.problems.append(
            BookProblem(where=self.where(cell), message=message(f"workbook.cell.{name}", **values))
        )

    def all_rows(self) -> None:
        above: str | None = ""
        for row in self.returned.rows:
            key = "" if self.sheet.form == "settings" else self._key(row)
            if key is None:
                continue
            if key in self.seen:
                self.problem(row.first, "twice", id=str(key), other=self.seen[key])
                continue
            self.seen[key] = self.where(row.first)
            path = self._path(key)
            self.out.cells[path] = self.where(row.first)
            for name, cell in row.cells.items():
                parts = name.split(".")
                for n in range(1, len(parts) + 1):
                    self.out.cells.setdefault((*path, *parts[:n]), self.where(cell))
            if key in self.sheet.records:
                self._changed_row(row, key, path)
            else:
                self._new_row(row, key, path, above)
            above = key if isinstance(key, str) else None
        for key in self.sheet.records:
            if key not in self.seen:
                self._edit(self._path(key), self.sheet.records[key], GONE, self.returned.title, is_record=True)

    def _path(self, key: RowKey) -> Path:
        return self.sheet.path if self.sheet.form == "settings" else (*self.sheet.path, key)

    def _key(self, row: ReturnedRow) -> RowKey | None:
        """Return what a row is about: an id, the number of an item. A new item gets the next number."""
        value = row.first.value
        if self.sheet.form == "items":
            if value is None:
                taken = [key for key in (*self.seen, *self.sheet.records) if isinstance(key, int)]
                return max(taken, default=-1) + 1
            if isinstance(value, int | float) and int(value) == value and int(value) - 1 in self.sheet.records:
                return int(value) - 1
            self.problem(row.first, "number", value=row.first.text)
            return None
        if value is None:
            self.problem(row.first, "without-id")
            return None
        known = self.ids[("instruments",)] if self.sheet.path == ("stock",) else set(map(str, self.sheet.records))
        try:
            return as_id(value, known)
        except UnmendedError as error:
            self.out.problems.append(BookProblem(where=self.where(row.first), message=error.message))
            return None

    def _edit(self, path: Path, before: Any, value: Any, where: str, **more: Any) -> None:
        if not same(before, value):
            self.out.edits.append(BookEdit(path=path, before=before, value=value, where=where, **more))

    def _values(self, row: ReturnedRow, key: RowKey) -> Iterator[tuple[SheetColumn, GridCell, Any, Any]]:
        """Yield the cells of a row that were changed, each with the value that was there and the one that is meant."""
        record = self.sheet.records.get(key)
        cells = self.sheet.cells(key) if record is not None else {}
        for column in self.sheet.columns:
            cell = row.cells.get(column.key)
            if cell is None or is_unchanged(cell.value, cells.get(column.key)):
                continue
            before = GONE if cells.get(column.key) is None else value_at(record, column.path)
            known = set().union(*(self.ids.get(path, set()) for path in column.ids), column.words)
            try:
                value = GONE if cell.value is None else meant(cell.value, column, before, known)
            except UnmendedError as error:
                self.out.problems.append(BookProblem(where=self.where(cell), message=error.message))
                continue
            yield column, cell, before, value

    def _changed_row(self, row: ReturnedRow, key: RowKey, path: Path) -> None:
        changed = list(self._values(row, key))
        if changed:
            self._two_forms(row)
        # What goes first makes room for another form of the same value.
        for column, cell, before, value in sorted(changed, key=lambda each: each[3] is not GONE):
            at, kept = (*path, *column.path), "" if isinstance(cell.value, str | None) else cell.text
            more = {"kept_as": kept if kept != str(value) else ""}
            if isinstance(before, dict) and isinstance(value, dict):
                order = list(value)
                for n, (name, part) in enumerate(value.items()):
                    above = next((other for other in reversed(order[:n]) if other in before), None)
                    self._edit((*at, name), before.get(name, GONE), part, self.where(cell), after=above, **more)
                for name, part in before.items():
                    if name not in value:
                        self._edit((*at, name), part, GONE, self.where(cell))
            else:
                self._edit(at, before, value, self.where(cell), **more)

    def _new_row(self, row: ReturnedRow, key: RowKey, path: Path, above: str | None) -> None:
        record: Any = {}
        self._two_forms(row)
        for column, _, _, value in self._values(row, key):
            if value is not GONE:
                record = with_value(record, column.path, value)
        self._edit(path, GONE, record, self.where(row.first), after=above, is_record=True)

    def _two_forms(self, row: ReturnedRow) -> None:
        """Tell a value that is written in two forms, as a name once for all languages and once by language."""
        filled = [
            column for column in self.sheet.columns if (cell := row.cells.get(column.key)) and cell.value is not None
        ]
        for column in filled:
            for other in filled:
                if len(other.path) > len(column.path) and other.path[: len(column.path)] == column.path:
                    self.problem(row.cells[other.key], "two-forms", one=column.key, other=other.key)
                    return


def nearest_cell(path: Path, cells: Mapping[Path, str]) -> str:
    """Return where the value at a path stands in the workbook, or what it lies in; '' when nothing does."""
    found: Sequence[str] = [cells[path[:n]] for n in range(len(path), 0, -1) if path[:n] in cells]
    return found[0] if found else ""
