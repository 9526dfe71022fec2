"""Cells of a CSV text replaced, lines put in and taken out; every other byte of it stays."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kitdocs.practice.editing.lines import TextLines

#: What may stand between the cells, the usual one first; as the reader of the folder counts.
_SIGNS = (",", ";", "\t")


@dataclass(frozen=True, slots=True, kw_only=True)
class RowEdit:
    """Another content of a row. `row` counts the rows below the header that are not empty, from 0.

    `cells` are the cells to replace, by column; None takes the row out. A `new` row is put in before the row of that
    number; behind the last, when there is none.
    """

    row: int
    cells: Mapping[str, str] | None
    new: bool = False


def replace_cells(text: str, edits: Sequence[RowEdit], names: Sequence[str]) -> str:
    """Return a CSV text with the edits made; an empty text first gets a header of the column `names`.

    Columns are found by the header, in small letters. A column that the header lacks is added to the end of every line
    when a cell of it is written.
    """
    if not text.strip():
        text = ",".join(names) + "\n"
    table = _Table(text)
    for edit in edits:
        for name, cell in (edit.cells or {}).items():
            if name not in table.header and cell:
                table.add_column(name)
    for edit in sorted(edits, key=lambda edit: (edit.row, not edit.new), reverse=True):
        # The last first, so that numbers of rows stay; of several new ones in one place the last is put in first.
        table.make(edit)
    new = [edit for edit in edits if edit.new]
    table.put_in(new)
    return table.text


class _Table:
    def __init__(self, text: str) -> None:
        self.lines = TextLines(text)
        whole = [self.lines.line(number) for number in range(len(self.lines.starts))]
        self.separator = max(_SIGNS, key=whole[0].count)
        self.whole = whole
        self.header = [cell.strip().strip('"').strip().lower() for cell in self._split(whole[0])]
        blank = f"{self.separator} \t"
        self.rows = [number for number in range(1, len(whole)) if whole[number].strip(blank)]
        self.gone: set[int] = set()
        self.before: dict[int, list[str]] = {}

    def _split(self, line: str) -> list[str]:
        """The cells of a line with the quotes and blanks around them."""
        cell = re.compile(rf'\s*"(?:[^"]|"")*"[^{self.separator}]*|[^{self.separator}]*')
        found, at = [], 0
        while True:
            match = cell.match(line, at)
            assert match
            found.append(match[0])
            at = match.end() + 1
            if at > len(line):
                return found

    def split(self, number: int) -> list[str]:
        """The cells of a line as they are written."""
        return self._split(self.whole[number])

    def make(self, edit: RowEdit) -> None:
        if edit.new:
            return
        number = self.rows[edit.row]
        if edit.cells is None:
            self.gone.add(number)
            return
        cells = self._split(self.whole[number])
        cells += [""] * (len(self.header) - len(cells))
        for name, text in edit.cells.items():
            if name in self.header:
                place = self.header.index(name)
                cells[place] = self._written(text, cells[place])
        self.whole[number] = self.separator.join(cells)

    def put_in(self, new: Sequence[RowEdit]) -> None:
        for edit in new:
            cells = [self._written((edit.cells or {}).get(name, ""), "") for name in self.header]
            number = self.rows[edit.row] if edit.row < len(self.rows) else self._end()
            self.before.setdefault(number, []).append(self.separator.join(cells))

    def _end(self) -> int:
        return (self.rows[-1] if self.rows else 0) + 1

    def add_column(self, name: str) -> None:
        self.header.append(name)
        self.whole[0] += f"{self.separator}{name}"
        for number in self.rows:
            self.whole[number] += self.separator

    def _written(self, text: str, before: str) -> str:
        """Return a cell as it is written, with the blanks and quotes that were there before."""
        blank = before[: len(before) - len(before.lstrip())] if before.strip() else ""
        behind = before[len(before.rstrip()) :] if before.strip() else ""
        if before.strip().startswith('"') or self.separator in text or '"' in text or text != text.strip():
            text = '"' + text.replace('"', '""') + '"'
        return f"{blank}{text}{behind}"

    @property
    def text(self) -> str:
        """The whole text; a line that stays keeps its own end."""
        parts: list[str] = []
        for number, line in enumerate(self.whole):
            parts += [new + self.lines.eol for new in self.before.get(number, ())]
            if number in self.gone:
                continue
            start = self.lines.starts[number]
            stop = self.lines.starts[number + 1] if number + 1 < len(self.lines.starts) else len(self.lines.text)
            parts.append(line + self.lines.text[start + len(self.lines.line(number)) : stop])
        new = [line for number, lines in self.before.items() if number >= len(self.whole) for line in lines]
        if new:
            if parts and parts[-1] and not parts[-1].endswith(("\n", "\r")):
                parts.append(self.lines.eol)
            parts += [line + self.lines.eol for line in new]
        return "".join(parts)


def csv_rows(text: str) -> list[dict[str, str]]:
    """Return the rows of a CSV text below its header, each as its cells by column, without blanks and quotes."""
    if not text.strip():
        return []
    table = _Table(text)
    return [
        {name: _bare(cell) for name, cell in zip(table.header, table.split(number), strict=False)}
        for number in table.rows
    ]


def _bare(cell: str) -> str:
    cell = cell.strip()
    return cell[1:-1].replace('""', '"').strip() if len(cell) > 1 and cell[0] == cell[-1] == '"' else cell
