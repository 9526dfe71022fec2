"""Tables as CSV files, for any spreadsheet and any program.

Lines end as RFC 4180 says (carriage return, line feed), cells are parted by commas, a number has a point and no
thousands mark. The text is UTF-8 *with* a byte order mark: without one, a double click on Windows reads it in the
machine's own code page and spoils every accent, while spreadsheets elsewhere, and Python's ``utf-8-sig``, pass over it.
Where a spreadsheet expects semicolons, `plan.xlsx` holds the same numbers.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from decimal import Decimal

from kitdocs.document.table import Table, Tables, Value

#: A text that begins so is taken for a formula by a spreadsheet, in quotes too. Source: CWE-1236; tab, carriage
#: return and the wide forms of the same signs: OWASP, CSV Injection.
_BEGINS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")

#: Where a spreadsheet that expects semicolons, or finds tabs, begins another cell with such a sign, quotes or not.
_BEGINS_ONE_WITHIN = re.compile(r"([;\t\r\n][\s\"']*)(?=[=+\-@＝＋－＠])")
_GUARDED_WITHIN = re.compile(r"([;\t\r\n][\s\"']*)'(?=[=+\-@＝＋－＠])")


def csv_tables(tables: Tables) -> dict[str, bytes]:
    """Every table as a CSV file, by file name."""
    return {f"{table.name}.csv": csv_table(table) for table in tables.tables}


def csv_table(table: Table) -> bytes:
    """One table as CSV: the header with its units, then the rows; no title and no totals."""
    return csv_file([[column.header for column in table.columns], *table.rows])


def csv_file(rows: Iterable[Sequence[Value]]) -> bytes:
    """Rows of values as CSV."""
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\r\n").writerows([_cell(value) for value in row] for row in rows)
    return text.getvalue().encode("utf-8-sig")


def _cell(value: Value) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return _text(value)
    return format(value, "f") if isinstance(value, Decimal) else repr(value)


def _text(text: str) -> str:
    """Return a text that no spreadsheet takes for a formula: an apostrophe before it says that it is text."""
    text = _BEGINS_ONE_WITHIN.sub(r"\1'", text)
    return f"'{text}" if text.lstrip(' "').startswith(_BEGINS_A_FORMULA) else text


def as_it_was(text: str) -> str:
    """Return a text of such a file without the apostrophes that were put there, and without one at its very start."""
    return _GUARDED_WITHIN.sub(r"\1", text.removeprefix("'"))
