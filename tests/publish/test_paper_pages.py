"""A card's page on the site leads to the page of the PDF on which that card is printed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

import pytest
from pdf_pages import page_texts
from sample_handbook import chair_card, every_block, picture, pouch_items, pouch_list_card, sample_handbook

from kitdocs.document.blocks import FormGrid
from kitdocs.document.card import Card, Handbook
from kitdocs.drawings.drawing import document, rect
from kitdocs.errors import PublishError
from kitdocs.publish.handbook_folder import paper_in
from kitdocs.publish.print.documents import DOCUMENTS
from kitdocs.publish.print.rendering import Rendering
from kitdocs.publish.site.build_site import site

pytestmark = pytest.mark.whole

SQUARE = picture("m", document([rect(0, 0, 9, 9)], width_mm=9, height_mm=9), "square")


def chair(number: int) -> Card:
    """A refill card that goes on to a second card when its number is even, so that cards and sheets part."""
    rows = pouch_items(14 if number % 2 == 0 else 2)
    id_ = "r/teal" if number == 1 else f"r/c{number}"  # the card with every block names it
    return chair_card(id_, name=f"Seat {number}", word=f"word {number}", colour="#00766c", items=rows)


def poster() -> Card:
    card = chair(9)
    band = replace(card.front[0], mark=SQUARE)  # type: ignore[arg-type]
    front = (band, *card.front[2:])
    return replace(card, id="poster", kind="poster", form="poster", title="Whose colour?", front=front, back=())


def form(id_: str, title: str) -> Card:
    grid = FormGrid(columns=("Date", "Initials"), widths=(1, 2), rows=6)
    return replace(every_block(), id=id_, kind="form", title=title, front=(grid,))


@pytest.fixture(scope="module", params=["en", "es"])
def handbook(request: pytest.FixtureRequest) -> Handbook:
    lists = [replace(pouch_list_card(f"drawer/c{n}", 3), title=f"List {n}") for n in range(1, 4)]
    forms = [form("forms/one", "Form one"), form("forms/two", "Form two")]
    cards = (*map(chair, range(1, 6)), *lists, every_block(), *forms, poster())
    return sample_handbook(*cards, language=request.param)


@pytest.fixture(scope="module")
def pdfs(handbook: Handbook) -> dict[str, bytes]:
    rendering = Rendering(handbook)
    held = [each for each in DOCUMENTS if any(each.holds(card) for card in handbook.cards)]
    return {f"print/{handbook.folder}{each.file}": each.render(rendering) for each in held}


def test_each_page_leads_to_the_page_on_which_its_card_begins(handbook: Handbook, pdfs: Mapping[str, bytes]) -> None:
    files = site([handbook], paper=paper_in(pdfs))
    texts = {path: page_texts(pdf) for path, pdf in pdfs.items()}
    seen = set()
    for card in handbook.cards:
        page = files[f"{handbook.folder}{card.id}.html"].decode()
        link = re.search(r'href="[./]*(print/[^"#]+)#page=(\d+)" data-pdf>[^<]*, p\S+ (\d+)<', page)
        assert link, card.id
        path, number, told = link[1], int(link[2]), int(link[3])
        assert number == told
        text = texts[path][number - 1]
        assert card.title in text and card.edition in text, card.id
        if card.form != "sheet":
            assert not any(card.title in before for before in texts[path][: number - 1]), f"{card.id} begins before"
        seen.add((path, number))
    assert len(seen) >= len(handbook.cards) - 3, "at most two refill cards share a sheet"


def test_a_document_that_does_not_tell_where_a_card_is_is_refused(
    handbook: Handbook, pdfs: Mapping[str, bytes]
) -> None:
    other = dict.fromkeys(pdfs, pdfs[f"print/{handbook.folder}forms.pdf"])
    with pytest.raises(PublishError, match="does not tell on which page the card 'r/teal' begins"):
        site([handbook], paper=paper_in(other))
