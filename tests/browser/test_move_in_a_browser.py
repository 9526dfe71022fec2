"""The cards of the move as a browser draws them: the test keeps its answers back, forms are read on a phone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Literal

import pytest
from playwright.sync_api import Browser, BrowserContext, Page
from visits import DESKTOP, PHONE, axe_finds, opened, sized, write

from kitdocs.document.card import Handbook
from kitdocs.publish.site.build_site import site

pytestmark = pytest.mark.browser

LOOKED_AT = ("move/plan", "move/order", "move/training/technician", "move/self-test", "move/first-week")
EVERYTHING: dict[str, object] = {"rules": {"target-size": {"enabled": True}}}  # it is off by default


@pytest.fixture(scope="module")
def move_pages(example_handbooks: tuple[Handbook, ...], tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write(dict(site(example_handbooks)), tmp_path_factory.mktemp("move"))


@pytest.fixture(scope="module")
def looked_at(chromium: Browser, move_pages: Path) -> Iterator[dict[str, Page]]:
    context = chromium.new_context()
    pages = {}
    for card in LOOKED_AT:
        pages[card] = context.new_page()
        opened(pages[card], (move_pages / f"{card}.html").as_uri())
        pages[card].evaluate("document.querySelectorAll('details').forEach((folded) => (folded.open = true))")
    yield pages
    context.close()


@pytest.mark.parametrize(("size", "scheme"), [(PHONE, "light"), (DESKTOP, "dark")])
def test_axe_finds_nothing_on_the_cards_of_the_move(
    looked_at: dict[str, Page], size: tuple[int, int], scheme: Literal["light", "dark"]
) -> None:
    assert axe_finds(looked_at, size, scheme, EVERYTHING) == {}


def test_no_card_of_the_move_is_wider_than_a_small_screen(looked_at: dict[str, Page]) -> None:
    # WCAG 2.2, 1.4.10
    for card, page in looked_at.items():
        assert sized(page, 320, 800).evaluate("document.documentElement.scrollWidth") <= 320, card


def test_an_answer_is_shown_to_whoever_asks_for_it_with_the_keyboard(context: BrowserContext, move_pages: Path) -> None:
    page = context.new_page()
    page.goto((move_pages / "move/self-test.html").as_uri())
    answer = page.locator(".answer").first
    assert not answer.is_visible()
    page.locator("summary").first.focus()
    page.keyboard.press("Enter")
    assert answer.is_visible()
    letter, _, words = (answer.text_content() or "").partition(": ")
    choices = page.locator(".choices").first.locator("li").all_text_contents()
    assert choices["ABCD".index(letter)] == words
    assert page.locator(".answer:visible").count() == 1


def test_the_answers_are_there_without_a_script_and_never_on_paper(chromium: Browser, move_pages: Path) -> None:
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((move_pages / "move/self-test.html").as_uri())
    assert page.locator("summary").count() == page.locator(".choices").count() == 12
    page.locator("summary").first.click()
    assert page.locator(".answer").first.is_visible()
    page.emulate_media(media="print")
    assert page.locator("summary:visible").count() == 0
    assert page.locator(".answer:visible").count() == 0
    context.close()


def test_a_filled_in_form_is_read_row_by_row_on_a_phone(looked_at: dict[str, Page]) -> None:
    page = sized(looked_at["move/first-week"], *PHONE)
    row = page.locator(".of-given .given").first
    name, limit = row.locator("th").bounding_box(), row.locator("td").first.bounding_box()
    assert name and limit
    assert limit["y"] >= name["y"] + name["height"], "one below the other"
    assert row.locator("td.empty:visible").count() == 0, "boxes for the hand are for paper"
    assert sized(page, *DESKTOP).locator(".of-given .given").first.locator("td.empty:visible").count() == 5
