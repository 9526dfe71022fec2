"""The planning report as a PDF: pages, bookmarks, tags, numbers, sameness."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pikepdf
import pytest
from pdf_pages import page_sizes_mm, page_texts, tags

from kitdocs.document.card import Handbook
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.publish.print.documents import plan_report
from kitdocs.publish.print.rendering import Rendering
from kitdocs.report.build_report import make_report

pytestmark = pytest.mark.whole

# Letter is 8.5 × 11 in; A4: ISO 216.
LETTER_MM, A4_MM = (8.5 * 25.4, 11 * 25.4), (210.0, 297.0)


@pytest.fixture(scope="module")
def report(example: Practice, example_plan: Plan) -> Handbook:
    return make_report(example, example_plan)


@pytest.fixture(scope="module")
def pdf(report: Handbook) -> bytes:
    return plan_report(Rendering(report))


def flat(text: str) -> str:
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


def test_the_first_page_has_the_answers_and_the_contents(pdf: bytes, report: Handbook, example_plan: Plan) -> None:
    first = flat(page_texts(pdf)[0])
    assert first.index("The plan at a glance") < first.index("Sets to own")
    assert f"USD {example_plan.orders.total:,.2f}" in first
    for card in report.cards:
        assert card.title in first, "the contents"


def test_the_contents_give_the_page_on_which_each_part_begins(pdf: bytes, report: Handbook) -> None:
    first, *rest = map(flat, page_texts(pdf))
    contents = first.partition("people decide.")[2]
    for card in report.cards[1:]:
        listed = re.search(re.escape(card.title) + r"[ .]*(\d+)", contents)
        begins = next(n for n, text in enumerate(rest, 2) if f"edition {card.edition} {card.title}" in text)
        assert listed and int(listed[1]) == begins, card.title


def test_every_part_has_a_bookmark_below_its_section(pdf: bytes, report: Handbook) -> None:
    with pikepdf.open(io.BytesIO(pdf)) as document, document.open_outline() as outline:
        found = {section.title: [part.title for part in section.children] for section in outline.root}
    assert found == {name: [card.title for card in cards] for name, cards in report.sections}


def test_it_says_that_it_is_pdf_ua_and_its_charts_have_words_in_their_place(pdf: bytes, report: Handbook) -> None:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        with document.open_metadata() as metadata:
            assert metadata.get("pdfuaid:part") == "1"
        assert str(document.Root.Lang) == "en"
    figures = [str(element.get("/Alt", "")) for kind, element in tags(pdf) if kind == "Figure"]
    charts = [alt for alt in figures if alt.startswith("Chart: ")]
    assert len(charts) == 5 + len(report.card("plan/out").front) - 1
    assert all(figures)


def test_every_number_of_every_table_is_on_paper(pdf: bytes, report: Handbook) -> None:
    text = flat(" ".join(page_texts(pdf)))
    cells = [
        cell.text
        for card in report.cards
        if card.id != "plan/reasons"
        for block in card.front
        for table in (getattr(block, "table", None) or block,)
        for row in getattr(table, "rows", ())
        for cell in row
        if re.fullmatch(r"[\d,.:]+", cell.text)
    ]
    assert len(cells) > 500
    there = set(text.split())
    assert {cell for cell in cells if cell not in there} == set()


def test_no_page_is_left_nearly_empty(pdf: bytes) -> None:
    """The last one may be; every other has at least a few lines."""
    texts = page_texts(pdf)
    assert len(texts) > 10
    assert min(len(text) for text in texts[:-1]) > 400


def test_it_is_printed_on_the_practices_paper(pdf: bytes, report: Handbook) -> None:
    for size in page_sizes_mm(pdf):
        assert size == pytest.approx(LETTER_MM, abs=0.1)
    for size in page_sizes_mm(plan_report(Rendering(replace(report, paper="a4")))):
        assert size == pytest.approx(A4_MM, abs=0.1)


def test_the_same_report_is_the_same_bytes(pdf: bytes, report: Handbook) -> None:
    assert plan_report(Rendering(report)) == pdf


def test_every_page_carries_the_reports_edition_which_changes_with_a_part(pdf: bytes, report: Handbook) -> None:
    def edition(of: bytes) -> set[str]:
        return {
            found[1]
            for text in page_texts(of)
            if (found := re.search(r"edition (\w{5}) · page \d+ of \d+", flat(text)))
        }

    assert len(edition(pdf)) == 1
    first = replace(report.cards[0], edition="22222")
    changed = plan_report(Rendering(replace(report, cards=(first, *report.cards[1:]))))
    assert len(edition(changed)) == 1 and edition(changed) != edition(pdf)
