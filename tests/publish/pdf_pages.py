"""What tests see of a finished PDF: sizes, words, tags, and the pixels of a page."""

from __future__ import annotations

import ctypes
import io
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import pikepdf
import pypdfium2 as pdfium
from numpy.typing import NDArray
from pypdfium2 import raw

Pixels = NDArray[np.uint8]


def page_sizes_mm(pdf: bytes) -> list[tuple[float, float]]:
    document = pdfium.PdfDocument(pdf)
    return [(round(w / 72 * 25.4, 2), round(h / 72 * 25.4, 2)) for w, h in (page.get_size() for page in document)]


def page_texts(pdf: bytes) -> list[str]:
    """The words of each page in one line; a hyphen at the end of a line, which pdfium gives as U+0002, is a hyphen."""
    document = pdfium.PdfDocument(pdf)
    return [" ".join(page.get_textpage().get_text_bounded().replace("\x02", "-").split()) for page in document]


def pixels(pdf: bytes, page: int, dpi: int = 300) -> Pixels:
    """A page as height × width × RGB."""
    drawn = pdfium.PdfDocument(pdf)[page].render(scale=dpi / 72).to_numpy()
    return drawn[:, :, 2::-1]


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter as it is printed: the size of its type in points, where it stands in mm from the upper left corner."""

    sign: str
    size: float
    x: float
    y: float


def letters(page: pdfium.PdfPage) -> Iterator[Letter]:
    """Every letter of a page that leaves ink."""
    text, height = page.get_textpage(), page.get_height()
    x, y = ctypes.c_double(), ctypes.c_double()
    for n in range(text.count_chars()):
        sign = chr(raw.FPDFText_GetUnicode(text, n))
        if sign.isprintable() and not sign.isspace():
            raw.FPDFText_GetCharOrigin(text, n, x, y)
            yield Letter(sign, type_size(text, n), x.value / 72 * 25.4, (height - y.value) / 72 * 25.4)


def type_size(text: pdfium.PdfTextPage, n: int) -> float:
    """The size of a letter's type as it is drawn, whichever way it is turned."""
    by = raw.FS_MATRIX()
    raw.FPDFText_GetMatrix(text, n, by)
    return float(raw.FPDFText_GetFontSize(text, n) * math.hypot(by.b, by.d))


def box_mm(mask: NDArray[np.bool_], dpi: int = 300) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of what is true, in mm from the top left corner."""
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    assert rows.size and columns.size, "nothing of that colour on the page"
    mm = 25.4 / dpi
    return columns[0] * mm, rows[0] * mm, (columns[-1] + 1) * mm, (rows[-1] + 1) * mm


def of_colour(image: Pixels, colour: str, slack: int = 12) -> NDArray[np.bool_]:
    near = np.ones(image.shape[:2], dtype=np.bool_)
    for channel in range(3):
        wanted = int(colour[1 + 2 * channel : 3 + 2 * channel], 16)
        one = image[:, :, channel]
        near &= (one >= max(0, wanted - slack)) & (one <= min(255, wanted + slack))
    return near


def tags(pdf: bytes) -> Iterator[tuple[str, Any]]:
    """Every element of the structure tree, in reading order: its standard type and the element."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        yield from tags_in(document)


def tags_in(document: pikepdf.Pdf) -> Iterator[tuple[str, Any]]:
    """The same of a document that stays open, so that its elements can be asked later."""
    yield from _below(document.Root.StructTreeRoot)


def _below(element: Any) -> Iterator[tuple[str, Any]]:
    children = element.get("/K", [])
    for child in children if isinstance(children, pikepdf.Array) else [children]:
        if isinstance(child, pikepdf.Dictionary) and "/S" in child:
            yield str(child.S)[1:], child
            yield from _below(child)


def read_aloud(pdf: bytes, page: int) -> list[str]:
    """The words of a page in the order of its tags, one string an element that has words of its own, by PDFium."""
    opened = pdfium.PdfDocument(pdf)[page]
    shown = opened.get_textpage()
    words: dict[int, str] = {}
    for thing in opened.get_objects([raw.FPDF_PAGEOBJ_TEXT]):
        length = raw.FPDFTextObj_GetText(thing, shown, None, 0)
        buffer = (raw.FPDF_WCHAR * (length // 2))()
        raw.FPDFTextObj_GetText(thing, shown, buffer, length)
        own = bytes(buffer).decode("utf-16-le").rstrip("\0")
        key = raw.FPDFPageObj_GetMarkedContentID(thing)
        words[key] = words.get(key, "") + own
    tree = raw.FPDF_StructTree_GetForPage(opened)
    try:
        roots = range(raw.FPDF_StructTree_CountChildren(tree))
        return [said for n in roots for said in _said(raw.FPDF_StructTree_GetChildAtIndex(tree, n), words)]
    finally:
        raw.FPDF_StructTree_Close(tree)


def _said(element: Any, words: dict[int, str]) -> Iterator[str]:
    for n in range(raw.FPDF_StructElement_CountChildren(element)):
        key = raw.FPDF_StructElement_GetChildMarkedContentID(element, n)
        if key >= 0:
            if said := " ".join(words.get(key, "").split()):
                yield said
        elif child := raw.FPDF_StructElement_GetChildAtIndex(element, n):
            yield from _said(child, words)
