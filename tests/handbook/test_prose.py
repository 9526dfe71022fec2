"""The practice's own pages become blocks; nothing in them becomes markup."""

from __future__ import annotations

import pytest

from kitdocs.document.blocks import Heading, Listing, Matrix, Paragraph, Sample, Span
from kitdocs.document.catalog import built_in_catalog
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.prose import page_card, prose, titled
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Page, Practice
from kitdocs.practice.problems import KitdocsError


def test_a_page_becomes_headings_paragraphs_lists_and_tables() -> None:
    parts = prose(
        "# House rules\n\nWipe **before** you\nclose *it*.\n\n## Tape\n\n1. one\n2. two\n\n"
        "| what | how many |\n|--|--|\n| strips | 3 |\n"
    )
    assert [type(part) for part in parts] == [Heading, Paragraph, Heading, Listing, Matrix]
    title, rest = titled(parts)
    assert title == "House rules"
    assert rest[0] == Paragraph(
        spans=(
            Span(text="Wipe "),
            Span(text="before", strong=True),
            Span(text=" you close "),
            Span(text="it", emphasis=True),
            Span(text="."),
        )
    )
    assert isinstance(rest[2], Listing) and rest[2].ordered and len(rest[2].items) == 2
    table = rest[3]
    assert isinstance(table, Matrix)
    assert table.head == ("what", "how many") and [cell.text for cell in table.rows[0]] == ["strips", "3"]


def test_a_list_in_a_list_stays_below_its_item() -> None:
    (outer,) = prose("- wash\n    - baskets\n    - racks\n- pack\n")
    assert isinstance(outer, Listing)
    first = outer.items[0]
    assert first[0] == Paragraph(spans=(Span(text="wash"),))
    assert isinstance(first[1], Listing) and len(first[1].items) == 2
    assert outer.items[1] == (Paragraph(spans=(Span(text="pack"),)),)


def test_a_loose_list_reads_like_a_tight_one() -> None:
    assert prose("- one\n\n- two\n") == prose("- one\n- two\n")


@pytest.mark.parametrize(
    "markup",
    ["<script>alert(1)</script>", "a <b>bold</b> word", "<div>\n\nblock\n\n</div>", "&lt;i&gt;", "<!-- note -->"],
)
def test_markup_in_a_page_is_shown_as_it_was_typed(markup: str) -> None:
    text = " ".join(span.text for part in prose(markup) if isinstance(part, Paragraph) for span in part.spans)
    assert text.split() == markup.split()


def test_a_link_keeps_its_address_and_its_style() -> None:
    (paragraph,) = prose("See **[the map](#map)** and <https://handbook.example>.")
    assert isinstance(paragraph, Paragraph)
    assert Span(text="the map", strong=True, href="#map") in paragraph.spans
    assert Span(text="https://handbook.example", href="https://handbook.example") in paragraph.spans


def test_another_page_is_named_by_its_file() -> None:
    (paragraph,) = prose("See [the rules](house-rules.md).")
    assert isinstance(paragraph, Paragraph)
    assert Span(text="the rules", href="#pages/house-rules") in paragraph.spans


def test_marks_within_marks_without_end_are_refused_by_the_name_of_the_page(
    example: Practice, example_plan: Plan
) -> None:
    brief = Brief(practice=example, plan=example_plan, words=built_in_catalog("en"))
    with pytest.raises(KitdocsError, match=r"pages/deep\.md"):
        page_card(brief, Page(id="deep", text={"": "# T\n\n" + "- " * 5000 + "a"}))


def test_a_character_written_with_a_backslash_is_itself() -> None:
    assert prose(r"3 \* 2 and 5 \_ 4") == (Paragraph(spans=(Span(text="3 * 2 and 5 _ 4"),)),)


def test_an_empty_page_has_no_parts() -> None:
    assert prose("") == () and titled(()) == ("", ())


def test_lines_between_fences_stand_as_they_are_and_typed_words_are_set_apart() -> None:
    text = "Type `kitdocs check`:\n\n```sh\nkitdocs check\n  # _twice_\n```\n\nThat is *all*."
    typed, sample, rest = prose(text)
    assert isinstance(typed, Paragraph)
    assert [(span.text, span.code) for span in typed.spans if span.code] == [("kitdocs check", True)]
    assert sample == Sample(text="kitdocs check\n  # _twice_")
    assert isinstance(rest, Paragraph)
    assert rest.spans[1].emphasis


def test_a_fence_that_is_never_closed_hides_nothing() -> None:
    assert "lost" in str(prose("```\nnot lost"))
