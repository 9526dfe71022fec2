"""Tables as one workbook: a sheet a table, real numbers, formulas that work the sums out again, set up for printing.

The same tables give the same bytes: the date inside is fixed, and so are the times within the archive. There are
no macros, and no text is ever written as a formula, whatever it begins with.
"""

from __future__ import annotations

import datetime
import io
import re
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.utility import xl_col_to_name, xl_rowcol_to_cell

from kitdocs.document.table import Column, Table, Tables, Value

#: Written into every workbook instead of the day on which it was made.
_MADE = datetime.datetime(2026, 1, 1)

_PAPER = {"letter": 1, "a4": 9}
#: Characters of a column's width, and points of a line's height in the typeface that a spreadsheet starts with.
_WIDEST, _WIDEST_LONG, _LINE, _LINE_TO_WRITE_ON = 34, 64, 15, 19
_INK, _GREY = "#1a1a1a", "#e9ecee"


def workbook(tables: Tables) -> bytes:
    """The workbook, as a file."""
    file = io.BytesIO()
    book = Workbook(
        file,
        {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False},
    )
    book.set_properties({"title": tables.title, "author": "kitdocs", "created": _MADE})
    for table in tables.tables:
        _Sheet(book, book.add_worksheet(sheet_name(table)), table, tables).write()
    book.close()
    return file.getvalue()


def sheet_name(table: Table) -> str:
    """Return what the tab says; a spreadsheet takes no more than 31 letters."""
    return (table.tab or table.name)[:31]


def _look(column: Column, row: str) -> dict[str, Any]:
    """Return how a column's cell looks in the `header`, the `body` or the `total` row."""
    numeric = column.kind not in ("text", "long-text")
    look: dict[str, Any] = {"valign": "top", "font_color": _INK, "num_format": _number_format(column)}
    if numeric:
        look["align"] = "right"
    if column.kind == "long-text":
        look |= {"align": "left", "indent": 1}
    if column.kind == "long-text" or row == "header":
        look["text_wrap"] = True
    if row == "header":
        look |= {"bold": True, "bg_color": _GREY, "bottom": 1, "valign": "bottom", "num_format": "General"}
    if row == "total":
        look |= {"bold": True, "top": 1}
    if row == "body" and column.fill_in:
        look["border"] = 1
    return look


def _number_format(column: Column) -> str:
    if column.kind == "count":
        return "#,##0"
    if column.kind == "money":
        return "#,##0.00"
    if column.kind == "number":
        return "#,##0." + "0" * column.digits
    return "General" if column.kind == "any" else "@"


@dataclass(frozen=True, slots=True)
class _Sheet:
    book: Workbook
    sheet: Any
    table: Table
    tables: Tables

    def _format(self, column: Column, row: str) -> Any:
        """Return a format. The workbook keeps one of those that are alike."""
        return self.book.add_format(_look(column, row))

    def write(self) -> None:
        columns = self.table.columns
        widths = [_width(self.table, place) for place in range(len(columns))]
        for place, column in enumerate(columns):
            self.sheet.write_string(0, place, column.header, self._format(column, "header"))
            self.sheet.set_column(place, place, widths[place])
            look = self._format(column, "body")
            for row, values in enumerate(self.table.rows, 1):
                self._cell(row, place, values[place], look)
        height = _LINE_TO_WRITE_ON if any(column.fill_in for column in columns) else _LINE
        # Not every spreadsheet makes a line as high as its wrapped words by itself.
        self.sheet.set_row(0, _LINE * max(map(_lines, (column.header for column in columns), widths)))
        for row, values in enumerate(self.table.rows, 1):
            self.sheet.set_row(row, height * max(self._wrapped(values, widths), default=1))
        self._totals()
        self._set_up()

    def _wrapped(self, values: tuple[Value, ...], widths: list[float]) -> Iterator[int]:
        """In how many lines each long text of a row stands."""
        for column, value, width in zip(self.table.columns, values, widths, strict=True):
            if column.kind == "long-text":
                # An indent takes about two letters.
                yield _lines(value, width - 2)

    def _cell(self, row: int, place: int, value: Value, look: Any) -> None:
        column = self.table.columns[place]
        if column.formula:
            cached = "" if value is None else _plain(value)
            self.sheet.write_formula(row, place, self._formula(column, row), look, cached)
        elif value is None:
            self.sheet.write_blank(row, place, None, look)
        elif isinstance(value, str):
            self.sheet.write_string(row, place, value, look)
        else:
            self.sheet.write_number(row, place, _plain(value), look)

    def _formula(self, column: Column, row: int) -> str:
        def cell(match: re.Match[str]) -> str:
            return str(xl_rowcol_to_cell(row, self.table.column(match[1])))

        return "=" + re.sub(r"\{([^}]+)\}", cell, column.formula)

    def _totals(self) -> None:
        """A row below the last; it sums what a filter leaves in sight."""
        last = len(self.table.rows)
        columns = self.table.columns
        if not last or not any(column.total for column in columns):
            return
        for place, column in enumerate(columns):
            look = self._format(column, "total")
            if column.total:
                letter = xl_col_to_name(place)
                formula = f"=SUBTOTAL(9,{letter}2:{letter}{last + 1})"
                self.sheet.write_formula(last + 1, place, formula, look, _plain(self.table.total(place)))
            else:
                self.sheet.write_string(last + 1, place, "" if place else self.tables.total, look)

    def _set_up(self) -> None:
        sheet, table = self.sheet, self.table
        last_row, last_column = max(1, len(table.rows)), len(table.columns) - 1
        sheet.freeze_panes(1, 2 if table.columns[1].id == "name" else 1)
        sheet.autofilter(0, 0, last_row, last_column)
        sheet.set_paper(_PAPER[self.tables.paper])
        if table.landscape:
            sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
        sheet.repeat_rows(0)
        sheet.set_margins(left=0.5, right=0.5, top=0.8, bottom=0.7)
        sheet.set_header(f'&L&12&"-,Bold"{_in_margin(table.title)}')
        sheet.set_footer(f"&L&9{_in_margin(self.tables.practice)}&R&9&P / &N")


def _in_margin(text: str) -> str:
    """A text for a page's margin, where an ampersand alone gives a command."""
    return text.replace("&", "&&")[:200]


def _plain(value: Value) -> int | float | str:
    return float(value) if isinstance(value, Decimal) else "" if value is None else value


def _lines(value: Value, width: float) -> int:
    """In how many lines a text stands in a column of that width."""
    return max(1, len(textwrap.wrap(value, max(4, int(width) - 1)))) if isinstance(value, str) else 1


def _width(table: Table, place: int) -> float:
    """Wide enough for the longest cell, and for the longest word of the header."""
    column = table.columns[place]
    widest = _WIDEST_LONG if column.kind == "long-text" else _WIDEST
    cells = max((len(text) for text in _shown(table, place)), default=0)
    words = max(len(word) for word in column.header.split())
    # Room for the button of the filter beside the header's words.
    return min(widest, max(cells + 2, words + 3, 11))


def _shown(table: Table, place: int) -> Iterator[str]:
    column = table.columns[place]
    for row in table.rows:
        value = row[place]
        if isinstance(value, Decimal) or (isinstance(value, float) and column.kind == "number"):
            yield f"{value:,.2f}"
        elif value is not None:
            yield str(value)
    if column.total:
        yield f"{table.total(place):,}"
