"""A finished PDF, read again: its pages, and whose it is."""

from __future__ import annotations

import io

import pikepdf

#: The keyword that ``page.typ`` puts into every PDF of kitdocs.
_KEYWORD = "kitdocs"


def page_count(pdf: bytes) -> int:
    """How many pages a PDF has."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return len(document.pages)


def is_of_kitdocs(file: bytes) -> bool:
    """Whether a file is a PDF that kitdocs made, by its keyword; False for what is no PDF, or cannot be read as one."""
    try:
        with pikepdf.open(io.BytesIO(file)) as document:
            information = document.trailer.get("/Info")
            return isinstance(information, pikepdf.Dictionary) and information.get("/Keywords") == _KEYWORD
    except (pikepdf.PdfError, pikepdf.PasswordError):
        return False
