"""The proof of a printer, measured on the finished pages: ruler, crosses that register, greys, colours in order."""

from __future__ import annotations

from typing import Literal

import numpy as np
import pytest
from pdf_pages import box_mm, of_colour, page_sizes_mm, page_texts, pixels
from sample_handbook import chair_card, pouch_items, sample_handbook

from kitdocs.document.blocks import Band
from kitdocs.document.card import Card
from kitdocs.publish.print.binder import binder
from kitdocs.publish.print.documents import REFILL_CARDS
from kitdocs.publish.print.rendering import Rendering

pytestmark = pytest.mark.whole

COLOURS = ("#00766c", "#d81b74", "#1b2f66")
DOTS = 300 / 25.4


def cards() -> list[Card]:
    chairs = [
        chair_card(f"r/{n}", name=f"Chair {n}", word=f"word {n}", colour=colour, items=pouch_items(1))
        for n, colour in enumerate(COLOURS)
    ]
    bands = tuple(block for card in chairs for block in card.front if isinstance(block, Band))
    poster = Card(id="poster", kind="poster", form="poster", title="Whose?", section="Start here", front=bands)
    return [*chairs, poster]


@pytest.fixture(scope="module", params=["letter", "a4"])
def printed(request: pytest.FixtureRequest) -> bytes:
    paper: Literal["letter", "a4"] = request.param
    return binder(Rendering(sample_handbook(*cards(), paper=paper)))


def test_the_crosses_of_the_cover_lie_on_those_of_its_back(printed: bytes) -> None:
    """Seen through the sheet, left is right: both crosses at the foot, to a twentieth of a millimetre."""
    _, height = page_sizes_mm(printed)[0]
    foot = slice(round((height - 15) * DOTS), round((height - 5) * DOTS))
    front, back = (pixels(printed, page)[foot].min(axis=2) < 120 for page in (0, 1))
    assert front.sum() > 300
    assert box_mm(front) == pytest.approx(box_mm(back[:, ::-1]), abs=0.1)
    left, _, right, _ = box_mm(front)
    assert left == pytest.approx(12, abs=0.1) and page_sizes_mm(printed)[0][0] - right == pytest.approx(12, abs=0.1)


def test_the_back_of_the_cover_shows_100_mm_ten_greys_and_the_chairs_in_order(printed: bytes) -> None:
    image = pixels(printed, 1)
    dark = image.max(axis=2) < 40
    rows = dark.sum(axis=1)
    ruler = np.flatnonzero((rows > 99 * DOTS) & (rows < 101 * DOTS))[0]
    assert box_mm(dark[ruler : ruler + 1])[2] - box_mm(dark[ruler : ruler + 1])[0] == pytest.approx(100, abs=0.15)
    second = of_colour(image, "#cccccc", 1)
    field = np.flatnonzero(second.sum(axis=1) > 14 * DOTS)[0] + 5
    left = np.flatnonzero(second[field])[0] - 15 * DOTS
    greys = [int(image[field, round(left + (n + 0.5) * 15 * DOTS), 0]) for n in range(10)]
    assert greys == pytest.approx([255 * (1 - n / 10) for n in range(1, 11)], abs=1)
    patches = [box_mm(of_colour(image, colour)) for colour in COLOURS]
    assert [patch[0] for patch in patches] == sorted(patch[0] for patch in patches)
    for left, top, right, bottom in patches:
        assert (right - left, bottom - top) == pytest.approx((26, 16), abs=0.2)
    assert "Does this printer print true?" in page_texts(printed)[1]
    assert "actual size" in page_texts(printed)[1]


def test_the_first_wall_sheet_has_the_strip_in_its_margin_and_no_other() -> None:
    pdf = REFILL_CARDS.render(Rendering(sample_handbook(*cards())))
    card_top = (279.4 - 2 * 101.6 - 6) / 2
    said = ["100 mm" in text for text in page_texts(pdf)]
    assert said[0] and not any(said[1:])
    margin = pixels(pdf, 0)[: round((card_top - 8.6) * DOTS)]
    patches = [box_mm(of_colour(margin, colour)) for colour in COLOURS]
    assert [patch[0] for patch in patches] == sorted(patch[0] for patch in patches)
    assert min(patch[1] for patch in patches) > 6, "what an office printer leaves white"
    dark = margin.max(axis=2) < 90
    line = dark[np.argmax((dark[:, : round(140 * DOTS)]).sum(axis=1))][: round(140 * DOTS)]
    assert np.flatnonzero(line)[-1] - np.flatnonzero(line)[0] == pytest.approx(100 * DOTS, abs=3)
