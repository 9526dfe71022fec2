"""Guard before a workbook is unpacked: how much it unpacks to, and how many cells its sheets span.

The reader of workbooks keeps a whole rectangle of cells, so that one cell far out needs the memory of all before it.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections.abc import Iterator

#: All that unpacking a damaged archive can raise.
_BROKEN = (zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, OSError)
_UNPACKED = 200 * 1024 * 1024
_PIECE = 1024 * 1024
#: A tag is never cut in two if so much of a piece is looked at again with the next.
_OVERLAP = 4096

_XLSX_SHEET = re.compile(r"xl/worksheets/[^/]+\.xml")
_XLSX_CELL = re.compile(rb"""\br=["']([A-Z]{1,3})?(\d{1,7})["']""")
_ODS_TAG = re.compile(
    rb"<(?:\w+:)?(table-row|table-cell|covered-table-cell|table)(?=[ />\s])([^>]*?)(/?)>|(</(?:\w+:)?table-row>)"
)
_ODS_REPEATED = re.compile(rb"""number-(?:rows|columns)-repeated=["'](\d{1,9})["']""")


def refuse_bomb(data: bytes, most_cells: int) -> None:
    """Raise OverflowError for a workbook too large to be unpacked, ValueError for what is no workbook."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            files = packed.infolist()
            if sum(file.file_size for file in files) > _UNPACKED:
                raise OverflowError
            for file in files:
                if _XLSX_SHEET.fullmatch(file.filename):
                    _check(_span_of_xlsx(_pieces(packed, file)), most_cells)
                elif file.filename == "content.xml":
                    for span in _spans_of_ods(_pieces(packed, file)):
                        _check(span, most_cells)
    except _BROKEN as error:
        raise ValueError(str(error)) from error


def _check(span: tuple[int, int], most_cells: int) -> None:
    if span[0] * span[1] > most_cells:
        raise OverflowError


def _pieces(packed: zipfile.ZipFile, file: zipfile.ZipInfo) -> Iterator[bytes]:
    """The bytes of a packed file in pieces; of more than the file said it has, none."""
    with packed.open(file) as stream:
        kept = b""
        while piece := stream.read(_PIECE):
            whole = kept + piece
            end = whole.rfind(b">", max(0, len(whole) - _OVERLAP)) + 1 or len(whole)
            yield whole[:end]
            kept = whole[end:]
        if kept:
            yield kept


def _span_of_xlsx(pieces: Iterator[bytes]) -> tuple[int, int]:
    """The last row and column that any cell names, or that cells without a name can reach."""
    row = column = most_unnamed = 0
    for piece in pieces:
        for letters, digits in _XLSX_CELL.findall(piece):
            row = max(row, int(digits))
            if letters:
                column = max(column, _number(letters))
        most_unnamed += len(re.findall(rb"<(?:\w+:)?c[ >/](?![^>]*\br=)", piece))
    return max(row, 1), max(column, min(most_unnamed, 16384), 1)


def _number(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number


def _spans_of_ods(pieces: Iterator[bytes]) -> Iterator[tuple[int, int]]:
    """Rows and columns of each table up to its last cell with something in it, repeated ones counted so often."""
    rows = columns = pending = repeat = width = blank = 0
    for piece in pieces:
        for match in _ODS_TAG.finditer(piece):
            kind, attributes, closed, row_ends = match.groups()
            often = int(found[1]) if (found := _ODS_REPEATED.search(attributes or b"")) else 1
            if kind == b"table":
                yield rows, columns
                rows = columns = pending = 0
            elif kind == b"table-row":
                repeat, width, blank = often, 0, 0
                if closed:
                    pending += repeat
            elif kind:
                empty = closed and b"value" not in attributes
                blank, width = (blank + often, width) if empty else (0, width + blank + often)
            elif row_ends and width:
                rows, columns, pending = rows + pending + repeat, max(columns, width), 0
            elif row_ends:
                pending += repeat
    yield rows, columns
