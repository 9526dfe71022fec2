"""A finished PDF, read again: its pages, and whose it is."""

from __future__ import annotations

import io

import pikepdf

#: What the name of the place at which a card begins starts with; the card's id follows (ISO 32000-1, 12.3.2.3).
DESTINATION = "card:"

#: The keyword that ``page.typ`` puts into every PDF of kitdocs.
_KEYWORD = "kitdocs"


def page_count(pdf: bytes) -> int:
    """How many pages a PDF has."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return len(document.pages)


def card_pages(pdf: bytes) -> dict[str, int]:
    """On which page of a PDF each card begins, by id; the first page is 1. See `DESTINATION`."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        number = {page.objgen: n for n, page in enumerate(document.pages, 1)}
        names = document.Root.get("/Names", pikepdf.Dictionary()).get("/Dests")
        places = pikepdf.NameTree(names) if names is not None else {}
        return {
            name.removeprefix(DESTINATION): number[place[0].objgen]
            for name, place in places.items()
            if name.startswith(DESTINATION)
        }


def is_of_kitdocs(file: bytes) -> bool:
    """Whether a file is a PDF that kitdocs made, by its keyword; False for what is no PDF, or cannot be read as one."""
    try:
        with pikepdf.open(io.BytesIO(file)) as document:
            information = document.trailer.get("/Info")
            return isinstance(information, pikepdf.Dictionary) and information.get("/Keywords") == _KEYWORD
    except (pikepdf.PdfError, pikepdf.PasswordError):
        return False
