"""The poster of the chair colours, measured on the finished sheet."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from pdf_pages import box_mm, of_colour, page_sizes_mm, page_texts, pixels
from sample_handbook import chair_card, code_of, pouch_items, sample_handbook

from kitdocs.document.blocks import Band
from kitdocs.document.card import Card
from kitdocs.publish.print.documents import POSTER
from kitdocs.publish.print.readback import read_codes
from kitdocs.publish.print.rendering import Rendering

pytestmark = pytest.mark.whole

#: A capital read from two metres is at least distance ÷ 200 high (SOURCES: FAA).
LEAST_MM = 2000 / 200
COLOURS = (
    "#00766c", "#d81b74", "#1b2f66", "#b8622a", "#7a4fc0", "#5a3420",
    "#a6ce39", "#0077b6", "#8a1538", "#2f4f2f", "#606060", "#c04000",
)  # fmt: skip


def poster_of(count: int, paper: str = "letter", name: str = "Chair", code_mm: float = 28.0) -> bytes:
    bands = tuple(
        replace(band_of(n), name=f"{name} {n + 1}", note="drawer: BW · ET", colour=COLOURS[n]) for n in range(count)
    )
    code = code_of("poster", "K7Q2M")
    card = Card(
        id="poster",
        kind="poster",
        form="poster",
        title="Whose colour is this?",
        subtitle="Every chair has its own colour",
        edition="K7Q2M",
        section="Start here",
        front=(*bands, replace(code, picture=replace(code.picture, width_mm=code_mm, height_mm=code_mm))),
    )
    return POSTER.render(Rendering(sample_handbook(card, paper=paper)))  # type: ignore[arg-type]


def band_of(n: int) -> Band:
    card = chair_card(f"r/{n}", name="", word="Lilac", colour="#000000", items=pouch_items(1))
    return next(block for block in card.front if isinstance(block, Band))


@pytest.mark.parametrize("count", [1, 2, 5, 7, 12])
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_every_chair_is_on_one_sheet_that_its_fields_fill(count, paper):
    pdf = poster_of(count, paper)
    ((width, height),) = page_sizes_mm(pdf)
    image = pixels(pdf, 0, dpi=150)
    fields = np.zeros(image.shape[:2], dtype=bool)
    for colour in COLOURS[:count]:
        assert of_colour(image, colour).any()
        fields |= of_colour(image, colour)
    left, top, right, bottom = box_mm(fields, dpi=150)
    assert (right - left) / width > 0.9
    assert (bottom - top) / height > 0.7
    assert min(left, top, width - right, height - bottom) >= 6
    text = page_texts(pdf)[0]
    assert all(f"Chair {n + 1}" in text for n in range(count))


@pytest.mark.parametrize("count", [1, 7, 12])
def test_the_words_are_read_from_two_metres(count):
    pdf = poster_of(count)
    image = pixels(pdf, 0, dpi=150)
    for colour in COLOURS[:count]:
        left, top, right, bottom = (round(v * 150 / 25.4) for v in box_mm(of_colour(image, colour), dpi=150))
        field = image[top:bottom, left:right]
        # The L of the colour's name: the first upright stroke of ink right of the mark, white on every colour here.
        white = np.all(field > 250, axis=2)
        runs = [longest(column) for column in white[:, field.shape[1] // 5 :].T]
        letters = sorted({run for run in runs if run > 0})
        assert letters[-1] / 150 * 25.4 >= LEAST_MM - 0.2


def longest(column) -> int:
    edges = np.flatnonzero(np.diff(np.concatenate(([0], column.astype(int), [0]))))
    return int(max(edges[1::2] - edges[::2], default=0))


def test_names_too_long_for_one_sheet_go_on_to_another_and_do_not_shrink():
    pdf = poster_of(12, name="Consultation room of the annex")
    sizes = page_sizes_mm(pdf)
    assert len(sizes) > 1
    assert len(set(sizes)) == 1, "the sheets of one poster hang side by side"
    words = " ".join(page_texts(pdf))
    assert all(f"annex {n + 1}" in words for n in range(12))


@pytest.mark.parametrize("code_mm", [38.5, 100.0])
def test_a_code_that_is_read_from_far_away_or_holds_much_is_covered_by_no_field(code_mm):
    pdf = poster_of(12, code_mm=code_mm)
    codes = read_codes(pdf, dpi=150)
    assert [code.page for code in codes] == list(range(len(page_sizes_mm(pdf))))


def test_the_poster_of_the_example_is_a_card_with_edition_place_and_page(example_handbooks):
    for handbook in example_handbooks:
        card = handbook.card("poster")
        assert (card.form, card.place, card.in_binder) == ("poster", "staff-room", False)
        assert card.edition
        assert card.edition in page_texts(POSTER.render(Rendering(handbook)))[0]
        bands = [block for block in card.front if isinstance(block, Band)]
        chairs = [own for own in handbook.cards if own.kind == "refill-chair"]
        assert [(b.word, b.name) for b in bands] == [(c.front[0].word, c.front[0].name) for c in chairs]
        current = str(handbook.card("current").front)
        assert card.title in current
