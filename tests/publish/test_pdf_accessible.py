"""Every PDF of the example can be read aloud: the points of PDF/UA-1 (ISO 14289-1:2014) that a program can see.

The rule numbers are those of veraPDF's open profile PDF_UA/PDFUA-1.xml; no validator of it is in the registries.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from itertools import pairwise

import pikepdf
import pytest
from pdf_pages import tags_in

from kitdocs.cache import Cache
from kitdocs.document.history import Replacement
from kitdocs.publish.print.documents import plan_report
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
