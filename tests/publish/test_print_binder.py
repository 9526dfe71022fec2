"""The binder as a loose-leaf manual: labels, contents, tabs, room for the holes."""

from __future__ import annotations

import io
import json
import re
import shutil
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pikepdf
import pypdfium2 as pdfium
import pytest
from editing import edit
from pdf_pages import page_sizes_mm, page_texts, pixels
from sample_handbook import chair_card, every_block, pouch_items, sample_handbook, sample_pdf, template_card

from kitdocs.document.blocks import Cell, FormGrid, Matrix
from kitdocs.document.card import Handbook
from kitdocs.handbook.build_handbook import make_handbooks
from kitdocs.practice.reading.reader import read_practice
from kitdocs.publish.print.binder import begins, binder, binder_leaves, binder_sheets
from kitdocs.publish.print.join import DocumentPart, joined
from kitdocs.publish.print.render_pdf import query
from kitdocs.publish.print.rendering import Rendering

pytestmark = pytest.mark.whole

EXAMPLE = Path(__file__).parent.parent.parent / "example_practice"

# ISO 838: holes of 6 mm, their centres 12 mm from the edge and 80 mm apart, the middle of the row at the middle of the
# sheet; four holes are two such pairs. Three holes: 9⁄32 in wide, 4¼ in apart, ½ in from the edge (from memory).
ISO_838 = (6.0, 12.0, (-120.0, -40.0, 40.0, 120.0))
THREE_HOLES = (7.2, 12.7, (-108.0, 0.0, 108.0))
HOLES = {"a4": ISO_838, "letter": THREE_HOLES}


@pytest.fixture(scope="module")
def sample_binder() -> bytes:
    return sample_pdf("binder")


def labels_of(pdf: bytes) -> list[str]:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return [page.label for page in document.pages]


@pytest.fixture(scope="module")
def labels(sample_binder) -> list[str]:
    return labels_of(sample_binder)


def upright_pages(pdf: bytes, paper="letter") -> list[int]:
    """Upright pages but those of templates: a drawing at true size may need the width of the paper."""
    handbook = sample_handbook(paper=paper)
    drawn = {own[0] for card, own in binder_sheets(handbook).items() if handbook.card(card).form == "template"}
    pages = enumerate(zip(labels_of(pdf), page_sizes_mm(pdf), strict=True))
    return [page for page, (label, (width, height)) in pages if width < height and label.split()[0] not in drawn]


def long_card():
    rows = tuple((Cell(text=f"Row {n}"), Cell(text="something")) for n in range(140))
    return replace(every_block(), id="pages/long", front=(Matrix(head=("Thing", "Other"), rows=rows),))


def test_sheets_that_a_long_list_goes_on_to_have_labels() -> None:
    short = (Matrix(head=("Thing", "Other"), rows=((Cell(text="Mirror"), Cell(text="one")),)),)
    cards = [replace(every_block(), id=f"pages/own-{n}", title=f"Page {n} of our own", front=short) for n in range(200)]
    names = ["Cover", "Contents", "Contents 2", *map(str, range(1, 201))]
    assert labels_of(binder(Rendering(sample_handbook(*cards)))) == [
        side for name in names for side in (name, f"{name} back")
    ]


def test_every_card_begins_a_sheet_that_its_label_names(sample_binder, labels):
    texts = page_texts(sample_binder)
    for card, own in binder_sheets(sample_handbook()).items():
        begins = labels.index(own[0])
        assert begins % 2 == 0, "a right-hand page: the first page of the document is one"
        assert sample_handbook().card(card).title in texts[begins]
        assert f"Sheet {own[0]}" in texts[begins]
        assert f"Sheet {own[0]}, back" in texts[begins + 1]


def test_a_back_that_is_empty_says_so(sample_binder, labels):
    texts = page_texts(sample_binder)
    assert "intentionally blank" in texts[labels.index("3 back")]
    assert "intentionally blank" not in texts[labels.index("1 back")], "the sample's first card has two pages"


def test_the_labels_of_the_pages_are_those_of_the_sheets(labels):
    assert labels[:5] == ["Cover", "Cover back", "Contents", "Contents back", "1"]
    sheets = [label for label in labels if label[0].isdigit()]
    assert sheets == [name for n in range(1, 10) for name in (str(n), f"{n} back")][: len(sheets)]


def test_the_contents_list_every_card_with_its_sheet(sample_binder):
    contents = page_texts(sample_binder)[2]
    handbook = sample_handbook()
    for card, own in binder_sheets(handbook).items():
        assert re.search(re.escape(handbook.card(card).title) + rf"[ .]*{own[0]}\b", contents), card


def test_the_tabs_of_the_sections_step_down_the_outer_edge(sample_binder, labels):
    tops = []
    leaves = binder_leaves(Rendering(sample_handbook()))
    opened = [leaves.labels[cards[0].id][0] for _, cards in leaves.sections]
    assert len(opened) > 2
    for page, label in enumerate(labels):
        if label.split()[0] not in opened:
            continue
        image = pixels(sample_binder, page, dpi=72)[:, :, 0]
        back = label.endswith("back")
        edge = image[:, :8] if back else image[:, -8:]
        dark = np.flatnonzero((edge < 80).all(axis=1))
        assert dark.size, f"no tab at the outer edge of {label}"
        tops.append((int(dark[0]), int(dark[-1])))
    assert tops[::2] == tops[1::2], "front and back of a tab are one tab"
    for (_, ends), (starts, _) in pairwise(tops[::2]):
        assert starts > ends


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_no_ink_of_a_lying_front_is_punched_out(paper):
    """It is bound at its upper edge, as it lies when the binder is turned to read it."""
    grid = FormGrid(columns=("Date", "Load", "Initials"), widths=(1, 2, 1), rows=6)
    form = replace(every_block(), id="forms/log", kind="form", landscape=True, front=(grid,))
    pdf = binder(Rendering(sample_handbook(form, template_card("t/core", 230, 75), paper=paper)))
    wide, centre, offsets = HOLES[paper]
    lying = [page for page, (width, height) in enumerate(page_sizes_mm(pdf)) if width > height and page % 2 == 0]
    assert len(lying) == 2
    for page in lying:
        width, _ = page_sizes_mm(pdf)[page]
        image = pixels(pdf, page, dpi=100).min(axis=2)
        rows, columns = np.mgrid[: image.shape[0], : image.shape[1]] / (100 / 25.4)
        for offset in offsets:
            near = (columns - width / 2 - offset) ** 2 + (rows - centre) ** 2 < (wide / 2 + 0.5) ** 2
            assert near.sum() > 300
            assert image[near].min() > 250, f"ink under a hole of page {page + 1}"


@pytest.mark.parametrize("language", ["en", "es", "de", "fr"])
def test_the_example_takes_few_sheets_and_each_card_is_where_the_contents_say(tmp_path, example_plan, language):
    """80 sheets when every card had sheets of its own, with dividers between; 45 are wanted.

    Three or four of them are for the pictures of what is done when something went wrong. Names stay in English
    where the example has none in the language.
    """
    folder = tmp_path / "practice"
    shutil.copytree(EXAMPLE, folder)
    edit(folder / "practice.yaml", "languages: [en, es]", f"languages: [{language}]")
    (handbook,) = make_handbooks(read_practice(folder), example_plan)
    rendering = Rendering(handbook)
    leaves = binder_leaves(rendering)
    pdf = binder(rendering)
    texts, labels = page_texts(pdf), labels_of(pdf)
    assert len(texts) <= 90
    words = handbook.words
    blank = [label for label, text in zip(labels, texts, strict=True) if words("binder.empty") in text]
    odd = [cards for cards in leaves.bundles(leaves.cards) if sum(leaves.bound[c.id].pages for c in cards) % 2]
    assert blank == [words("binder.back_label", sheet=leaves.labels[cards[-1].id][-1]) for cards in odd]
    for card in leaves.cards:
        at = labels.index(begins(handbook, leaves.bound[card.id]))
        title = card.title.replace("\u00a0", " ")
        assert title in texts[at] or title.replace(": ", " ") in texts[at], card.id
        assert card.edition in texts[at]
        assert_not_punched(pdf, at, handbook.paper)


def assert_not_punched(pdf: bytes, page: int, paper: str) -> None:
    """A lying back is bound at its upper or its lower edge, as the printer turns it."""
    wide, centre, offsets = HOLES[paper]
    width, height = page_sizes_mm(pdf)[page]
    image = pixels(pdf, page, dpi=60).min(axis=2)
    rows, columns = np.mgrid[: image.shape[0], : image.shape[1]] / (60 / 25.4)
    edges = [centre] if page % 2 == 0 else [centre, height - centre]
    for offset in offsets:
        if width > height:
            near = [(columns - width / 2 - offset) ** 2 + (rows - edge) ** 2 for edge in edges]
        else:
            near = [(columns - (centre if page % 2 == 0 else width - centre)) ** 2 + (rows - height / 2 - offset) ** 2]
        for distance in near:
            assert image[distance < (wide / 2 + 0.5) ** 2].min() > 200, f"ink under a hole of page {page + 1}"


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_no_ink_is_punched_out(paper):
    """Neither on fronts, which are bound at the left, nor on their backs, which are bound at the right."""
    pdf = sample_pdf("binder", paper)
    wide, centre, offsets = HOLES[paper]
    looked = 0
    for page in upright_pages(pdf, paper):
        width, height = page_sizes_mm(pdf)[page]
        image = pixels(pdf, page, dpi=100).min(axis=2)
        mm = 100 / 25.4
        rows, columns = np.mgrid[: image.shape[0], : image.shape[1]] / mm
        for offset in offsets:
            x = centre if page % 2 == 0 else width - centre
            near = (columns - x) ** 2 + (rows - height / 2 - offset) ** 2 < (wide / 2 + 0.5) ** 2
            assert near.sum() > 300
            assert image[near].min() > 250, f"ink under a hole of page {page + 1}"
            looked += 1
    assert looked > 40


def test_the_wide_margin_is_where_the_sheet_is_bound(sample_binder):
    """Room for a hole of ISO 838 and some millimetres more: a margin of 20 to 25 mm."""
    document = pdfium.PdfDocument(sample_binder)
    for number in upright_pages(sample_binder):
        page = document[number]
        text = page.get_textpage()
        boxes = [text.get_charbox(n) for n in range(text.count_chars()) if text.get_text_range(n, 1).strip()]
        if not boxes:
            continue
        # A tab's name stands at the other edge.
        left, right = min(box[0] for box in boxes), page.get_width() - max(box[2] for box in boxes)
        edge = left if number % 2 == 0 else right
        assert edge / 72 * 25.4 >= 21.4


def test_the_bookmarks_are_the_sections_with_their_cards(sample_binder):
    with pikepdf.open(io.BytesIO(sample_binder)) as pdf, pdf.open_outline() as outline:
        found = {str(item.title): [str(child.title) for child in item.children] for item in outline.root}
    assert found["Refill cards"] == ["Refill Chair 1", "Refill Chair 2", "Core set"]
    assert found["Set templates"] == ["Template: Core set", "Template: Core set"]


def test_a_new_card_takes_a_letter_and_the_rest_keeps_its_labels():
    handbook = sample_handbook()
    recorded = binder_sheets(handbook)
    new = chair_card("r/lime", name="Chair 9", word="lime", colour="#d9e021", ink="#000000", items=pouch_items(2))
    longer = replace(handbook, cards=(*handbook.cards[:2], new, *handbook.cards[2:]), sheets=recorded)
    pdf = binder(Rendering(longer))
    labels = labels_of(pdf)
    (before,) = recorded["r/teal"]
    assert binder_sheets(longer) == {**recorded, "r/lime": (f"{before}A",)}
    at = labels.index(f"{before}A")
    assert labels[at - 2 : at + 2] == [before, f"{before} back", f"{before}A", f"{before}A back"]
    text = page_texts(pdf)
    assert "Chair 9" in text[at]
    assert f"Sheet {before}A, back" in text[at + 1]
    assert re.search(rf"Refill Chair 9[ .]*{before}A\b", text[2])


def test_a_card_that_grows_takes_a_letter_for_its_second_sheet():
    handbook = sample_handbook(long_card(), every_block())
    leaves = binder_leaves(Rendering(handbook))
    assert leaves.bound["pages/long"].pages > 2
    recorded = {"pages/long": ("1",), "pages/every": ("2",)}
    assert binder_sheets(replace(handbook, sheets=recorded))["pages/long"] == ("1", "1A")


def test_the_back_of_a_spanish_leaf_is_its_reverso():
    card = chair_card("r/teal", name="Sillón 1", word="verde", colour="#00766c", items=pouch_items(3))
    pdf = binder(Rendering(sample_handbook(card, language="es")))
    assert labels_of(pdf)[-2:] == ["1", "1 reverso"]
    assert "Hoja 1, reverso" in page_texts(pdf)[-1]


def test_labels_beyond_ascii_are_read_back_by_another_library():
    one, other = (DocumentPart(pdf=sample_pdf(name)) for name in ("pouch_lists", "refill_cards"))
    for parts in ([one], [one, other]):
        labels = [f"Página {n} (½)" for n in range(sum(len(page_sizes_mm(part.pdf)) for part in parts))]
        labelled = joined(parts, {}, labels)
        with pikepdf.open(io.BytesIO(labelled)) as document:
            assert [page.label for page in document.pages] == labels
            assert not document.check_pdf_syntax()
        again = pdfium.PdfDocument(labelled)
        assert [again.get_page_label(page) for page in range(len(again))] == labels


@pytest.mark.parametrize("language", ["en", "es", "de", "fr"])
def test_the_words_that_the_templates_share_have_different_names(language):
    parts = [set(sample_handbook(language=language).words.part(name)) for name in ("print", "binder", "swap")]
    assert all(parts)
    assert sum(map(len, parts)) == len(set.union(*parts))


def test_pages_that_are_told_without_counting_are_those_that_a_count_finds(
    example_handbooks: tuple[Handbook, ...],
) -> None:
    for handbook in example_handbooks:
        rendering = Rendering(handbook)
        data = rendering.data()
        data.add([card for card in handbook.cards if card.in_binder], "", bound=True)
        counted = rendering.fits.page_counts(data)
        assert counted == json.loads(query(rendering.fits.fit(data).source("pages.typ"), "answers"))
