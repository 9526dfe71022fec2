"""The page for whoever something goes wrong for: from the start page to the answer in two taps, on any screen."""

from __future__ import annotations

import re

import pypdfium2 as pdfium
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, expect
from visits import PHONE, ZOOMED, Server, opened, sized

from kitdocs.document.blocks import Steps
from kitdocs.document.card import Handbook

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
    answer = page.locator(f"details:has(#{trigger})")
    question = answer.locator("summary")
    box = question.bounding_box()
    assert box and box["height"] >= 44 and box["y"] + box["height"] <= PHONE[1]
    question.click()
    comes_to_the_top(page, trigger)
    first = answer.locator(".step").first.bounding_box()
    assert first and first["y"] + first["height"] <= PHONE[1]
    assert page.url.endswith(f"#{trigger}")


def comes_to_the_top(page: Page, trigger: str) -> None:
    page.wait_for_function(  # a busy machine scrolls late
        """id => {
            const fold = document.getElementById(id).closest("details");
            return fold.open && Math.abs(fold.getBoundingClientRect().top - 30) <= 30;
        }""",
        arg=trigger,
    )


@pytest.mark.parametrize("language", ["", "es/"])
def test_a_phone_shows_every_question_folded_on_four_screens_at_most(
    page: Page, example_server: Server, example_handbooks: tuple[Handbook, ...], language: str
) -> None:
    """With every answer open it was 21,160 px long."""
    opened(page, f"{example_server.address}{language}mishaps.html")
    (book,) = (book for book in example_handbooks if book.folder == language)
    asked = [block.title for block in book.card("mishaps").front if isinstance(block, Steps)]
    assert page.locator("details.mishap:not([open]) summary").all_inner_texts() == asked and len(asked) > 25
    assert page.evaluate("document.documentElement.scrollHeight") <= 4 * PHONE[1]


@pytest.mark.parametrize("scripted", [True, False], ids=["scripts", "no-scripts"])
def test_an_address_opens_its_answer_at_the_top_and_a_tap_any_other(
    chromium: Browser, example_server: Server, scripted: bool
) -> None:
    context = chromium.new_context(
        viewport={"width": PHONE[0], "height": PHONE[1]}, service_workers="block", java_script_enabled=scripted
    )
    page = context.new_page()
    page.goto(f"{example_server.address}mishaps.html#wet-load")
    shown = page.locator("#wet-load .step").first
    expect(shown).to_be_visible()
    place = page.locator("details:has(#wet-load)").bounding_box()
    assert place and abs(place["y"] - 30) <= 30
    expect(page.locator("details[open]")).to_have_count(1)
    page.locator("details:has(#washer-down) summary").click()
    expect(page.locator("#washer-down .step").first).to_be_in_viewport()
    context.close()


@pytest.mark.parametrize("scripted", [True, False], ids=["scripts", "no-scripts"])
def test_paper_shows_every_answer(chromium: Browser, example_server: Server, scripted: bool) -> None:
    context = chromium.new_context(service_workers="block", java_script_enabled=scripted)
    page = context.new_page()
    page.goto(f"{example_server.address}mishaps.html")
    steps = [re.sub(r"\W", "", text) for text in page.locator(".mishap li p").all_text_contents()]
    pages = pdfium.PdfDocument(page.pdf(width="210mm", height="297mm"))
    printed = re.sub(r"\W", "", "".join(each.get_textpage().get_text_bounded() for each in pages))
    context.close()
    assert len(steps) > 100
    assert [step for step in steps if step not in printed] == []


@pytest.mark.parametrize("size", [PHONE, ZOOMED, (320, 568)])
@pytest.mark.parametrize("language", ["", "es/"])
def test_on_every_screen_the_answers_stand_within_it_and_axe_finds_nothing(
    page: Page, example_server: Server, language: str, size: tuple[int, int]
) -> None:
    sized(page, *size)
    opened(page, f"{example_server.address}{language}mishaps.html")
    page.evaluate("document.querySelectorAll('.mishap').forEach((fold) => (fold.open = true))")
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    widths = page.locator(".step p").evaluate_all("all => all.map((p) => p.getBoundingClientRect().width)")
    letter = 16 * 0.5  # half the height of the letters of a text is about the width of one
    assert min(widths) / letter >= 11
    assert Axe().run(page).violations_count == 0
