"""A table for a spreadsheet: plain values in named columns, to be drawn as CSV and as a sheet of a workbook."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal, TypeAlias

Value: TypeAlias = str | int | float | Decimal | None
"""One cell; None where nothing is known, or where a person is to write."""

Kind = Literal["text", "long-text", "count", "number", "money", "any"]
"""*count*: a whole number; *number*: rounded to its column's `digits`; *money*: to the cent; *any*: text or number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column. `formula` says how a spreadsheet works the cell out again, with the ids of other columns in braces."""

    id: str = ""
    """The same in every language: ``to-buy``."""
    name: str
    unit: str = ""
    kind: Kind = "text"
    digits: int = 1
    formula: str = ""
    """As in ``{to-buy} * {price}``; the cell's value is the same number, worked out here."""
    total: bool = False
    """Whether the sum of the column means something."""
    fill_in: bool = False
    """Left empty for a person to write in."""

    @property
    def header(self) -> str:
        """The name with its unit, as in ``Price (USD)``."""
        return f"{self.name} ({self.unit})" if self.unit else self.name

    def rounded(self, value: Value) -> Value:
        """The value as every drawing of the table shows it."""
        if self.kind == "money" and isinstance(value, Decimal):
            return value.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)
        if self.kind == "number" and isinstance(value, float):
            return round(value, self.digits)
        return value


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table. `name` is its file's name, as in ``order-list``; every row has one value a column."""

    name: str
    title: str
    tab: str = ""
    """What its worksheet is called."""
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]
    landscape: bool = False

    def column(self, id_: str) -> int:
        """Return the position of a column, counted from 0."""
        return [column.id for column in self.columns].index(id_)

    def rounded(self) -> Table:
        """The same table with every number rounded once, so that all drawings of it hold equal ones."""
        rows = (zip(self.columns, row, strict=True) for row in self.rows)
        return replace(self, rows=tuple(tuple(column.rounded(value) for column, value in row) for row in rows))

    def total(self, column: int) -> Decimal:
        """The sum of a column, without rounding errors; empty cells count nothing."""
        values = [row[column] for row in self.rows]
        return sum((Decimal(str(value)) for value in values if isinstance(value, int | float | Decimal)), Decimal(0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Tables:
    """All tables of a plan in one language, and what their print-out needs to know."""

    practice: str
    title: str = ""
    folder: str = ""
    """Where a language that is not the first one lies: ``es/``."""
    total: str = "Total"
    """What a row of sums is called."""
    paper: Literal["letter", "a4"]
    currency: str
    tables: tuple[Table, ...]

    def table(self, name: str) -> Table:
        """The table of that name; `KeyError` when there is none."""
        for table in self.tables:
            if table.name == name:
                return table
        raise KeyError(name)
