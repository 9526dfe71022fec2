"""The walk round the wall: the list of current cards is ticked off by scanning."""

from __future__ import annotations

import pytest
import sample_site
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect
from test_verdict_in_a_browser import NOW, verdict
from visits import Server, editions_json

pytestmark = pytest.mark.browser

ENGLISH, SPANISH = sample_site.handbooks()


def scan(page: Page, server: Server, path: str) -> None:
    """As the camera does: the card's address with its edition, opened anew."""
    page.goto("about:blank")
    page.goto(server.address + path)
    verdict(page)


def board(page: Page, server: Server) -> str:
    page.goto("about:blank")
    page.goto(server.address + "current.html")
    return page.locator("[data-seen]").inner_text()


def row(page: Page, card: str) -> Locator:
    return page.locator("tr", has=page.locator(f"a[href='{card}.html']"))


def seen(page: Page, card: str) -> str:
    return " ".join(row(page, card).locator(".seen").inner_text().split())


def test_every_scan_is_noted_with_what_was_said_of_it(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.clock.set_fixed_time("2026-03-02T15:04:00")
    assert board(page, server) == "0 of 8 seen"
    scan(page, server, f"r/teal.html#{NOW}")
    scan(page, server, "r/orange.html#OLD22")  # never recorded
    scan(page, server, "r/plum.html#GN222")
    scan(page, server, "r/navy.html")  # only looked at: no card was scanned
    assert board(page, server) == "2 of 8 seen · 1 not known here · 1 to take down"
    assert seen(page, "r/teal") == "current · 3:04 PM"
    assert seen(page, "r/orange") == "not known here: OLD22 · 3:04 PM"
    assert seen(page, "r/navy") == "not yet seen"
    down = " ".join(page.locator("[data-gone] li").inner_text().split())
    assert down == "Chair 8 · edition GN222 · 3:04 PM"
    places = page.locator(".seen-here").all_inner_texts()
    assert places == ["2 of 6", "0 of 2"]


def test_a_card_in_another_language_counts_as_the_same_card(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    scan(page, server, f"r/teal.html#{SPANISH.card('r/teal').edition}")
    assert board(page, server) == "1 of 8 seen"
    page.get_by_role("link", name="Español").click()
    expect(page.locator("[data-seen]")).to_have_text("1 de 8 vistas")


def test_what_has_changed_since_it_was_seen_is_out_of_date(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.route("**/editions.json", lambda route: route.fulfill(body=editions_json({"r/teal": "OLD22 OLD33"})))
    scan(page, server, "r/teal.html#OLD22")
    assert verdict(page).startswith("This card is current.")
    page.unroute("**/editions.json")
    assert board(page, server) == "1 of 8 seen · 1 out of date"


def test_without_a_network_nothing_is_noted(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.route("**/editions.json", lambda route: route.abort())
    scan(page, server, f"r/teal.html#{NOW}")
    assert board(page, server) == "0 of 8 seen"


def test_a_new_audit_forgets_and_can_be_taken_back(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    scan(page, server, f"r/teal.html#{NOW}")
    board(page, server)
    page.get_by_role("button", name="Start a new audit").click()
    expect(page.locator("[data-seen]")).to_contain_text("0 of 8 seen · Since")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("[data-seen]")).to_have_text("1 of 8 seen")
    page.get_by_role("button", name="Start a new audit").click()
    scan(page, server, f"r/orange.html#{ENGLISH.card('r/orange').edition}")
    page.get_by_role("link", name="Noted for the audit").click()
    expect(page.locator("[data-seen]")).to_contain_text("1 of 8 seen · Since")
    expect(page.get_by_role("button", name="Start a new audit")).to_be_visible()  # what was before is gone for good


def test_what_is_still_to_be_seen_can_stand_alone(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    scan(page, server, f"r/teal.html#{NOW}")
    board(page, server)
    only = page.get_by_role("button", name="Show only cards not yet seen")
    only.click()
    assert only.get_attribute("aria-pressed") == "true"
    assert not row(page, "r/teal").is_visible()
    assert row(page, "r/orange").is_visible()
    only.click()
    assert row(page, "r/teal").is_visible()


def test_a_list_that_is_open_follows_the_scans_of_another_window(context: BrowserContext, server: Server) -> None:
    page, other = context.new_page(), context.new_page()
    board(page, server)
    scan(other, server, f"r/teal.html#{NOW}")
    expect(page.locator("[data-seen]")).to_have_text("1 of 8 seen")


@pytest.mark.parametrize("spoilt", ["{", "null", '"text"', '{"seen": 3}', '{"seen": {"r/teal": {}}}'])
def test_a_spoilt_memory_is_nothing_seen(context: BrowserContext, server: Server, spoilt: str) -> None:
    page = context.new_page()
    board(page, server)
    page.evaluate("value => localStorage.setItem(self.kitdocs.keyOf('audit'), value)", spoilt)
    assert board(page, server) == "0 of 8 seen"
    scan(page, server, f"r/orange.html#{ENGLISH.card('r/orange').edition}")
    assert board(page, server) == "1 of 8 seen"


def test_without_a_script_it_is_the_list(chromium: Browser, server: Server) -> None:
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(server.address + "current.html")
    assert row(page, "r/teal").is_visible()
    assert page.locator("[data-board]").is_hidden()
    context.close()
