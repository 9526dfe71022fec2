"""Page labels of a PDF in words, which Typst has no way to write.

Written as an incremental update (ISO 32000-1, 7.5.6): the file stays as it is, and one object follows it anew.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from contextlib import closing

import pypdfium2 as pdfium

from kitdocs.errors import PublishError

_LABELS = re.compile(rb"/PageLabels (\d+) 0 R")
_TRAILER = re.compile(rb"trailer\s*<<(.*?)(?:/Prev \d+)?>>\s*startxref\s*(\d+)\s*%%EOF\s*$", re.DOTALL)


def page_count(pdf: bytes) -> int:
    """How many pages a PDF has."""
    with closing(pdfium.PdfDocument(pdf)) as document:
        return len(document)


def with_page_labels(pdf: bytes, labels: Sequence[str]) -> bytes:
    """The PDF with one label for each of its pages (ISO 32000-1, 12.4.2).

    `PublishError` when it has no labels to replace, or another number of pages.
    """
    if page_count(pdf) != len(labels):
        raise PublishError(f"{page_count(pdf)} pages of the PDF have {len(labels)} labels")
    number, trailer = _LABELS.search(pdf), _TRAILER.search(pdf, pdf.rfind(b"trailer"))
    if not number or not trailer:
        raise PublishError("the pages of the PDF have no labels that could be replaced")
    pages = b" ".join(b"%d<</P%s>>" % (page, _string(label)) for page, label in enumerate(labels))
    start = len(pdf) + 1
    changed = b"\n%s 0 obj\n<</Nums[%s]>>\nendobj\n" % (number[1], pages)
    table = b"xref\n0 1\n0000000000 65535 f \n%s 1\n%010d 00000 n \n" % (number[1], start)
    end = b"trailer\n<<%s/Prev %s>>\nstartxref\n%d\n%%%%EOF\n" % (trailer[1], trailer[2], len(pdf) + len(changed))
    return pdf + changed + table + end


def _string(text: str) -> bytes:
    """A text string (ISO 32000-1, 7.9.2.2) in hexadecimal: plain where it is ASCII, else UTF-16 with its mark."""
    encoded = text.encode() if text.isascii() else b"\xfe\xff" + text.encode("utf-16-be")
    return b"<%s>" % encoded.hex().encode()
