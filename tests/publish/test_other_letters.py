"""Sheets in Hebrew and Arabic letters: nothing is cut off or overprinted; what is read from the right begins there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pypdfium2 as pdfium
import pytest
from ink_scan import FROM_TRIM, FROM_TRIM_OF_LABEL, faults
from other_letters import OtherLetters
from pdf_pages import box_mm, of_colour, page_texts, pixels
from pseudo_language import pseudo_practice
from pypdfium2 import raw

from kitdocs.document.blocks import Illustration, Steps
from kitdocs.document.card import Handbook
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.planning.plan import make_plan
from kitdocs.practice.reading.reader import read_practice
from kitdocs.publish.print import render_pdf
from kitdocs.publish.print.documents import (
    BINDER,
    DOCUMENTS,
    LABELS,
    MISHAPS,
    POSTER,
    REFILL_CARDS,
    Document,
)
from kitdocs.publish.print.rendering import Rendering

pytestmark = pytest.mark.whole

MM = 72 / 25.4
WIDTH_MM = 215.9


@cache
def example_in(language: str) -> Handbook:
    with TemporaryDirectory() as folder:
        practice = read_practice(pseudo_practice(Path(folder) / "practice", OtherLetters(language)))
    return make_handbook(practice, make_plan(practice, days=1))


@cache
def printed(document: Document, language: str) -> bytes:
    return document.render(Rendering(example_in(language)))


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda of: of.file)
@pytest.mark.parametrize("language", ["he", "ar"])
def test_no_ink_is_off_its_sheet_on_other_text_or_across_an_edge(language: str, document: Document) -> None:
    from_cut = FROM_TRIM_OF_LABEL if document is LABELS else FROM_TRIM
    assert faults(printed(document, language), from_cut=from_cut) == []


def lines_of(page: pdfium.PdfPage) -> Iterator[list[tuple[float, str]]]:
    """The letters of each run of a page as pdfium reads them, with the place of their right edge."""
    text = page.get_textpage()
    run: list[tuple[float, str]] = []
    for n in range(text.count_chars()):
        sign = chr(raw.FPDFText_GetUnicode(text, n))
        if sign.isspace() and sign in "\r\n":
            yield run
            run = []
        else:
            run.append((text.get_charbox(n)[2], sign))
    yield run


def words(text: str) -> list[str]:
    return re.findall(r"\w+", text)


def test_a_reader_gets_a_hebrew_page_in_the_order_in_which_it_is_read() -> None:
    """Read back by pdfium, which shares nothing with Typst."""
    (card,) = (card for card in example_in("he").cards if card.kind == "mishaps")
    found = words(" ".join(page_texts(printed(MISHAPS, "he"))))
    steps = [step for block in card.blocks if isinstance(block, Steps) for step in block.steps]
    at = 0
    for step in steps:
        wanted = words(step.text)[:4]
        at = next((n for n in range(at, len(found)) if found[n : n + len(wanted)] == wanted), len(found))
        assert at < len(found), f"not behind what stands before it: {step.text}"
    assert len(steps) > 40


def test_letters_of_a_hebrew_line_go_from_right_to_left() -> None:
    page = pdfium.PdfDocument(printed(MISHAPS, "he"))[0]
    long = 0
    for line in lines_of(page):
        rights = [right for right, sign in line if "א" <= sign <= "ת"]
        if len(rights) > 20:
            long += 1
            assert all(after < before for before, after in pairwise(rights)), "".join(sign for _, sign in line)
    assert long > 5


def test_a_bound_sheet_has_its_holes_at_the_right() -> None:
    """The front of a Latin one has 22 mm for them at the left, a Hebrew one at the right, on its back at the left."""
    document = pdfium.PdfDocument(printed(BINDER, "he"))
    number = next(
        n for n, page in enumerate(page_texts(printed(BINDER, "he"))) if n > 3 and len(page) > 1500 and n % 2 == 0
    )
    for n, (left, right) in ((number, (14, 22)), (number + 1, (22, 14))):
        page = document[n]
        text = page.get_textpage()
        boxes = np.array([text.get_charbox(c) for c in range(text.count_chars())])
        boxes = boxes[boxes[:, 2] > boxes[:, 0]]
        body = boxes[(boxes[:, 1] > 30 * MM) & (boxes[:, 0] > 10 * MM) & (boxes[:, 2] < page.get_width() - 10 * MM)]
        # Lines begin at the right, and need not reach the left.
        assert left - 1 <= body[:, 0].min() / MM <= left + 7
        assert (page.get_width() - body[:, 2].max()) / MM == pytest.approx(right, abs=1)


def test_the_band_of_a_refill_card_is_at_the_right_and_the_code_at_the_left(
    example_handbooks: tuple[Handbook, ...],
) -> None:
    sides = {}
    for language, handbook in (("he", example_in("he")), ("en", example_handbooks[0])):
        cards = tuple(card for card in handbook.cards if card.id == "r/chair-1")
        pdf = REFILL_CARDS.render(Rendering(replace(handbook, cards=cards)))
        left, _, right, _ = box_mm(of_colour(pixels(pdf, 0, 100), "#00766c"), 100)
        sides[language] = (left, right)
    assert sides["he"][0] == pytest.approx(WIDTH_MM - sides["en"][1], abs=0.5)
    assert sides["he"][1] == pytest.approx(WIDTH_MM - sides["en"][0], abs=0.5)
    assert sides["he"][0] > WIDTH_MM / 2 > sides["en"][1]


def test_no_drawing_is_turned_around(example_handbooks: tuple[Handbook, ...]) -> None:
    """The left of a cassette is its left, and what lies on its rails lies as on a Latin sheet."""
    for card in example_in("he").cards:
        if card.form == "template":
            (drawn,) = (b for b in card.blocks if isinstance(b, Illustration) and b.true_size)
            (latin,) = (
                b for b in example_handbooks[0].card(card.id).blocks if isinstance(b, Illustration) and b.true_size
            )
            assert re.sub(rb"<text.*?</text>", b"", drawn.picture.data) == re.sub(
                rb"<text.*?</text>", b"", latin.picture.data
            )


def test_a_latin_document_is_the_same_with_typefaces_for_other_letters_and_without(
    example_handbooks: tuple[Handbook, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    cards = tuple(card for card in example_handbooks[0].cards if card.form == "poster")
    handbook = replace(example_handbooks[0], cards=cards)
    with_them = POSTER.render(Rendering(handbook))
    monkeypatch.setattr("kitdocs.publish.print.data.more_families", tuple)
    monkeypatch.setattr(render_pdf, "font_folders", lambda: (render_pdf.shipped_folder("site_templates") / "fonts",))
    render_pdf._fonts.cache_clear()
    try:
        assert POSTER.render(Rendering(handbook)) == with_them
    finally:
        render_pdf._fonts.cache_clear()
