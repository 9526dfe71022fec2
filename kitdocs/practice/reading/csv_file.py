"""A table that people keep in a spreadsheet: rows of cells, each with its place.

A column that is not the table's own may be about patients: no cell of it is read, and none is in the line of a place.
"""

from __future__ import annotations

import csv
import difflib
import re
from dataclasses import dataclass, replace
from typing import Any

from kitdocs.practice.locations import Path, SourceLocation
from kitdocs.practice.problems import at_most, nearest, problem_at
from kitdocs.practice.reading.text_file import TextFile
from kitdocs.practice.reading.yaml_file import YamlFile, plain

#: A table of a practice has a few columns and some hundred lines.
MOST_COLUMNS = 100
MOST_LINES = 10_000
#: What may stand between the cells, the usual one first.
_SIGNS = {",": "comma", ";": "semicolon", "\t": "tab"}
#: What stands for each letter of a cell that is not shown.
_HIDDEN = "·"


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """The columns of a table. Cells stay text, save those of `numbers` and of `minutes`."""

    names: tuple[str, ...]
    optional: tuple[str, ...] = ()
    """May be missing, or empty in a line."""
    numbers: tuple[str, ...] = ()
    minutes: tuple[str, ...] = ()
    """Durations; a plain number counts minutes."""
    key: str = ""
    """Each line is about another of these; without it, lines are counted."""


def read_csv(source: TextFile, columns: Columns) -> YamlFile:
    """The lines of a CSV text as records by column, commas, semicolons or tabs between the cells."""
    return _Table(source, columns).read()


class _Table:
    """One walk through the lines of one table."""

    def __init__(self, source: TextFile, columns: Columns) -> None:
        self.source = source
        self.columns = columns
        self.rows: dict[str | int, Any] = {}
        self.out = YamlFile()
        first = source.lines[0]
        self.separator = max(_SIGNS, key=first.count)
        self.own: list[bool] = []  # of each column, whether it is the table's own
        self.shown = (0, "")  # the last line that was shown, by its number: each of its cells has a place
        self.last_split: tuple[str, list[tuple[str, int]] | None] = ("", [])  # a line is read, and may be shown
        self.cell = re.compile(rf'"(?:[^"]|"")*"[^{self.separator}]*|[^{self.separator}]*')

    def read(self) -> YamlFile:
        self.out.values[self.source.at] = self.source.place(1)
        header = self._header()
        self.own = [name in self.columns.names and name not in header[:n] for n, name in enumerate(header)]
        if len(self.source.lines) > MOST_LINES:
            self._note("lines", MOST_LINES, 1, most=MOST_LINES)
        for number, line in enumerate(self.source.lines[1:MOST_LINES], 2):
            if header and line.strip(f"{self.separator} \t"):
                self._row(number, line, header)
        self.out.problems = at_most(self.out.problems)
        self.out.data = self.rows if self.columns.key else list(self.rows.values())
        return self.out

    def _place(self, line: int, column: int = 1) -> SourceLocation:
        """A place in the table, its line without what stands in columns that are not the table's own."""
        place = self.source.place(line, column)
        if line == 1 or not self.own:
            return place
        if line != self.shown[0]:
            self.shown = line, self._own_cells(place.text)
        return replace(place, text=self.shown[1])

    def _own_cells(self, line: str) -> str:
        cells = self._split(line)
        if cells is None or len(cells) != len(self.own):
            if not all(self.own):
                return ""  # nobody knows which cell belongs where
            cells = cells or []
        parts, at = [], 0
        for n, (_, start) in enumerate(cells):
            if n >= len(self.own) or not self.own[n]:
                end = cells[n + 1][1] - 1 if n + 1 < len(cells) else len(line) + 1
                hidden = line[start - 1 : end - 1].rstrip(f"{self.separator} \t")
                parts += [line[at : start - 1], _HIDDEN * len(hidden)]
                at = start - 1 + len(hidden)
        return "".join([*parts, line[at:]])

    def _note(self, name: str, line: int, column: int, path: Path = (), /, **values: Any) -> None:
        place = self._place(line, column)
        self.out.problems.append(problem_at(place, path or self.source.at, name, **values))

    def _cells(self, number: int, line: str) -> list[tuple[str, int]] | None:
        cells = self._split(line)
        if cells is None:
            self._note("quotes", number, line.index('"') + 1 if '"' in line else 1)
        return cells

    def _split(self, line: str) -> list[tuple[str, int]] | None:
        """The cells of a line, each with the column at which it begins; None where a quote is left open."""
        if line != self.last_split[0]:
            self.last_split = line, self._split_anew(line)
        return self.last_split[1]

    def _split_anew(self, line: str) -> list[tuple[str, int]] | None:
        try:
            texts = next(csv.reader([line], delimiter=self.separator, strict=True), [])
        except csv.Error:
            return None
        starts = []
        at = 0
        for _ in texts:
            match = self.cell.match(line, at)
            assert match
            blank = len(match[0]) - len(match[0].lstrip())
            starts.append(at + (blank if blank < len(match[0]) else 0) + 1)
            at = match.end() + 1
        return list(zip((text.strip() for text in texts), starts, strict=True))

    def _header(self) -> list[str]:
        """The names of the columns; one that is slightly misspelt is reported and read as what it must mean."""
        cells = _without_empty_end(self._cells(1, self.source.lines[0]) or [], 0)
        if len(cells) > MOST_COLUMNS:
            self._note("columns", 1, 1, columns=len(cells))
            return []
        names = [name.lower() for name, _ in cells]
        lacking = [c for c in self.columns.names if c not in names]
        for i, (name, column) in enumerate(cells):
            if names[i] in names[:i]:
                self._note("same-column", 1, column, name=name)
            elif names[i] not in self.columns.names:
                meant = difflib.get_close_matches(names[i], lacking, n=1)
                near = nearest(name, lacking or self.columns.names)
                problem = "unknown-column.named" if name else "unknown-column.nameless"
                self._note(problem, 1, column, name=name, file=self.source.name, nearest=near)
                names[i] = meant[0] if meant else names[i]
        missing = [c for c in self.columns.names if c not in names and c not in self.columns.optional]
        if missing:  # another table: what is strange about its columns and lines need not be told
            self.out.problems.clear()
            columns = f"column{'s' if len(missing) > 1 else ''} {', '.join(missing)}"
            head = self.separator.join(self.columns.names)
            values: dict[str, Any] = {"columns": columns, "head": head, "file": self.source.name}
            place = self.source.place(1)
            if any(sign.isdigit() for sign in self.source.lines[0]) or 2 * len(missing) > len(self.columns.names):
                place = SourceLocation(file=place.file)  # not a heading, and it may be about a patient
            self.out.problems.append(problem_at(place, self.source.at, "missing-column", **values))
            return []
        return names

    def _row(self, number: int, line: str, header: list[str]) -> None:
        cells = self._cells(number, line)
        if cells is None:
            return
        cells = _without_empty_end(cells, len(header))
        found: dict[str, tuple[str, int]] = {}
        for name, cell in zip(header, cells, strict=False):
            found.setdefault(name, cell)
        if len(cells) != len(header) and not all(self.own):  # a cell may stand under another's heading
            self._wrong_count(number, line, cells, header, self.source.at)
            return
        row = self._key(found, number)
        path = (*self.source.at, row)
        if len(cells) != len(header):
            self._wrong_count(number, line, cells, header, path)
        if row in self.rows:
            return
        self.rows[row] = {}
        self.out.values[path] = self.out.keys[path] = self._place(number)
        for name in self.columns.names:
            at = (*path, name)
            if name not in found:
                self.out.silent.add(at)
                continue
            text, column = found[name]
            if text or name not in self.columns.optional:
                self.out.keys[at] = self.out.values[at] = self._place(number, column)
                self.rows[row][name] = self._meant(name, text)

    def _wrong_count(self, number: int, line: str, cells: list[tuple[str, int]], header: list[str], path: Path) -> None:
        has = "1 cell" if len(cells) == 1 else f"{len(cells)} cells"
        column = cells[len(header)][1] if len(cells) > len(header) else len(line) + 1
        values = {"columns": len(header), "separators": len(header) - 1, "sign": _SIGNS[self.separator]}
        self._note("cells", number, column, path, cells=has, **values)

    def _key(self, found: dict[str, tuple[str, int]], number: int) -> str | int:
        """What a line is about; a second line about the same thing is a problem."""
        text, column = found.get(self.columns.key, ("", 1))
        if not text:
            return f"(line {number})" if self.columns.key else len(self.rows)
        if text in self.rows:
            at = (*self.source.at, text)
            first = self.out.keys[at]
            self._note("same-key.table", number, column, at, key=text, line=first.line)
        return text

    def _meant(self, name: str, text: str) -> Any:
        if name in self.columns.numbers or not text:
            return plain(text)
        return f"{text} min" if name in self.columns.minutes and plain(text) != text else text


def _without_empty_end(cells: list[tuple[str, int]], least: int) -> list[tuple[str, int]]:
    """The cells without empty ones at the end, of which a spreadsheet leaves a few; at `least` so many are kept."""
    end = len(cells)
    while end > least and not cells[end - 1][0]:
        end -= 1
    return cells[:end]
