"""A table that people keep in a spreadsheet: rows of cells, each with its place."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from typing import Any

from kitdocs.practice.places import Path
from kitdocs.practice.problems import Problem, nearest, written
from kitdocs.practice.text_file import TextFile
from kitdocs.practice.yaml_file import YamlFile, plain


def read_csv(source: TextFile, columns: Sequence[str], optional: Sequence[str] = ()) -> YamlFile:
    """The rows of a CSV text as records by column, commas or semicolons between the cells."""
    return _Table(source, columns, optional).read()


class _Table:
    def __init__(self, source: TextFile, columns: Sequence[str], optional: Sequence[str]) -> None:
        self.source = source
        self.columns = columns
        self.optional = optional
        self.out = YamlFile(data=[])
        first = source.lines[0]
        self.separator = ";" if first.count(";") > first.count(",") else ","
        self.cell = re.compile(rf'"(?:[^"]|"")*"[^{self.separator}]*|[^{self.separator}]*')

    def read(self) -> YamlFile:
        self.out.values[self.source.at] = self.source.place(1)
        header = self._header()
        for number, line in enumerate(self.source.lines[1:], 2):
            if header and line.strip(f"{self.separator} \t"):
                self._row(number, line, header)
        return self.out

    def _note(self, rule: str, line: int, column: int, message: str, remedy: str, path: Path = ()) -> None:
        self.out.problems.append(
            Problem(
                rule=rule,
                severity="error",
                place=self.source.place(line, column),
                path=written(path or self.source.at),
                message=message,
                remedy=remedy,
            )
        )

    def _cells(self, number: int, line: str) -> list[tuple[str, int]] | None:
        """The cells of a line, each with the column at which it begins."""
        try:
            texts = next(csv.reader([line], delimiter=self.separator, strict=True), [])
        except csv.Error:
            self._note(
                "quotes",
                number,
                line.index('"') + 1 if '"' in line else 1,
                "the quotes of this line do not come in pairs",
                'quotes are not needed here; a quote inside a quoted cell is written twice ("")',
            )
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
        cells = self._cells(1, self.source.lines[0]) or []
        names = [name.lower() for name, _ in cells]
        for i, (name, column) in enumerate(cells):
            if names[i] in names[:i]:
                self._note("same-column", 1, column, f"the column '{name}' stands here a second time",
                           "keep one of the two")  # fmt: skip
            elif names[i] not in self.columns:
                what = f"'{name}' is not a column of {self.source.name}" if name else "a column has no name"
                self._note("unknown-column", 1, column, what, nearest(name, self.columns))
        missing = [c for c in self.columns if c not in names and c not in self.optional]
        if missing:
            self._note(
                "missing-column",
                1,
                1,
                f"the first line lacks the column{'s' if len(missing) > 1 else ''} " + ", ".join(missing),
                f"the first line reads: {self.separator.join(self.columns)}",
            )
        return names

    def _row(self, number: int, line: str, header: list[str]) -> None:
        cells = self._cells(number, line)
        if cells is None:
            return
        path = (*self.source.at, len(self.out.data))
        if len(cells) != len(header):
            extra = len(cells) > len(header)
            self._note(
                "cells",
                number,
                cells[len(header)][1] if extra else len(line) + 1,
                f"this line has {len(cells)} cells, the first line has {len(header)} columns",
                f"each line has {len(header) - 1} of the sign '{self.separator}'; a cell that holds one needs quotes",
                path,
            )
        row: dict[str, Any] = {}
        for name, (text, column) in zip(header, cells, strict=False):
            if name in row or name not in self.columns or (name in self.optional and not text):
                continue
            at = (*path, name)
            self.out.keys[at] = self.out.values[at] = self.source.place(number, column)
            row[name] = plain(text)
        self.out.values[path] = self.source.place(number)
        self.out.data.append(row)
