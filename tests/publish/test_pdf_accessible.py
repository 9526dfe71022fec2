"""Every PDF of the example can be read aloud: the points of PDF/UA-1 (ISO 14289-1:2014) that a program can see.

The rule numbers are those of veraPDF's open profile PDF_UA/PDFUA-1.xml; no validator of it is in the registries.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from itertools import pairwise

import pikepdf
import pytest
from pdf_pages import read_aloud, tags_in

from kitdocs.cache import Cache
from kitdocs.document.blocks import Caution, Items, Steps
from kitdocs.document.history import Replacement
from kitdocs.publish.print.documents import REFILL_CARDS, plan_report
from kitdocs.publish.print.finished import page_count
from kitdocs.publish.print.render_all import AllDocuments, finished
from kitdocs.publish.print.rendering import Rendering
from kitdocs.publish.print.replacement import render_replacements
from kitdocs.report.build_report import make_report

pytestmark = pytest.mark.whole

NAMES = (
    "binder.pdf",
    "refill-cards.pdf",
    "pouch-lists.pdf",
    "set-templates.pdf",
    "labels.pdf",
    "forms.pdf",
    "mishaps.pdf",
    "poster.pdf",
    "move.pdf",
    "plan.pdf",
    "replacement.pdf",
)

#: Standard structure types of ISO 32000-1, 14.8.4, as far as a document of ours may use them.
STANDARD = frozenset(
    {"Document", "Part", "Art", "Sect", "Div", "Index", "NonStruct", "P", "H", *(f"H{n}" for n in range(1, 7))}
    | {"L", "LI", "Lbl", "LBody", "Table", "TR", "TH", "TD", "THead", "TBody", "TFoot", "Span", "Link", "Figure"}
    | {"TOC", "TOCI", "BlockQuote", "Caption", "Code", "Formula", "Quote", "Note", "Reference", "Annot", "Form"}
)
TEXT = frozenset({"Tj", "TJ", "'", '"'})


@pytest.fixture(scope="module")
def pdfs(example, example_plan, example_handbooks) -> dict[str, bytes]:
    spanish = example_handbooks[1]
    new = Replacement(card="r/chair-1", action="add", title=spanish.card("r/chair-1").title, new_edition="NEW33")
    report = make_report(example, example_plan)
    with AllDocuments(Cache(None)) as documents:
        started = documents.start([spanish])
        rendered = {path.rpartition("/")[2]: pdf for path, pdf in finished(started, print).items()}
    return {
        **rendered,
        "plan.pdf": plan_report(Rendering(report)),
        "replacement.pdf": render_replacements(spanish, [new]),
    }


@pytest.fixture(params=NAMES)
def pdf(pdfs, request) -> Iterator[pikepdf.Pdf]:
    with pikepdf.open(io.BytesIO(pdfs[request.param])) as opened:
        yield opened


@pytest.fixture
def structure(pdf) -> list[tuple[str, pikepdf.Dictionary]]:
    return list(tags_in(pdf))


def test_no_document_is_forgotten(pdfs):
    assert set(pdfs) == set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_the_document_says_what_it_is(pdfs, name):
    with pikepdf.open(io.BytesIO(pdfs[name])) as pdf:
        _says_what_it_is(pdf, "en" if name == "plan.pdf" else "es")


def _says_what_it_is(pdf, language):
    root = pdf.Root
    assert root.MarkInfo.Marked
    assert not root.MarkInfo.get("/Suspects", False)  # 7.1-4
    assert str(root.Lang) == language  # 7.2-33
    assert root.ViewerPreferences.DisplayDocTitle  # 7.1-10
    assert not pdf.is_encrypted  # 7.16-1
    assert root.Metadata.Type == "/Metadata"  # 7.1-8
    with pdf.open_metadata() as meta:
        assert meta["pdfuaid:part"] == "1"  # 5-1, 5-2
        assert meta["dc:title"]  # 7.1-9


def test_every_tag_is_a_standard_one(pdf, structure):
    """7.1-5 to 7.1-7: a role map would lead to a standard type, without a circle."""
    roles = {str(name)[1:]: str(role)[1:] for name, role in pdf.Root.StructTreeRoot.get("/RoleMap", {}).items()}
    assert not set(roles) & STANDARD
    assert set(roles.values()) <= STANDARD
    assert {kind for kind, _ in structure} <= STANDARD | set(roles)


def test_every_figure_says_what_it_shows(structure):
    for kind, element in structure:
        if kind == "Figure":
            assert str(element.get("/Alt", element.get("/ActualText", ""))).strip()  # 7.3-1


def test_headings_begin_with_the_first_level_and_skip_none(structure):
    levels = [int(kind[1:]) for kind, _ in structure if kind[:1] == "H" and kind[1:].isdigit()]
    assert all(level <= before + 1 for before, level in pairwise([0, *levels]))  # 7.4.2-1
    assert not any(kind == "H" for kind, _ in structure)  # 7.4.4-3


@pytest.mark.parametrize("name", [name for name in NAMES if name != "labels.pdf"])
def test_every_document_but_a_sheet_of_labels_has_headings(pdfs, name):
    with pikepdf.open(io.BytesIO(pdfs[name])) as pdf:
        assert any(kind == "H1" for kind, _ in tags_in(pdf))


def test_every_table_has_headers_and_is_made_of_rows_and_cells(structure):
    for kind, element in structure:
        below = [str(child.S)[1:] for child in _children(element)]
        if kind == "Table":
            assert below.count("THead") == 1  # 7.2-11; and a table of ours has a head
            assert set(below) <= {"THead", "TBody", "TFoot", "TR", "Caption"}  # 7.2-3
        if kind == "TR":
            assert set(below) <= {"TH", "TD"}  # 7.2-4
        if kind == "THead":
            assert any(str(cell.S) == "/TH" for row in _children(element) for cell in _children(row))


def test_links_are_tagged_described_and_in_tab_order(pdf, structure):
    links = 0
    for page in pdf.pages:
        annotations = [note for note in page.get("/Annots", []) if note.Subtype == "/Link"]
        if annotations:
            assert page.Tabs == "/S"  # 7.18.3-1
        for note in annotations:
            assert str(note.get("/Contents", "")).strip()  # 7.18.5-2
            assert "/StructParent" in note
            links += 1
    assert bool(links) == any(kind == "Link" for kind, _ in structure)  # 7.18.5-1


def test_all_words_on_a_page_are_tagged_or_marked_as_no_content(pdf):
    """7.1-3 (from memory): what is shown is in the structure, or an artifact."""
    shown = 0
    for page in pdf.pages:
        depth = 0
        for instruction in pikepdf.parse_content_stream(page):
            operator = str(instruction.operator)
            depth += (operator in {"BDC", "BMC"}) - (operator == "EMC")
            if operator in TEXT:
                assert depth > 0
                shown += 1
        assert depth == 0
    assert shown


@pytest.mark.parametrize("name", ["binder.pdf", "plan.pdf", "replacement.pdf", "set-templates.pdf", "forms.pdf"])
def test_a_document_of_many_parts_has_bookmarks(pdfs, name):
    with pikepdf.open(io.BytesIO(pdfs[name])) as pdf, pdf.open_outline() as outline:
        assert len(outline.root) > 1


@pytest.mark.parametrize("name", NAMES)
def test_pages_are_counted(pdfs, name):
    """A page has a label of its own where a sheet has one on paper."""
    with pikepdf.open(io.BytesIO(pdfs[name])) as pdf:
        labels = [page.label for page in pdf.pages]
    if name in {"binder.pdf", "replacement.pdf"}:
        assert len(set(labels)) == len(labels)
    assert all(labels)


def _children(element: pikepdf.Dictionary) -> list[pikepdf.Dictionary]:
    children = element.get("/K", [])
    of = children if isinstance(children, pikepdf.Array) else [children]
    return [child for child in of if isinstance(child, pikepdf.Dictionary) and "/S" in child]


def test_a_refill_card_is_read_from_its_title_down_each_thing_with_its_number(pdfs, example_handbooks):
    """By PDFium, which shares no code with what wrote the tags. A number stands before its name, or last."""
    pdf = pdfs["refill-cards.pdf"]
    cards = [card for card in example_handbooks[1].cards if REFILL_CARDS.holds(card)]
    said = _letters("".join(_read_aloud(pdf, range(0, page_count(pdf), 2))))  # the fronts
    for card in cards:
        rows = [item for block in card.front if isinstance(block, Items) for item in block.items]
        cautions = [re.escape(_letters(block.title + block.text)) for block in card.front if isinstance(block, Caution)]
        between = ".{0,250}?"  # a long list goes on on a second card
        read = between.join(
            rf"({row.count}{name}|{name}.{{0,8}}{row.count})" if row.count else name
            for row in rows
            for name in [re.escape(_letters(row.name)) + ".{0,8}" + re.escape(_letters(row.detail))]
        )
        pattern = re.escape(_letters(card.title)) + between + read + between + "".join(cautions[-1:])
        assert re.search(pattern, said), f"{card.id}: {pattern}"
    assert len(cards) > 7


def test_rows_of_a_refill_card_are_a_list(pdfs, example_handbooks):
    """Things side by side on a small card are not: Typst has no list that goes across."""
    cards = [card for card in example_handbooks[1].cards if REFILL_CARDS.holds(card)]
    lists = [[block.items for block in card.front if isinstance(block, Items)] for card in cards]
    rows = sum(len(items) for own in lists for items in own)
    with pikepdf.open(io.BytesIO(pdfs["refill-cards.pdf"])) as pdf:
        kinds = [kind for kind, _ in tags_in(pdf)]
    assert 0.8 * rows <= kinds.count("LBody") <= rows
    assert kinds.count("L") >= len(cards) // 2


def test_mishaps_are_read_step_by_step_and_what_is_done_comes_last(pdfs, example_handbooks):
    said = _letters("".join(_read_aloud(pdfs["mishaps.pdf"], range(page_count(pdfs["mishaps.pdf"])))))
    mishaps = [block for block in example_handbooks[1].card("mishaps").front if isinstance(block, Steps)]
    at = 0
    for mishap in mishaps:
        for words in (mishap.title, *(step.text for step in mishap.steps), mishap.also, mishap.done):
            found = said.find(_letters(words), at)
            assert found >= 0, f"{words!r} is not read after {said[max(0, at - 60) : at]!r}"
            at = found + len(_letters(words))
    assert len(mishaps) > 14


def _read_aloud(pdf: bytes, pages: range) -> list[str]:
    return [word for page in pages for word in read_aloud(pdf, page)]


def _letters(words: str) -> str:
    """Without spaces, and without the hyphens at which a line or a word may break."""
    return "".join(letter for letter in words if letter.isalnum())
