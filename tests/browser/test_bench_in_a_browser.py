"""At the bench: what is missing as a text, what differs from the card on the wall, a card that is gone, the PDF."""

from __future__ import annotations

from pathlib import Path

import pytest
import sample_site
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect
from test_verdict_in_a_browser import NOW, TELL, ready, verdict
from visits import PHONE, SPANISH_PHONE, Server, editions_json, opened, until

pytestmark = pytest.mark.browser

MISSING = f"Chair 1 · teal – missing:\n2 × Wire-shaping pouch\n1 × {sample_site.AWKWARD}"


def test_the_cards_before_and_after_are_within_reach_and_large(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    opened(page, server.address + "r/orange.html")
    for name, chair in (("Previous", "teal"), ("Next", "navy")):
        link = page.get_by_role("navigation", name="Other cards").get_by_role("link", name=name)
        box = link.bounding_box()
        assert box
        assert box["height"] >= 56 and box["width"] >= 120
        assert box["y"] + box["height"] <= PHONE[1]
        assert (link.get_attribute("href") or "").endswith(f"r/{chair}.html")


def missing(page: Page, server: Server, *, before: str) -> None:
    """The page with one row ticked, in a browser that is made to be as `before` says."""
    page.add_init_script(before)
    page.goto(server.address + "r/teal.html")
    page.get_by_role("checkbox").nth(2).check()
    page.get_by_role("button", name="Send what is missing (2)").click()


def test_what_is_missing_is_shared_where_the_device_can(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    missing(page, server, before="navigator.share = async (what) => { self.shared = what; };")
    assert page.evaluate("self.shared") == {"text": MISSING}
    assert not page.locator("[data-text]").is_visible()


def test_who_thinks_again_is_not_given_a_copy(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    missing(page, server, before="navigator.share = async () => { throw new DOMException('no', 'AbortError'); };")
    assert page.locator("[data-sent]").inner_text() == ""
    assert not page.locator("[data-text]").is_visible()


def test_what_is_missing_is_copied_where_it_cannot_be_shared(context: BrowserContext, server: Server) -> None:
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    page = context.new_page()
    missing(page, server, before="navigator.share = undefined;")
    expect(page.locator("[data-sent]")).to_have_text("Copied. Paste it into a message.")
    assert page.evaluate("navigator.clipboard.readText()") == MISSING
    assert page.get_by_role("textbox", name="What is missing").input_value() == MISSING


def test_what_is_missing_can_be_selected_where_there_is_neither(context: BrowserContext, server: Server) -> None:
    # As over plain HTTP from another machine: both need a secure context (Web Share, Clipboard API and events).
    page = context.new_page()
    none = "navigator.share = undefined; Object.defineProperty(navigator, 'clipboard', { value: undefined });"
    missing(page, server, before=none)
    expect(page.locator("[data-sent]")).to_have_text("Select this text and copy it.")
    assert page.evaluate("String(document.activeElement.value.slice(0, getSelection().toString().length))") == MISSING


def test_when_nothing_is_missing_there_is_nothing_to_send(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    for box in page.get_by_role("checkbox").all():
        box.check()
    assert not page.locator("[data-send]").is_visible()


def test_an_outdated_card_is_told_what_is_different_and_where_the_new_one_is(
    context: BrowserContext, server: Server
) -> None:
    page = context.new_page()
    page.goto(f"{server.address}r/teal.html#LD222")
    assert verdict(page) == (
        "This card is out of date.\nUntil it is replaced, use this page.\nWhat has changed:\n"
        "Wire-shaping pouch: 1 → 2\nSpare pouch added\n"
        f"Edition on the card: LD222, printed March 3, 2026. Current edition: {NOW}.\n"
        f"{TELL}\nFor the reprocessing lead:\nOpen binder.pdf, page 7"
    )


def test_a_card_of_another_language_is_told_it_in_the_words_of_the_page(
    context: BrowserContext, server: Server
) -> None:
    page = context.new_page()
    page.goto(f"{server.address}r/teal.html#LD333")
    assert "Spare pouch added\nEdition on the card: LD333" in verdict(page)
    page.get_by_role("link", name="Español").click()
    page.wait_for_url("**/es/r/teal.html#LD333")
    assert "Se añadió la bolsa de repuesto" in verdict(page)
    assert "impresa el 3 de marzo de 2026" in verdict(page)


def test_a_page_that_is_older_than_the_network_does_not_say_what_is_different(
    context: BrowserContext, server: Server
) -> None:
    page = context.new_page()
    page.route("**/editions.json", lambda route: route.fulfill(body=editions_json({"r/teal": "NEW22 NEW33"})))
    page.goto(f"{server.address}r/teal.html#LD222")
    assert "Spare pouch added" not in verdict(page), "it is what differs from this page, not from the new edition"
    assert "This page is an old copy, too." in verdict(page)


def test_a_folder_knows_which_card_is_older_than_itself(context: BrowserContext, folder: Path) -> None:
    page = context.new_page()
    page.goto(f"{(folder / 'r/teal.html').as_uri()}#LD222")
    told = verdict(page)
    assert told.startswith(f"The card is older than this saved copy: card LD222, copy {NOW}.")
    assert told.endswith("A saved copy cannot tell whether there is a newer edition.")
    # A page from a folder may not read another one, so it leads there.
    page.get_by_role("link", name="What has changed").click()
    page.wait_for_url("**/r/teal.earlier.html#LD222")
    assert page.get_by_text("Spare pouch added").is_visible()
    page.goto((folder / "r/plum.html").as_uri())
    assert verdict(page).startswith("This saved copy of the handbook no longer has this card. Take the card down.")


@pytest.mark.parametrize(
    ("behind", "told", "plain"),
    [
        ("#LD222", "The card you scanned is out of date. Tell the reprocessing lead. What has changed", False),
        (f"#{NOW}", "This page shows the edition you scanned.", False),
        ("#OLD22", "Does your printed card show the same one?", True),
        ("", "Does your printed card show the same one?", True),
    ],
)
def test_without_a_script_the_address_of_the_code_tells_the_same(
    chromium: Browser, server: Server, behind: str, told: str, plain: bool
) -> None:
    context = chromium.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{server.address}r/teal.html{behind}")
    assert told in page.locator(".head").inner_text()
    assert page.locator("[data-verdict]").is_visible() is plain
    assert (page.locator(".masthead").bounding_box() or {"y": -1})["y"] >= 0, "the top of the page stays in sight"
    if behind == "#LD222":
        page.get_by_role("link", name="What has changed").click()
        assert page.get_by_text("Wire-shaping pouch: 1 → 2").is_visible()
    context.close()


def test_without_a_network_it_still_says_what_is_different(keeping: BrowserContext, folder: Path) -> None:
    server = Server(folder)
    keeping.add_init_script(SPANISH_PHONE)
    page = keeping.new_page()
    page.goto(f"{server.address}r/orange.html")
    verdict(page)
    ready(page)
    server.stop()
    page.goto("about:blank")
    page.goto(f"{server.address}es/r/teal.html#LD222")
    told = verdict(page)
    assert told.startswith("Sin verificar: no hay conexión.") and "ya no estaba vigente" in told
    assert "Se añadió la bolsa de repuesto" in told


def test_where_what_is_different_cannot_be_read_the_way_there_is_shown(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.route("**/*.earlier.html", lambda route: route.fulfill(body="<p>Sign in to the network"))
    page.goto(f"{server.address}r/teal.html#LD222")
    assert "Until it is replaced, use this page.\nWhat has changed\nEdition on the card: LD222" in verdict(page)
    way = page.locator("[data-verdict]").get_by_role("link", name="What has changed")
    assert (way.get_attribute("href") or "").endswith("r/teal.earlier.html#LD222")


def test_a_card_that_is_gone_is_told_so_where_its_page_was(keeping: BrowserContext, folder: Path) -> None:
    server = Server(folder)
    page = keeping.new_page()
    page.goto(f"{server.address}r/plum.html#GN222")
    assert verdict(page) == "This card is no longer in the handbook. Take it down.\nEdition on the card: GN222."
    assert page.get_by_text("On the wall above the drawers").is_visible()
    ready(page)
    server.stop()
    page.goto("about:blank")
    page.goto(f"{server.address}r/plum.html#GN222")
    until(page, "() => document.querySelector('[data-verdict]').dataset.state === 'unchecked'")
    assert "the card was no longer in the handbook" in verdict(page)


def test_a_page_of_a_card_that_is_back_sends_nobody_away(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.route("**/editions.json", lambda route: route.fulfill(body=editions_json({"r/plum": "NEW22 -"})))
    page.goto(f"{server.address}r/plum.html#GN222")
    expect(page.get_by_text("This card is in the handbook again.")).to_be_visible()
    assert "Take it down" not in page.locator("[data-verdict]").inner_text()


def test_a_pdf_that_was_not_put_on_the_site_is_owned_up_to(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    opened(page, server.address + "r/teal.html")
    page.get_by_role("link", name="Open binder.pdf").click()
    expect(page.locator("[data-no-pdf]")).to_contain_text("This site has no PDFs.")
    assert page.url.endswith("r/teal.html")
    page.route("**/print/binder.pdf", lambda route: route.abort())
    page.get_by_role("link", name="Open binder.pdf").click()
    expect(page.locator("[data-no-pdf]")).to_contain_text("No connection")


def test_a_pdf_that_is_there_opens_at_the_page_of_the_card(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.route("**/print/binder.pdf", lambda route: route.fulfill(body="here", content_type="text/plain"))
    opened(page, server.address + "r/teal.html#LD222")
    page.locator("[data-verdict]").get_by_role("link", name="Open binder.pdf").click()
    page.wait_for_url("**/print/binder.pdf#page=7")


def test_one_button_prints_the_page(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.add_init_script("self.print = () => { self.printed = true; };")
    opened(page, server.address + "r/teal.html")
    page.get_by_role("button", name="Print this page").click()
    assert page.evaluate("self.printed")


def test_the_list_is_there_before_any_script(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    page.route("**/*.js", hold)
    page.goto(server.address + "r/teal.html", wait_until="commit")
    expect(page.locator(".row").get_by_text("Spare pouch")).to_be_visible()
    until(page, "() => [...document.querySelectorAll('.row img')].every((i) => i.complete && i.naturalWidth > 0)")
    assert held and not page.evaluate("document.documentElement.classList.contains('js')")
    for route in held:
        route.continue_()
    expect(page.locator("[data-count]")).to_have_text("0 of 3 back")
