"""Text tables: the encoding, the sign between the cells, and the cells, each as text.

Source of the rules of quoting: SOURCES: RFC 4180.
"""

from __future__ import annotations

import codecs
import csv
import io
import itertools
import re
from collections import Counter

#: What may stand between two cells; of signs that fit equally well, the first: commas may be decimal ones.
SEPARATORS = ("\t", ";", "|", ",")
#: So many lines tell which sign it is.
_SAMPLE = 60
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
#: What offices' programs write where it is not Unicode; of those that fit equally well, the first.
_OLD = ("cp1252", "mac_roman", "cp850")
#: What English, Spanish, German and French have beside ASCII.
_LETTERS = frozenset("áéíóúüñÁÉÍÓÚÜÑçÇäöÄÖßàâèêëîïôùûœÀÂÈÊËÎÏÔÙÛŒ")
_SIGNS = frozenset("¿¡ºª°½¼¾“”‘’«»–—…€£¥×±®™´`·•\xa0")


def rows_of(data: bytes) -> list[list[str]]:
    """Return the cells of a text table, row by row. Raises ValueError when the bytes are no text or no table."""
    text = decoded(data)
    stated = re.match(r'"?sep=(.)"?\r?\n', text)  # a first line that spreadsheet programs write for each other
    body = text[stated.end() :] if stated else text
    separator = stated[1] if stated else separator_of(body)
    try:
        rows = list(csv.reader(io.StringIO(body, newline=""), delimiter=separator))
    except csv.Error as error:
        raise ValueError(str(error)) from error
    return [[], *rows] if stated else rows


def decoded(data: bytes) -> str:
    """Return the text of some bytes: by their mark, as UTF-8, as UTF-16 without a mark, or in an old code."""
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            return data.decode(encoding)
    if b"\x00" in data[:400]:
        high = data[:400:2].count(0) > data[1:400:2].count(0)
        return data.decode("utf-16-be" if high else "utf-16-le")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return max((data.decode(encoding, "replace") for encoding in _OLD), key=_likeness)


def _likeness(text: str) -> int:
    """How much a text looks like a language of ours: its letters, less what none has."""
    strange = [c for c in text if ord(c) > 126]
    return sum(c in _LETTERS for c in strange) - sum(c not in _LETTERS and c not in _SIGNS for c in strange)


def separator_of(text: str) -> str:
    """Return the sign between the cells: the one by which most rows have the same number of cells, and several."""
    lines = list(itertools.islice(io.StringIO(text, newline=""), _SAMPLE))
    return max(SEPARATORS, key=lambda sign: _evenness(lines, sign))


def _evenness(lines: list[str], sign: str) -> tuple[float, int]:
    """How many of the rows have as many cells as most, where that is more than one; and how many cells that is."""
    try:
        rows = [row for row in csv.reader(lines, delimiter=sign) if any(cell.strip() for cell in row)]
    except csv.Error:
        return 0.0, 0
    counts = Counter(len(row) for row in rows if len(row) > 1)
    if not counts:
        return 0.0, 0
    width, often = max(counts.items(), key=lambda item: (item[1], item[0]))
    return often / len(rows), width
