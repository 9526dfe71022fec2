"""The page for whoever something goes wrong for: from the start page to the answer in two taps, on any screen."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, Page
from visits import PHONE, ZOOMED, Server, opened, sized

pytestmark = pytest.mark.browser


@pytest.fixture
def page(context: BrowserContext) -> Page:
    return context.new_page()


@pytest.mark.parametrize("language", ["", "es/"])
@pytest.mark.parametrize("trigger", ["hurt", "dropped", "wet-load"])
def test_what_happens_most_is_answered_two_taps_from_the_start_page_without_scrolling(
    page: Page, example_server: Server, language: str, trigger: str
) -> None:
    page.goto(f"{example_server.address}{language}index.html")
    page.locator(".wrong").click()
    question = page.locator(f".questions a[href='#{trigger}']")
    box = question.bounding_box()
    assert box and box["height"] >= 44 and box["y"] + box["height"] <= PHONE[1]
    question.click()
    answer = page.locator(f"#{trigger}")
    page.wait_for_function(  # a busy machine scrolls late
        "id => { const { top } = document.getElementById(id).getBoundingClientRect(); return top >= 0 && top < 60; }",
        arg=trigger,
    )
    first = answer.locator(".step").first.bounding_box()
    assert first and first["y"] + first["height"] <= PHONE[1]


def test_each_question_at_the_top_leads_to_its_answer_and_none_is_left_out(page: Page, example_server: Server) -> None:
    page.goto(example_server.address + "mishaps.html")
    asked = page.locator(".questions a").evaluate_all("links => links.map((a) => [a.hash.slice(1), a.textContent])")
    answers = page.locator(".steps-block").evaluate_all(
        "all => all.map((a) => [a.id, a.querySelector('h2').textContent])"
    )
    assert asked == answers and len(asked) > 25


@pytest.mark.parametrize("size", [PHONE, ZOOMED, (320, 568)])
@pytest.mark.parametrize("language", ["", "es/"])
def test_on_every_screen_the_answers_stand_within_it_and_axe_finds_nothing(
    page: Page, example_server: Server, language: str, size: tuple[int, int]
) -> None:
    sized(page, *size)
    opened(page, f"{example_server.address}{language}mishaps.html")
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    widths = page.locator(".step p").evaluate_all("all => all.map((p) => p.getBoundingClientRect().width)")
    letter = 16 * 0.5  # half the height of the letters of a text is about the width of one
    assert min(widths) / letter >= 11
    assert Axe().run(page).violations_count == 0
