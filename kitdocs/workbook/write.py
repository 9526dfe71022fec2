"""A practice folder as a workbook: a sheet a table, with headings, lists to choose from, and comments that teach.

The same folder gives the same bytes. No text is ever written as a formula, whatever it begins with.
"""

from __future__ import annotations

import datetime
import io
import textwrap
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.utility import quote_sheetname, xl_col_to_name

from kitdocs.document.catalog import MessageCatalog
from kitdocs.practice.locations import Path
from kitdocs.workbook.carried import CARRIED_SHEET, carried
from kitdocs.workbook.cells import Cell
from kitdocs.workbook.columns import NUMBERS_TOO, SEVERAL, SheetColumn
from kitdocs.workbook.sheets import RowKey, WorkbookSheet, rows, sheets_of
from kitdocs.workbook.texts import data_of
from kitdocs.workbook.words import comment, heading, hint, named, tab

#: Written into every workbook instead of the day on which it was made.
_MADE = datetime.datetime(2026, 1, 1)
_PAPER = {"letter": 1, "a4": 9}
#: The rows above the records: what people call a value, its key, how it is written.
HEAD_ROWS = 3
#: Empty rows below the records in which the lists to choose from stand, too.
_MORE_ROWS = 200
#: In characters of a column's width, and points of a line's height.
_NARROWEST, _WIDEST, _WIDEST_SEVERAL, _LINE, _SMALL_LINE = 9, 34, 52, 15, 12.5
#: Characters that a page on its side holds in letters that can still be read.
_PAGE_WIDTH = 190
#: A list of words that is longer is kept on the hidden sheet, by the rules of the file format.
_LONGEST_LIST = 255
_INK, _DIM, _GREY = "#1a1a1a", "#5c666d", "#e9ecee"


def practice_workbook(texts: Mapping[str, str], words: MessageCatalog) -> bytes:
    """Return the workbook of a folder, given the texts of its data files by stem."""
    return _Writer.of(texts, words).write()


@dataclass(slots=True)
class _Writer:
    texts: Mapping[str, str]
    words: MessageCatalog
    data: Mapping[str, Any]
    sheets: tuple[WorkbookSheet, ...]
    file: io.BytesIO
    book: Workbook
    hidden: Any = None
    lists: dict[tuple[str, ...], str] = field(default_factory=dict)

    @classmethod
    def of(cls, texts: Mapping[str, str], words: MessageCatalog) -> _Writer:
        file = io.BytesIO()
        options: dict[str, Any] = {"in_memory": True}
        options |= dict.fromkeys(("strings_to_formulas", "strings_to_urls", "strings_to_numbers"), False)
        data = data_of(texts)
        return cls(texts, words, data, sheets_of(data), file, Workbook(file, options))

    @property
    def settings(self) -> Mapping[str, Any]:
        written = self.data.get("practice")
        return written if isinstance(written, dict) else {}

    @property
    def practice(self) -> str:
        name = self.settings.get("name")
        return str(next(iter(name.values()), "") if isinstance(name, dict) else name or "")

    @property
    def currency(self) -> str:
        return str(self.settings.get("currency") or "USD")

    def write(self) -> bytes:
        title = self.words("workbook.title", practice=self.practice)
        self.book.set_properties({"title": title, "author": "kitdocs", "created": _MADE})
        start = self.book.add_worksheet(self.words("workbook.start.tab")[:31])
        written = [(sheet, self.book.add_worksheet(tab(sheet, self.words))) for sheet in self.sheets]
        self.hidden = self.book.add_worksheet(CARRIED_SHEET)
        self.hidden.hide()
        for number, cell in enumerate(carried(self.texts)):
            self.hidden.write_string(number, 0, cell)
        self._start(start)
        for sheet, page in written:
            width = self._settings(sheet, page) if sheet.form == "settings" else self._table(sheet, page)
            self._set_up(sheet, page, width)
        self.book.close()
        return self.file.getvalue()

    def _look(self, **look: Any) -> Any:
        return self.book.add_format({"valign": "top", "font_color": _INK, "text_wrap": True, **look})

    def _heads(self) -> tuple[Any, Any, Any]:
        """How the rows above the records look."""
        grey = {"bg_color": _GREY, "valign": "bottom"}
        return (
            self._look(bold=True, **grey),
            self._look(font_size=9, font_color=_DIM, **grey),
            self._look(italic=True, font_size=9, font_color=_DIM, bottom=1, **grey),
        )

    def _start(self, page: Any) -> None:
        page.hide_gridlines(2)
        page.set_column(0, 0, 26)
        page.set_column(1, 1, 78)
        said = self.words
        title = self.book.add_format({"bold": True, "font_size": 14, "font_color": _INK})
        page.write_string(0, 0, said("workbook.start.title", practice=self.practice), title)
        look, row = self._look(), 2
        for line in said.each("workbook.start", "change", "add", "remove", "order", "several", "back", "care"):
            page.merge_range(row, 0, row, 1, "", look)
            page.write_string(row, 0, line, look)
            page.set_row(row, _LINE * len(textwrap.wrap(line, 96)) + 4)
            row += 1
        row += 1
        head = self._look(bold=True, bg_color=_GREY, bottom=1)
        for place, name in enumerate(said.each("workbook.start", "sheets", "holds")):
            page.write_string(row, place, name, head)
        link = self._look(underline=1)
        for number, sheet in enumerate(self.sheets, row + 1):
            page.write_url(number, 0, f"internal:{quote_sheetname(tab(sheet, said))}!A1", link, tab(sheet, said))
            page.write_string(number, 1, said(f"workbook.holds.{named(sheet.path)}"), look)
        page.set_landscape()
        page.set_paper(_PAPER.get(str(self.settings.get("paper")), 1))
        page.fit_to_pages(1, 1)

    def _settings(self, sheet: WorkbookSheet, page: Any) -> float:
        """One record: a row for each value, with its key, its heading and how it is written. Return the width."""
        head, small, hinted = self._heads()
        said = self.words
        titles = (*said.each("workbook.head", "id", "setting", "value", "hint"),)
        for place, (title, key) in enumerate(zip(titles, (sheet.name, "", "value", ""), strict=True)):
            page.write_string(0, place, title, head)
            page.write_string(1, place, key, small)
            page.write_string(2, place, "", hinted)
        key_look = self._look(font_color=_DIM, bg_color=_GREY)
        dim = self._look(font_color=_DIM, italic=True, align="left", indent=1)
        cells, widths = sheet.cells(""), (36, 46, 46, 34)
        for row, column in enumerate(sheet.columns, HEAD_ROWS):
            look = self._value_look(column, align="left")
            page.write_string(row, 0, column.key, key_look)
            page.write_string(row, 1, heading(column, said), self._look())
            _write(page, row, 2, cells[column.key], look)
            page.write_string(row, 3, hint(column, said, self.currency), dim)
            self._comment(sheet, column, page, row, 1)
            self._choices(column, page, row, row, 2)
            shown = (column.key, heading(column, said), cells[column.key], hint(column, said, self.currency))
            page.set_row(row, _LINE * max(_lines(text, width - 2) for text, width in zip(shown, widths, strict=True)))
        for place, width in enumerate(widths):
            page.set_column(place, place, width)
        return sum(widths)

    def _table(self, sheet: WorkbookSheet, page: Any) -> float:
        """Records: a column for each value. Return the width."""
        head, small, hinted = self._heads()
        said = self.words
        is_listed = sheet.form == "items"
        first, first_hint = said("workbook.head.id"), said("workbook.hint.new-id")
        if is_listed:
            first, first_hint = said("workbook.head.number"), ""
        elif sheet.path == ("stock",):
            first = said("workbook.heading.instrument")
        columns = [(first, sheet.name, first_hint)]
        columns += [(heading(c, said), c.key, hint(c, said, self.currency)) for c in sheet.columns]
        all_rows = list(rows(sheet))
        widths = [_width(columns[0], [_first(key, sheet) for key, _ in all_rows], _WIDEST)]
        for place, column in enumerate(sheet.columns, 1):
            held = [cells[column.key] for _, cells in all_rows]
            widths.append(_width(columns[place], held, _WIDEST_SEVERAL if column.kind in SEVERAL else _WIDEST))
        for place, (title, key, written) in enumerate(columns):
            page.write_string(0, place, title, head)
            page.write_string(1, place, key, small)
            page.write_string(2, place, written, hinted)
            look = self._value_look(sheet.columns[place - 1]) if place else self._look(num_format="@", bold=True)
            page.set_column(place, place, widths[place], look)
        for n in range(HEAD_ROWS):
            lines = max(_lines(each[n], width - 1) for each, width in zip(columns, widths, strict=True))
            page.set_row(n, (_SMALL_LINE if n else _LINE) * lines + 3)
        grey = self._look(font_color=_DIM, bg_color=_GREY, align="center")
        for row, (about, cells) in enumerate(all_rows, HEAD_ROWS):
            _write(page, row, 0, _first(about, sheet), grey if is_listed else self._look(num_format="@", bold=True))
            for place, column in enumerate(sheet.columns, 1):
                _write(page, row, place, cells[column.key], self._value_look(column))
            values = [_first(about, sheet), *cells.values()]
            high = max(_lines(value, width - 1) for value, width in zip(values, widths, strict=True))
            page.set_row(row, _LINE * high)
        last = HEAD_ROWS + len(all_rows) - 1
        if sheet.path == ("stock",):
            page.data_validation(HEAD_ROWS, 0, last + _MORE_ROWS, 0, self._validation(self._range(("instruments",))))
        for place, column in enumerate(sheet.columns, 1):
            self._comment(sheet, column, page, 0, place)
            self._choices(column, page, HEAD_ROWS, last + _MORE_ROWS, place)
        if all_rows:
            page.autofilter(HEAD_ROWS - 1, 0, last, len(sheet.columns))
        return sum(widths)

    def _value_look(self, column: SheetColumn, align: str = "right") -> Any:
        formats = {"count": "0", "money": "0.00", "number": "General", "machines": "General"}
        look: dict[str, Any] = {"num_format": formats.get(column.kind, "@"), "border": 1, "border_color": "#c9ced2"}
        if column.kind in NUMBERS_TOO:
            look |= {"align": align, "indent": 1} if align == "right" else {"align": align}
        return self._look(**look)

    def _comment(self, sheet: WorkbookSheet, column: SheetColumn, page: Any, row: int, place: int) -> None:
        said = comment(sheet, column, self.words, self.currency)
        lines = sum(_lines(line, 44) for line in said.split("\n"))
        look: dict[str, Any] = {"author": "kitdocs", "width": 300, "height": 14 * lines + 14, "font_size": 9}
        page.write_comment(row, place, said, look)

    def _choices(self, column: SheetColumn, page: Any, first: int, last: int, place: int) -> None:
        """Let one of the allowed words or ids be chosen in some cells of a column."""
        if column.kind == "yes-no":
            page.data_validation(first, place, last, place, self._validation(["true", "false"]))
        elif column.words and column.kind not in SEVERAL:
            page.data_validation(first, place, last, place, self._validation(self._words(column.words)))
        elif column.kind == "id" and len(column.ids) == 1:
            page.data_validation(first, place, last, place, self._validation(self._range(column.ids[0])))

    def _validation(self, source: list[str] | str) -> dict[str, Any]:
        return {"validate": "list", "source": source, "error_type": "warning"}

    def _words(self, words: tuple[str, ...]) -> list[str] | str:
        if len(",".join(words)) <= _LONGEST_LIST:
            return list(words)
        if words not in self.lists:
            place = len(self.lists) + 1
            for number, word in enumerate(words):
                self.hidden.write_string(number, place, word)
            letter = xl_col_to_name(place)
            self.lists[words] = f"={CARRIED_SHEET}!${letter}$1:${letter}${len(words)}"
        return self.lists[words]

    def _range(self, path: Path) -> str:
        sheet = next(sheet for sheet in self.sheets if sheet.path == path)
        last = HEAD_ROWS + len(sheet.records) + _MORE_ROWS
        return f"={quote_sheetname(tab(sheet, self.words))}!$A${HEAD_ROWS + 1}:$A${last}"

    def _set_up(self, sheet: WorkbookSheet, page: Any, width: float) -> None:
        page.freeze_panes(HEAD_ROWS, 2 if sheet.form == "settings" else 1)
        page.set_paper(_PAPER.get(str(self.settings.get("paper")), 1))
        page.set_landscape()
        page.fit_to_pages(max(1, round(width / _PAGE_WIDTH)), 0)
        page.repeat_rows(0, HEAD_ROWS - 1)
        page.repeat_columns(0)
        page.set_margins(left=0.4, right=0.4, top=0.8, bottom=0.7)
        page.set_header(f'&L&12&"-,Bold"{_in_margin(tab(sheet, self.words))}&R&9{sheet.name}')
        page.set_footer(f"&L&9{_in_margin(self.practice)}&R&9&P / &N")


def _in_margin(text: str) -> str:
    """A text for a page's margin, where an ampersand alone gives a command."""
    return text.replace("&", "&&")[:200]


def _first(key: RowKey, sheet: WorkbookSheet) -> Cell:
    return key + 1 if isinstance(key, int) else key


def _write(page: Any, row: int, place: int, value: Cell, look: Any) -> None:
    if value is None:
        page.write_blank(row, place, None, look)
    elif isinstance(value, str):
        page.write_string(row, place, value, look)
    else:
        page.write_number(row, place, value, look)


def _lines(value: Cell, width: float) -> int:
    """In how many lines a text stands in a column of that width."""
    return max(1, len(textwrap.wrap(value, max(4, int(width))))) if isinstance(value, str) else 1


def _width(head: tuple[str, str, str], held: list[Cell], widest: int) -> float:
    cells = max((len(str(value)) for value in held if value is not None), default=0)
    words = max((len(word) for text in (head[0], head[2]) for word in text.split()), default=0)
    return min(widest, max(cells + 2, words + 2, len(head[1]) + 1, _NARROWEST))
