"""The working papers of the move, as they are printed."""

from __future__ import annotations

import pytest
from pdf_pages import page_texts

from kitdocs.document.blocks import Steps
from kitdocs.document.card import Handbook
from kitdocs.publish.print.documents import sheets

pytestmark = pytest.mark.whole


def pages_of(handbook: Handbook, name: str) -> list[str]:
    """The words of each page of a paper of the move."""
    return page_texts(sheets(handbook, [handbook.card(f"move/{name}")], title="x"))


@pytest.mark.parametrize("language", [0, 1])
def test_what_is_carried_about_is_one_page(example_handbooks: tuple[Handbook, ...], language: int) -> None:
    for name in ("self-test", "self-test-answers", "first-week"):
        assert len(pages_of(example_handbooks[language], name)) == 1, name


@pytest.mark.parametrize("language", [0, 1])
def test_what_is_carried_about_and_long_is_front_and_back_of_one_sheet(
    example_handbooks: tuple[Handbook, ...], language: int
) -> None:
    """All that a technician has to show, and the stock of the store and of the drawers."""
    for name in ("training/technician", "start"):
        assert len(pages_of(example_handbooks[language], name)) <= 2, name


def test_the_printed_test_has_every_choice_and_tells_no_answer(example_handbooks: tuple[Handbook, ...]) -> None:
    handbook = example_handbooks[0]
    card = handbook.card("move/self-test")
    (steps,) = (block for block in card.blocks if isinstance(block, Steps))
    (test,) = pages_of(handbook, "self-test")
    (answers,) = pages_of(handbook, "self-test-answers")
    for step in steps.steps:
        assert all(choice in test for choice in step.choices)
        assert step.answer in answers and step.answer not in test


def test_the_plan_has_two_sides_the_first_is_before_the_day(example_handbooks: tuple[Handbook, ...]) -> None:
    pages = pages_of(example_handbooks[0], "plan")
    assert len(pages) == 2
    assert "Before the day" in pages[0] and "Take the old trays away" in pages[0]
    assert pages[1].index("The day itself") < pages[1].index("After the day")
