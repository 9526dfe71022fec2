"""Codes read back from the finished PDF: drawn by one library, read by another, before anybody says it is done."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from contextlib import closing
from typing import Any, NamedTuple

import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c
import zxingcpp

from kitdocs.errors import PublishError
from kitdocs.publish.print.render_pdf import DocumentSource, render_pdf

#: What a cheap office printer or a phone's camera can be trusted to resolve.
DPI = 150
POINTS_PER_INCH = 72

#: Strokes of the path that a code is, at the least: three finder patterns (ISO/IEC 18004) of 15 rectangles each.
_FEWEST_STROKES = 3 * 15 * 4
#: Only the kind that is drawn: newer decoders look for Micro QR codes, too, and take a bit of a drawing for one.
QR_CODE: Any = getattr(zxingcpp.BarcodeFormat, "QRCodeModel2", zxingcpp.BarcodeFormat.QRCode)


class ReadCode(NamedTuple):
    """A code as a decoder reads it. `page` counts from 0; `ec_level` is L, M, Q or H of ISO/IEC 18004."""

    page: int
    text: str
    ec_level: str


def render_read_back(source: DocumentSource, codes: Sequence[str]) -> bytes:
    """Return the PDF of a source once its codes have been read back. Raises `PublishError`."""
    pdf = render_pdf(source)
    check_codes(pdf, codes)
    return pdf


def read_codes(pdf: bytes, *, dpi: int = DPI) -> list[ReadCode]:
    """Every code of a PDF, by page."""
    with closing(pdfium.PdfDocument(pdf)) as document:
        return [code for number in range(len(document)) for code in _on_page(document, number, dpi)]


def check_codes(pdf: bytes, expected: Iterable[str], *, levels: Collection[str] = ("Q", "H")) -> None:
    """`PublishError` naming what cannot be read, what is of none of the `levels`, and what nobody expects.

    A text may be there more often than expected: a card that goes on to a second one carries its code on both.
    """
    wanted = Counter(expected)
    found = read_codes(pdf)
    read = Counter(code.text for code in found)
    faults = [f"the code '{text}' cannot be read back" for text, times in wanted.items() if read[text] < times]
    for code in found:
        where = f"page {code.page + 1}: the code '{code.text}'"
        if code.text not in wanted:
            faults.append(f"{where} is not one that was asked for")
        elif code.ec_level not in levels:
            faults.append(f"{where} has error correction {code.ec_level}, not {' or '.join(levels)}")
    if faults:
        raise PublishError("\n".join(dict.fromkeys(faults)))


def _on_page(document: pdfium.PdfDocument, number: int, dpi: int) -> list[ReadCode]:
    with closing(document[number]) as page:
        if not _may_have_code(page):
            return []
        drawn = page.render(scale=dpi / POINTS_PER_INCH, grayscale=True).to_pil()
        codes = zxingcpp.read_barcodes(drawn, formats=QR_CODE)
        return [ReadCode(number, code.text, code.ec_level) for code in codes]


def _may_have_code(page: pdfium.PdfPage) -> bool:
    """Whether a path on the page is as long as that of a code: most pages have none, and to draw and search is dear."""
    paths = page.get_objects(filter=[pdfium_c.FPDF_PAGEOBJ_PATH])
    return any(pdfium_c.FPDFPath_CountSegments(path) >= _FEWEST_STROKES for path in paths)
