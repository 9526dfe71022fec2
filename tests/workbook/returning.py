"""A workbook that comes back: cells changed, rows put in and taken out, as in a spreadsheet program."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from kitdocs.document.catalog import built_in_catalog
from kitdocs.importing.grids import Grid, GridCell, grid_of, read_grids
from kitdocs.workbook.returned import ReturnedBook, returned_book
from kitdocs.workbook.write import practice_workbook


class Returning:
    """The sheets of the workbook of some texts, to be changed."""

    def __init__(self, texts: Mapping[str, str], language: str = "en") -> None:
        self.texts = dict(texts)
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "practice.xlsx"
            file.write_bytes(practice_workbook(texts, built_in_catalog(language)))
            self.grids = {grid.rows[1][0].text: grid for grid in read_grids(file) if len(grid.rows) > 1}
            self.hidden = next(grid for grid in read_grids(file) if grid.sheet == "kitdocs")

    def copy(self) -> Returning:
        other = object.__new__(Returning)
        other.texts, other.grids, other.hidden = self.texts, dict(self.grids), self.hidden
        return other

    def place(self, sheet: str, row: Any, key: str) -> tuple[int, int]:
        """Row and column, from 0, of a value."""
        grid = self.grids[sheet]
        column = next(n for n, cell in enumerate(grid.rows[1]) if cell.text == key)
        return next(n for n, cells in enumerate(grid.rows) if n > 2 and cells[0].value == row), column

    def set(self, sheet: str, row: Any, key: str, value: Any) -> str:
        """Write into a cell; return where it stands."""
        n, column = self.place(sheet, row, key)
        return self.set_at(sheet, n, column, value)

    def set_at(self, sheet: str, n: int, column: int, value: Any) -> str:
        grid = self.grids[sheet]
        rows = [list(cells) for cells in grid.rows]
        # A cell is read from a file as `grid_of` reads it: without blanks around.
        rows[n][column] = (
            replace(grid_of("", "", [[value]]).rows[0][0], row=n + 1, column=column + 1)
            if value
            not in (
                None,
                "",
            )
            and grid_of("", "", [[value]]).rows
            else GridCell(None, n + 1, column + 1)
        )
        self.grids[sheet] = replace(grid, rows=tuple(map(tuple, rows)))
        return f"{grid.sheet}!{rows[n][column].where}"

    def put_in(self, sheet: str, after: Any, values: Mapping[str, Any]) -> None:
        """A new row below another; its first cell is the value of ``""``."""
        grid = self.grids[sheet]
        keys = ["", *(cell.text for cell in grid.rows[1][1:])]
        at = next((n for n, cells in enumerate(grid.rows) if n > 2 and cells[0].value == after), 2) + 1
        rows = [[cell.value for cell in cells] for cells in grid.rows]
        rows.insert(at, [values.get(key) for key in keys])
        self._made_of(sheet, rows)

    def take_out(self, sheet: str, row: Any) -> None:
        grid = self.grids[sheet]
        self._made_of(sheet, [[cell.value for cell in cells] for cells in grid.rows if cells[0].value != row])

    def reverse(self, sheet: str) -> None:
        """Sort the rows the other way round."""
        rows = [[cell.value for cell in cells] for cells in self.grids[sheet].rows]
        self._made_of(sheet, [*rows[:3], *reversed(rows[3:])])

    def _made_of(self, sheet: str, rows: list[list[Any]]) -> None:
        width = max(map(len, rows))
        cells = tuple(
            tuple(GridCell(row[n] if n < len(row) else None, at, n + 1) for n in range(width))
            for at, row in enumerate(rows, 1)
        )
        self.grids[sheet] = Grid(self.grids[sheet].file, self.grids[sheet].sheet, cells)

    @property
    def book(self) -> ReturnedBook:
        return returned_book("practice.xlsx", [*self.grids.values(), self.hidden])
