"""How high working ends stand on finished paper: measured in pixels per millimetre, each a solid box of its size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Literal, get_args

import numpy as np
import pytest
from pdf_pages import of_colour, page_sizes_mm, pixels
from sample_handbook import TIPS, sample_handbook, set_card, tip_picture

from kitdocs.document.blocks import Item, Items, Picture
from kitdocs.document.card import Card, Handbook
from kitdocs.drawings.drawing import SHADE, document, rect
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.planning.plan import make_plan
from kitdocs.practice.model import Practice
from kitdocs.publish.print.documents import REFILL_CARDS, SET_TEMPLATES, sheets
from kitdocs.publish.print.rendering import Rendering

pytestmark = pytest.mark.whole

COLOUR, DPI = "#336699", 200
#: A pixel above and one below.
SLACK_MM = 2 * 25.4 / DPI
Paper = Literal["letter", "a4"]


def solid(picture: Picture) -> Picture:
    """A picture of the same size that is nothing but colour."""
    drawing = document(
        [rect(0, 0, picture.width_mm, picture.height_mm, fill=COLOUR)],
        width_mm=picture.width_mm,
        height_mm=picture.height_mm,
    )
    return replace(picture, name=f"solid-{picture.name}", data=drawing.svg.encode(), format="svg")


def with_solid_tips(card: Card) -> Card:
    def item(one: Item) -> Item:
        return replace(one, pictures=tuple(map(solid, one.pictures)))

    front = tuple(replace(b, items=tuple(map(item, b.items))) if isinstance(b, Items) else b for b in card.front)
    return replace(card, front=front)


def rows_of(card: Card) -> list[Item]:
    return [item for block in card.front if isinstance(block, Items) for item in block.items]


def runs(mask: Any) -> list[tuple[int, int]]:
    """Where something is true without a gap: from, and to before."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], mask, [False])).astype(np.int8)))
    return list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))


def heights_mm(pdf: bytes) -> list[list[float]]:
    """The height of each box of colour, page by page; boxes stand in a grid."""
    found = []
    for page in range(len(page_sizes_mm(pdf))):
        mask = of_colour(pixels(pdf, page, DPI), COLOUR)
        columns = runs(mask.any(axis=0))
        boxes = [run for left, right in columns for run in runs(mask[:, left:right].any(axis=1))]
        found.append([(end - start) / DPI * 25.4 for start, end in boxes])
    return found


def least_mm(rows: int) -> float:
    return (20.0 if rows <= 3 else 15.0) - SLACK_MM


def wall(book: Handbook, card: Card) -> list[list[float]]:
    """The boxes on each front of a card as it is cut; fronts and backs take turns."""
    pdf = REFILL_CARDS.render(Rendering(replace(book, cards=(with_solid_tips(card),))))
    return [boxes for boxes in heights_mm(pdf) if boxes]


def plain(item: Item) -> bool:
    return len(item.pictures) == 1 and not item.detail


@pytest.mark.parametrize(("language", "paper"), [("en", "letter"), ("es", "a4")])
def test_wall_cards_of_up_to_four_instruments_show_them_large(
    example_handbooks: tuple[Handbook, ...], language: str, paper: Paper
) -> None:
    (book,) = (replace(book, paper=paper) for book in example_handbooks if book.language == language)
    cards = [card for card in book.cards if card.form == "wall" and all(map(plain, rows_of(card)))]
    seen = []
    for card in cards:
        rows = len(rows_of(card))
        # A set of up to eight is cut into two cards, of four rows and fewer.
        if rows <= 4 or rows in (7, 8):
            boxes = [height for page in wall(book, card) for height in page]
            assert len(boxes) == rows, card.id
            assert min(boxes) >= least_mm(rows), (card.id, boxes)
            seen.append(rows)
    assert {1, 2, 3, 4, 7, 8} <= set(seen)


@pytest.mark.parametrize("language", ["en", "es", "de", "fr"])
def test_wall_cards_of_chairs_show_pouches_as_large_as_single_instruments(example: Practice, language: str) -> None:
    spoken = replace(example, settings=example.settings.model_copy(update={"languages": (language,)}))
    book = make_handbook(spoken, make_plan(spoken, days=20))
    for paper in get_args(Paper):
        seen = set()
        for card in book.cards:
            if card.form == "wall" and card.id.startswith("r/"):
                (boxes,) = wall(replace(book, paper=paper), card)
                assert min(boxes) >= least_mm(len(rows_of(card))), (card.id, paper, boxes)
                seen.add(len(rows_of(card)))
        assert {2, 3, 4} <= seen


@pytest.mark.parametrize(("language", "paper"), [("en", "a4"), ("es", "letter")])
def test_full_pages_with_up_to_four_rows_show_them_large_and_stay_one_page(
    example_handbooks: tuple[Handbook, ...], language: str, paper: Paper
) -> None:
    (book,) = (replace(book, paper=paper) for book in example_handbooks if book.language == language)
    few = [card for card in book.cards if card.form == "wall" and card.in_binder and len(rows_of(card)) <= 4]
    assert len(few) > 10
    pdf = sheets(book, tuple(map(with_solid_tips, few)), title="x")
    pages = heights_mm(pdf)
    assert len(pages) == len(few), "no card runs over its page"
    for card, boxes in zip(few, pages, strict=True):
        assert boxes and min(boxes) >= least_mm(len(rows_of(card))), (card.id, boxes)


def test_a_template_of_four_instruments_shows_them_15_mm_high(example_handbooks: tuple[Handbook, ...]) -> None:
    for book in example_handbooks:
        card = with_solid_tips(book.card("t/exam"))
        pages = [boxes for boxes in heights_mm(SET_TEMPLATES.render(Rendering(replace(book, cards=(card,))))) if boxes]
        assert len(pages) == 1 and len(pages[0]) == 4
        assert min(pages[0]) >= least_mm(4)


@pytest.mark.parametrize("rows", [1, 2, 3, 4])
def test_few_instruments_are_never_smaller_than_many(rows: int) -> None:
    def shown(count: int) -> float:
        items = [
            Item(id=f"i{n}", name="Scaler", count=1, pictures=(tip_picture(TIPS[n % len(TIPS)]),)) for n in range(count)
        ]
        card = replace(set_card("s/x", 1), front=_with_items(set_card("s/x", 1), items))
        return min(height for page in wall(sample_handbook(card), card) for height in page)

    assert shown(rows) >= shown(rows + 2) - SLACK_MM


def _with_items(card: Card, items: Sequence[Item]) -> tuple[Any, ...]:
    return tuple(replace(b, items=tuple(items)) if isinstance(b, Items) else b for b in card.front)


def test_pliers_lie_on_their_template_as_wide_as_they_are_open(
    example_handbooks: tuple[Handbook, ...], example: Practice
) -> None:
    """Weingart plier and ligature cutter, the only two with handles on the first layer of the core set."""
    book = example_handbooks[0]
    assert book.paper == "letter"
    pdf = SET_TEMPLATES.render(Rendering(replace(book, cards=(book.card("t/core"),))))
    mm, line = 25.4 / 300, 0.36
    handles = of_colour(pixels(pdf, 0, 300), SHADE, 6)[:, int(60 / mm) : int(165 / mm)]
    long = [run for run in runs(handles.sum(axis=1) > 8) if (run[1] - run[0]) * mm > 15]
    assert len(long) == 4, "two handles each"
    for plier, upper, lower in zip(("weingart", "ligature-cutter"), long[::2], long[1::2], strict=True):
        open_mm = (lower[1] - upper[0]) * mm + 2 * line
        assert open_mm == pytest.approx(example.lying_width(plier), abs=0.3)
        assert open_mm > example.instruments[plier].width + 5
