"""A phone's first scan opens in the phone's own language; what was chosen before, or is chosen then, stays.

Its first view needs nothing but the page, and nothing else is asked for before the verdict.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from playwright.sync_api import Browser, Page, Route, expect
from test_verdict_in_a_browser import NOW
from visits import Server, until

pytestmark = pytest.mark.browser

#: What the camera opens: the address on the card, which is printed in English.
SCANNED = f"r/teal.html#{NOW}"


def phone(chromium: Browser, languages: Sequence[str]) -> Page:
    context = chromium.new_context(service_workers="block", locale=languages[0])
    context.add_init_script(
        f"Object.defineProperty(navigator, 'languages', {{ value: Object.freeze({list(languages)!r}) }})"
    )
    return context.new_page()


def opened(page: Page, server: Server, path: str, language: str) -> None:
    page.goto("about:blank")
    page.goto(server.address + path)
    until(page, f"document.documentElement.lang === '{language}' && document.documentElement.classList.contains('js')")
    page.wait_for_load_state()
    expect(page.locator("html")).to_have_attribute("lang", language)


def test_a_spanish_phones_first_scan_opens_spanish_with_the_scanned_edition(chromium: Browser, server: Server) -> None:
    page = phone(chromium, ["es-MX", "en"])
    opened(page, server, SCANNED, "es")
    assert page.url == f"{server.address}es/{SCANNED}"
    opened(page, server, SCANNED, "es")
    page.get_by_role("link", name="English").click()
    expect(page.locator("html")).to_have_attribute("lang", "en")
    opened(page, server, SCANNED, "en")
    page.context.close()


def test_a_choice_that_was_made_before_the_first_scan_stays(chromium: Browser, server: Server) -> None:
    page = phone(chromium, ["es-MX"])
    opened(page, server, "es/index.html", "es")
    page.get_by_role("link", name="English").click()
    expect(page.locator("html")).to_have_attribute("lang", "en")
    opened(page, server, SCANNED, "en")
    page.context.close()


@pytest.mark.parametrize("languages", [["en-US", "es"], ["fr", "en", "es"], ["fr"]])
def test_any_other_phone_opens_what_was_printed(chromium: Browser, server: Server, languages: list[str]) -> None:
    page = phone(chromium, languages)
    opened(page, server, SCANNED, "en")
    page.context.close()


def test_what_was_not_scanned_is_left_as_it_was_asked_for(chromium: Browser, server: Server) -> None:
    page = phone(chromium, ["es"])
    opened(page, server, "index.html", "en")
    opened(page, server, "r/teal.html", "en")
    opened(page, server, SCANNED, "es")
    page.context.close()


def test_a_phone_that_remembers_nothing_is_not_led_back_again_and_again(chromium: Browser, server: Server) -> None:
    page = phone(chromium, ["es"])
    page.context.add_init_script("Storage.prototype.setItem = () => { throw new Error('full'); }")
    opened(page, server, SCANNED, "en")
    page.context.close()


def test_the_first_view_waits_for_nothing_but_the_page(chromium: Browser, server: Server) -> None:
    context = chromium.new_context(service_workers="block")
    page = context.new_page()
    page.route("**/assets/**", lambda route: None)  # none is ever answered
    page.goto(f"{server.address}r/teal.html", wait_until="commit")
    until(page, "performance.getEntriesByName('first-contentful-paint').length")
    head = "getComputedStyle(document.querySelector('.masthead'))"
    assert page.evaluate(f"{head}.backgroundColor") == "rgb(0, 118, 108)"
    assert page.evaluate(f"{head}.display") == "flex"
    context.close()


def test_the_site_is_kept_only_after_the_verdict(chromium: Browser, server: Server) -> None:
    context = chromium.new_context(service_workers="allow")
    page = context.new_page()
    held: list[Route] = []
    page.route("**/editions.json", lambda route: held.append(route))  # noqa: PLW0108
    page.goto(f"{server.address}{SCANNED}")
    page.locator("[data-verdict][data-state=waiting]").wait_for()
    page.wait_for_load_state()
    kept = "navigator.serviceWorker.getRegistration().then(Boolean)"
    assert held and not page.evaluate(kept)
    held[0].continue_()
    page.locator("[data-verdict][data-state=current]").wait_for()
    until(page, kept)
    context.close()
