"""Sizes, words, tags and sameness of the printed sheets."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Literal

import pikepdf
import pypdfium2 as pdfium
import pytest
from pdf_pages import page_sizes_mm, page_texts, tags
from sample_handbook import (
    every_block,
    picture,
    pouch_list_card,
    sample_handbook,
    sample_pdf,
    template_card,
)

from kitdocs.document.blocks import Cell, Heading, Illustration, Item, Items, Matrix
from kitdocs.document.card import Handbook
from kitdocs.drawings import drawing
from kitdocs.practice.problems import PublishError
from kitdocs.publish.print.binder import binder
from kitdocs.publish.print.documents import POUCH_LISTS, REFILL_CARDS, sheets
from kitdocs.publish.print.rendering import Rendering

pytestmark = pytest.mark.whole

# A4: ISO 216. Letter: 8.5 × 11 in.
A4_MM = (210.0, 297.0)
LETTER_MM = (8.5 * 25.4, 11 * 25.4)
NAMES = ("binder", "refill_cards", "pouch_lists")


@pytest.fixture(scope="module")
def sample_binder() -> bytes:
    return sample_pdf("binder")


@pytest.mark.parametrize(("paper", "size"), [("a4", A4_MM), ("letter", LETTER_MM)])
def test_every_page_is_the_paper_that_the_practice_prints_on(paper, size):
    for name in NAMES:
        pdf = sample_pdf(name, paper)
        for page in page_sizes_mm(pdf):
            assert sorted(page) == pytest.approx(sorted(size), abs=0.1)


def test_a_sheet_that_is_not_bound_stands_in_the_middle_of_its_paper():
    document = pdfium.PdfDocument(
        POUCH_LISTS.render(Rendering(sample_handbook(*(pouch_list_card(f"drawer/{n}", 3) for n in range(2)))))
    )
    for page in document:
        text = page.get_textpage()
        boxes = [text.get_charbox(n) for n in range(text.count_chars()) if text.get_text_range(n, 1).strip()]
        assert min(box[0] for box in boxes) / 72 * 25.4 == pytest.approx(18, abs=0.6)


def test_the_foot_is_in_small_type():
    """9 points, of which a capital of Atkinson Hyperlegible takes 0.668."""
    document = pdfium.PdfDocument(POUCH_LISTS.render(Rendering(sample_handbook(pouch_list_card("drawer/teal", 3)))))
    text = document[0].get_textpage()
    at = text.get_text_bounded().rindex("Tern & Juniper")
    _, bottom, _, top = text.get_charbox(at)
    assert bottom < 18 / 25.4 * 72
    assert top - bottom == pytest.approx(9 * 0.668, abs=0.3)


def test_every_word_of_every_kind_of_block_is_printed():
    text = " ".join(page_texts(sheets(sample_handbook(every_block()), [every_block()], title="One")))
    text = text.replace("\xa0", " ")
    for words in (
        *("LIME", "A heading", "Label", "Wire-shaping pouch", "First.", "Wet, torn or open pack?", "A photo", "½ box"),
        *(
            "piñón “café”",
            "135 °C",
            "It rises.",
            "Sterilizer",
            "Initials",
            "Plain, strong and a card",
            "two and a half",
        ),
    ):
        assert words in text


# The points of PDF/UA-1 (ISO 14289-1:2014) by the rule numbers of veraPDF's open profile PDF_UA/PDFUA-1.xml.
@pytest.mark.parametrize("name", NAMES)
def test_the_pdf_says_that_it_is_accessible_and_in_which_language(name):
    with pikepdf.open(io.BytesIO(sample_pdf(name))) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert not pdf.Root.MarkInfo.get("/Suspects", False)  # 7.1-4
        assert str(pdf.Root.Lang) == "en"  # 7.2-33
        assert "/StructTreeRoot" in pdf.Root
        assert pdf.Root.ViewerPreferences.DisplayDocTitle  # 7.1-10
        with pdf.open_metadata() as meta:
            assert meta["pdfuaid:part"] == "1"  # 5-2
            assert meta["dc:title"]  # 7.1-9


@pytest.mark.parametrize("name", NAMES)
def test_every_figure_has_an_alternative_and_no_level_of_heading_is_skipped(name):
    level, figures = 0, 0
    for kind, element in tags(sample_pdf(name)):
        if kind == "Figure":
            figures += 1
            assert str(element.get("/Alt", "")).strip()  # 7.3-1
        if kind[:1] == "H" and kind[1:].isdigit():
            assert int(kind[1:]) <= level + 1  # 7.4.2-1
            level = int(kind[1:])
    assert figures and level


def test_every_table_has_a_row_of_headers(sample_binder):
    kinds = [kind for kind, _ in tags(sample_binder)]
    assert kinds.count("Table") >= 5
    assert kinds.count("THead") == kinds.count("Table")
    assert "TH" in kinds


def test_the_pdf_speaks_the_language_of_its_handbook():
    card = pouch_list_card("drawer/teal", 1)
    with pikepdf.open(io.BytesIO(POUCH_LISTS.render(Rendering(sample_handbook(card, language="es"))))) as pdf:
        assert str(pdf.Root.Lang) == "es"


def test_a_heading_that_its_author_set_too_deep_is_lifted():
    deep = every_block()
    card = replace(deep, front=(Heading(text="Far too deep", level=5), *deep.front))
    levels = [
        kind for kind, _ in tags(sheets(sample_handbook(card), [card], title="One")) if kind in {"H1", "H2", "H3"}
    ]
    assert levels[:2] == ["H1", "H2"]


@pytest.mark.parametrize(
    ("name", "make"), [("binder", binder), ("refill_cards", REFILL_CARDS.render), ("pouch_lists", POUCH_LISTS.render)]
)
def test_a_second_run_gives_the_same_bytes(name, make):
    assert make(Rendering(sample_handbook())) == sample_pdf(name)


def test_a_sign_that_the_typeface_lacks_is_named_with_its_text():
    card = pouch_list_card("drawer/teal", 1)
    items = Items(items=(Item(id="x", name="Snowy ☃ pouch", count=1),))
    card = replace(card, front=(*card.front, items))
    with pytest.raises(PublishError, match="cannot print '☃' in “Snowy ☃ pouch”"):
        POUCH_LISTS.render(Rendering(sample_handbook(card)))


def test_a_sign_that_the_typeface_lacks_is_named_within_a_drawing_too():
    words = drawing.document([drawing.text("Snowy ☃ set", 2, 8, size=4)], width_mm=40, height_mm=10)
    card = pouch_list_card("drawer/teal", 1)
    card = replace(card, front=(*card.front, Illustration(picture=picture("label", words, "A label"))))
    with pytest.raises(PublishError, match="cannot print '☃' in “Snowy ☃ set”"):
        POUCH_LISTS.render(Rendering(sample_handbook(card)))


def test_a_decomposed_letter_is_printed_composed():
    card = replace(pouch_list_card("drawer/teal", 1), title="Cajo\u0301n")
    assert "Cajón" in page_texts(POUCH_LISTS.render(Rendering(sample_handbook(card))))[0]


def test_a_number_stays_with_its_unit():
    card = pouch_list_card("drawer/teal", 1)
    rows = ((Cell(text="at 135 °C for 4 min"),),)
    card = replace(card, front=(*card.front, Matrix(head=("Cycle",), rows=rows)))
    assert POUCH_LISTS.render(Rendering(sample_handbook(card))) == POUCH_LISTS.render(
        Rendering(
            sample_handbook(
                replace(
                    card,
                    front=(
                        *card.front[:-1],
                        Matrix(head=("Cycle",), rows=((Cell(text="at 135\xa0°C for 4\xa0min"),),)),
                    ),
                )
            )
        )
    )


def test_a_pouch_list_stays_on_one_page_and_says_what_each_pouch_is_for():
    texts = page_texts(POUCH_LISTS.render(Rendering(sample_handbook(pouch_list_card("drawer/teal", 8)))))
    assert len(texts) == 1
    assert texts[0].count("For debonding, retainer delivery") == 8


def test_a_long_table_repeats_its_head_and_leaves_no_single_row_behind():
    rows = tuple((Cell(text=f"Row {n}"), Cell(text="something")) for n in range(60))
    card = replace(every_block(), front=(Matrix(head=("Thing", "Other"), rows=rows),))
    texts = page_texts(sheets(sample_handbook(card), [card], title="One"))
    assert len(texts) >= 2
    assert all("Thing" in text for text in texts)
    assert texts[-1].count("Row ") > 3


def test_a_template_names_every_place_on_the_page_of_its_drawing():
    texts = page_texts(sheets(sample_handbook(), [template_card("t/core", 190, 142)], title="Templates"))
    assert all(name in texts[0] for name in ("bird beak plier", "scaler", "three prong plier"))


def test_no_line_begins_with_the_point_between_two_things():
    names = " · ".join("n" * (2 + n * 7 % 23) for n in range(120))
    card = replace(every_block(), front=(Matrix(head=("Contents",), rows=((Cell(text=names),),)),))
    text = pdfium.PdfDocument(sheets(sample_handbook(card), [card], title="One"))[0].get_textpage().get_text_bounded()
    lines = [line.strip() for line in text.splitlines()]
    assert sum(line.endswith("·") for line in lines) > 5, "the list breaks"
    assert not [line for line in lines if line.startswith("·")]


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_first_day_is_on_one_page_with_what_to_do_when_hurt(
    example_handbooks: tuple[Handbook, ...], paper: Literal["letter", "a4"]
) -> None:
    """It hangs at the entrance: nobody turns it over to read what to do after a stick."""
    for book in example_handbooks:
        (page,) = page_texts(sheets(replace(book, paper=paper), (book.card("first-day"),), title="x"))
        assert book.words("rules.hurt-tell") in page


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_what_cannot_wait_at_a_chair_is_on_the_one_page_that_is_posted_there(
    example_handbooks: tuple[Handbook, ...], paper: Literal["letter", "a4"]
) -> None:
    for book in example_handbooks:
        (page,) = page_texts(sheets(replace(book, paper=paper), (book.card("chair-side"),), title="x"))
        for rule in ("hurt-wash", "hurt-tell", "broken-parts", "missing-doctor", "internal-stop", "hold-load"):
            assert book.words(f"rules.{rule}") in page


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("name", ["load/wash", "load/sterilize", "pouch-guide", "wrap-guide", "spore-test", "repair"])
def test_a_guide_beside_a_machine_or_table_is_on_one_page(
    example_handbooks: tuple[Handbook, ...], name: str, paper: Literal["letter", "a4"]
) -> None:
    for book in example_handbooks:
        assert len(page_texts(sheets(replace(book, paper=paper), (book.card(name),), title="x"))) == 1
