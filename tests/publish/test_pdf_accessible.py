"""Every PDF of the example can be read aloud: the points of PDF/UA-1 (ISO 14289-1:2014) that a program can see.

The rules are those of `pdf_ua.py`; below them, what a reader hears: headings, heads of tables, the order of a card.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator

import pikepdf
import pytest
from pdf_pages import read_aloud, tags_in
from pdf_ua import Document, broken_rules, kids_of

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


def test_no_document_is_forgotten(pdfs):
    assert set(pdfs) == set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_every_rule_that_a_program_can_see_is_kept(pdfs, name):
    with pikepdf.open(io.BytesIO(pdfs[name])) as pdf:
        assert broken_rules(pdf) == set()
        assert str(pdf.Root.Lang) == ("en" if name == "plan.pdf" else "es")


def _first(pdf, kind):
    return next(element for found, element in tags_in(pdf) if found == kind)


def _font(pdf):
    return next(iter(pdf.pages[0].Resources.Font.values()))


def _untag(pdf):
    stream = pikepdf.unparse_content_stream(
        [step for step in pikepdf.parse_content_stream(pdf.pages[0]) if str(step.operator) not in ("BDC", "BMC", "EMC")]
    )
    pdf.pages[0].Contents = pdf.make_stream(stream)


def _nest(pdf):
    page = pdf.pages[0]
    page.Contents = pdf.make_stream(b"/Artifact BMC /P <</MCID 0>> BDC EMC EMC " + page.Contents.read_bytes())


def _without_meaning(pdf):
    _font(pdf).ToUnicode.write(b"")


def _wider(pdf):
    font = _font(pdf).DescendantFonts[0]
    font.W = pikepdf.Array([0, 999, 12])


def _notdef(pdf):
    page = pdf.pages[0]
    name = next(iter(page.Resources.Font.keys())).encode()
    page.Contents = pdf.make_stream(
        page.Contents.read_bytes() + b"\n/Artifact BMC BT " + name + b" 9 Tf <0000> Tj ET EMC"
    )


#: What is broken in the refill cards, and the rule that must see it.
BROKEN = {
    "7.1-2": _nest,
    "7.1-3": _untag,
    "7.1-4": lambda pdf: setattr(pdf.Root.MarkInfo, "Suspects", True),
    "7.1-5": lambda pdf: setattr(_first(pdf, "LI"), "S", pikepdf.Name("/Thing")),
    "7.1-7": lambda pdf: setattr(pdf.Root.StructTreeRoot, "RoleMap", pikepdf.Dictionary(P=pikepdf.Name("/Span"))),
    "7.1-8": lambda pdf: pdf.Root.__delitem__("/Metadata"),
    "7.1-10": lambda pdf: pdf.Root.__delitem__("/ViewerPreferences"),
    "7.2-17": lambda pdf: setattr(_first(pdf, "L"), "S", pikepdf.Name("/Div")),
    "7.2-18": lambda pdf: setattr(_first(pdf, "LI"), "S", pikepdf.Name("/Div")),
    "7.2-33": lambda pdf: pdf.Root.__delitem__("/Lang"),
    "7.2-29": lambda pdf: setattr(pdf.Root, "Lang", pikepdf.String("in Spanish")),
    "7.3-1": lambda pdf: _first(pdf, "Figure").__delitem__("/Alt"),
    "7.4.2-1": lambda pdf: setattr(_first(pdf, "H1"), "S", pikepdf.Name("/H3")),
    "7.4.4-1": lambda pdf: setattr(_first(pdf, "H1"), "S", pikepdf.Name("/H")),
    "7.10-1": lambda pdf: setattr(pdf.Root, "OCProperties", pikepdf.Dictionary()),
    "7.18.4-1": lambda pdf: setattr(pdf.Root, "AcroForm", pikepdf.Dictionary()),
    "7.21.4.1-1": lambda pdf: _font(pdf).DescendantFonts[0].FontDescriptor.__delitem__("/FontFile2"),
    "7.21.5-1": _wider,
    "7.21.7-1": _without_meaning,
    "7.21.8-1": _notdef,
}


@pytest.mark.parametrize("rule", BROKEN)
def test_a_rule_sees_what_breaks_it(pdfs, rule):
    with pikepdf.open(io.BytesIO(pdfs["refill-cards.pdf"])) as pdf:
        BROKEN[rule](pdf)
        assert rule in broken_rules(pdf)


@pytest.mark.parametrize("name", [name for name in NAMES if name != "labels.pdf"])
def test_every_document_but_a_sheet_of_labels_has_headings(pdfs, name):
    with pikepdf.open(io.BytesIO(pdfs[name])) as pdf:
        assert any(kind == "H1" for kind, _ in tags_in(pdf))


def test_every_table_has_a_head(pdf):
    tables = Document(pdf).of("Table")
    assert all(table.kids.count("THead") == 1 for table in tables)
    for head in Document(pdf).of("THead"):
        assert any(str(cell.S) == "/TH" for row in kids_of(head.entry) for cell in kids_of(row))


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
