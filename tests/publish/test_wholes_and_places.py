"""Lists that show the whole of a thing and say where it belongs, on paper and on a page."""

from __future__ import annotations

from dataclasses import replace
from html.parser import HTMLParser

import pytest
from pdf_pages import box_mm, page_texts, pixels

from kitdocs.document.blocks import Item, Items, Picture, Span
from kitdocs.document.card import Card, Handbook
from kitdocs.document.edition import with_edition
from kitdocs.handbook.cards.instruments import drawings_catalogue
from kitdocs.publish.print.documents import sheets
from kitdocs.publish.site.build_site import site

LENGTH, WIDTH = 150.0, 60.0
RED = "#ff0000"
BLOCK = Picture(
    name="block",
    data=f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 150 60">'
    f'<rect width="150" height="60" fill="{RED}"/></svg>'.encode(),
    width_mm=LENGTH,
    height_mm=WIDTH,
)


def handbook(paper: str = "letter", count: int = 1) -> Handbook:
    """One card whose rows have a red block 150 mm × 60 mm as their whole, and two places."""
    book = drawings_catalogue("a4" if paper == "a4" else "letter", "en")
    rows = tuple(
        Item(
            id=f"row-{n}",
            name=f"Row {n}",
            whole=BLOCK,
            where=(Span(text="Core set CO", href="#s/core"), Span(text=" · "), Span(text="Nowhere else")),
        )
        for n in range(count)
    )
    card = with_edition(replace(book.cards[0], front=(Items(title="Things", items=rows),)))
    other = with_edition(
        Card(id="s/core", kind="page", form="sheet", title="Core set", section="Sets", front=(Items(items=rows),))
    )
    return replace(book, cards=(card, other))


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_whole_is_printed_at_a_third_of_its_size(paper: str) -> None:
    book = handbook(paper)
    page = pixels(sheets(book, book.cards[:1], title="x"), 0)
    left, top, right, foot = box_mm((page[..., 0] > 200) & (page[..., 1] < 60))
    assert right - left == pytest.approx(LENGTH / 3, abs=0.3)
    assert foot - top == pytest.approx(WIDTH / 3, abs=0.3)


def test_paper_says_the_scale_and_where_a_thing_belongs() -> None:
    book = handbook()
    (text,) = page_texts(sheets(book, book.cards[:1], title="x"))
    assert "One third of full size" in text
    assert "Where it belongs" in text and "Core set CO · Nowhere else" in text


def test_a_list_that_fits_on_a_page_is_not_cut() -> None:
    """Two lists of eight rows, 20 mm each: the second does not fit below the first, and goes on as a whole."""
    book = handbook()
    (block,) = handbook(count=8).cards[0].front
    card = replace(book.cards[0], front=(block, replace(block, title="More things")))  # type: ignore[arg-type]
    texts = page_texts(sheets(book, [card], title="x"))
    assert [text.count("Row ") for text in texts] == [8, 8]


class _Links(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.wholes = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.links += [given["href"] or ""] if tag == "a" and given.get("href") else []
        self.wholes += tag == "img" and given.get("class") == "whole"


def test_a_page_links_to_where_a_thing_belongs_and_shows_its_whole() -> None:
    page = dict(site([handbook()]))["drawings.html"]
    html = page.decode() if isinstance(page, bytes) else page
    found = _Links()
    found.feed(html)
    assert "s/core.html" in found.links
    assert found.wholes == 1 and "Nowhere else" in html
