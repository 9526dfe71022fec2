"""The working papers of the move, as they are printed."""

from __future__ import annotations

import pytest
from pdf_pages import page_texts

from kitdocs.document.blocks import Steps
from kitdocs.document.card import Handbook
from kitdocs.publish.print.documents import sheets

pytestmark = pytest.mark.whole


@pytest.mark.parametrize("language", [0, 1])
def test_what_is_carried_about_is_one_sheet(example_handbooks: tuple[Handbook, ...], language: int) -> None:
    handbook = example_handbooks[language]
    carried = ("move/self-test", "move/self-test-answers", "move/first-week", "move/training/technician", "move/start")
    for card_id in carried:
        assert len(page_texts(sheets(handbook, [handbook.card(card_id)], title="x"))) == 1, card_id


def test_the_printed_test_has_every_choice_and_tells_no_answer(example_handbooks: tuple[Handbook, ...]) -> None:
    handbook = example_handbooks[0]
    card = handbook.card("move/self-test")
    (steps,) = (block for block in card.blocks if isinstance(block, Steps))
    (test,) = page_texts(sheets(handbook, [card], title="x"))
    (answers,) = page_texts(sheets(handbook, [handbook.card("move/self-test-answers")], title="x"))
    for step in steps.steps:
        assert all(choice in test for choice in step.choices)
        assert step.answer in answers and step.answer not in test


def test_the_plan_has_two_sides_the_first_is_before_the_day(example_handbooks: tuple[Handbook, ...]) -> None:
    handbook = example_handbooks[0]
    pages = page_texts(sheets(handbook, [handbook.card("move/plan")], title="x"))
    assert len(pages) == 2
    assert "Before the day" in pages[0] and "Take the old trays away" in pages[0]
    assert pages[1].index("The day itself") < pages[1].index("After the day")
