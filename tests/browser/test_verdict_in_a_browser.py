"""Whether the printed card is current: only an answer from the network, given just now, may say so."""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path

import pytest
import sample_site
from playwright.sync_api import BrowserContext, Page, expect
from visits import GIVEN, Server, editions_json, until, write

from kitdocs.publish.site.build_site import site

pytestmark = pytest.mark.browser

ENGLISH, SPANISH = sample_site.handbooks()
NOW = ENGLISH.card("r/teal").edition
AHORA = SPANISH.card("r/teal").edition

ASK = "The site may be older than the card. Before you use either, ask: the reprocessing lead."
TELL = "To have it replaced, tell: the reprocessing lead."


def verdict(page: Page) -> str:
    given = page.locator(GIVEN)
    given.wait_for()
    return given.inner_text().replace("\n\n", "\n")


def test_the_card_on_the_wall_is_current(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(f"{server.address}r/teal.html#{NOW}")
    assert verdict(page) == f"This card is current.\nEdition {NOW}, checked just now."


def test_the_card_on_the_wall_is_out_of_date(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.route("**/*.earlier.html", lambda route: route.abort())
    page.goto(f"{server.address}r/teal.html#LD222")
    assert verdict(page) == (
        "This card is out of date.\nUntil it is replaced, use this page.\nWhat has changed\n"
        f"Edition on the card: LD222. Current edition: {NOW}.\n{TELL}\n"
        "For the reprocessing lead:\nOpen binder.pdf, page 7"
    )


def test_of_an_edition_that_was_never_recorded_the_page_says_neither_good_nor_bad(
    context: BrowserContext, server: Server
) -> None:
    page = context.new_page()
    page.goto(f"{server.address}r/teal.html#K7QQ9")
    assert verdict(page) == f"This page does not know edition K7QQ9.\n{ASK}"
    assert page.locator("[data-verdict]").get_attribute("data-state") == "unknown"
    assert not page.locator("[data-verdict] [data-pdf]").is_visible(), "nothing is to be replaced yet"
    page.goto(f"{server.address}es/r/teal.html#K7QQ9")
    assert verdict(page) == (
        "Esta página no conoce la edición K7QQ9.\nEl sitio puede ser más viejo que la tarjeta. "
        "Antes de usar cualquiera de los dos, pregunte a: la persona responsable de esterilización."
    )


def test_a_card_that_is_newer_than_the_answer_of_the_network_is_not_condemned(
    context: BrowserContext, server: Server
) -> None:
    page = context.new_page()
    page.route("**/editions.json", lambda route: route.fulfill(body=editions_json({"r/teal": "LD222 LD333"})))
    page.goto(f"{server.address}r/teal.html#{NOW}")  # the page knows LD222 as printed before its own edition
    assert verdict(page) == f"This page does not know edition {NOW}.\n{ASK}"


def test_an_old_copy_of_the_page_that_does_not_know_the_edition_is_to_be_reloaded(
    context: BrowserContext, server: Server
) -> None:
    page = context.new_page()
    page.route("**/editions.json", lambda route: route.fulfill(body=editions_json({"r/teal": "NEW22 NEW33"})))
    page.goto(f"{server.address}r/teal.html#K7QQ9")
    assert verdict(page) == (
        f"This page does not know edition K7QQ9.\n{ASK}\nThis page is an old copy. Connect and reload it."
    )


@pytest.mark.parametrize("path", ["r/plum.html", "r/teal.html"])
def test_an_unknown_edition_of_a_card_that_the_site_lacks_is_not_to_be_taken_down(
    context: BrowserContext, server: Server, path: str
) -> None:
    page = context.new_page()
    page.route("**/editions.json", lambda route: route.fulfill(body=editions_json({"r/other": "X2345 X2346"})))
    page.goto(f"{server.address}{path}#K7QQ9")
    assert verdict(page) == f"This page does not know edition K7QQ9.\n{ASK}"
    page.goto("about:blank")
    page.route("**/editions.json", lambda route: route.abort())
    page.goto(f"{server.address}{path}#K7QQ9")
    told = verdict(page)
    assert told.startswith("Not checked: no connection.\n") and "the site did not know edition K7QQ9." in told
    page.evaluate("localStorage.clear()")
    page.reload()
    assert "This saved copy of the handbook does not know edition K7QQ9." in verdict(page)


def test_the_practice_says_whom_to_ask(context: BrowserContext, tmp_path: Path) -> None:
    books = [replace(book, lead="Reprocessing lead (extension 14)") for book in sample_site.handbooks()]
    server = Server(write(dict(site(books)), tmp_path))
    page = context.new_page()
    page.goto(f"{server.address}r/teal.html#K7QQ9")
    assert verdict(page).endswith("Before you use either, ask: Reprocessing lead (extension 14).")
    server.stop()


def test_without_a_scanned_card_the_page_claims_nothing(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    for behind in ("", "#main", "#<b>", "#%E0%A4%A"):
        page.goto("about:blank")
        page.goto(f"{server.address}r/teal.html{behind}")
        assert verdict(page) == f"The current edition is {NOW}.\nDoes your printed card show the same one?"


def test_a_card_scanned_in_one_language_is_current_in_the_other(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(f"{server.address}r/teal.html#{NOW}")
    verdict(page)
    page.get_by_role("link", name="Español").click()
    page.wait_for_url("**/es/r/teal.html*")
    assert verdict(page).startswith("Esta tarjeta está vigente.")
    assert page.url.endswith(f"#{NOW}")
    assert AHORA != NOW


def test_who_chose_a_language_keeps_it_at_the_next_scan(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(f"{server.address}index.html")
    page.get_by_role("link", name="Español").click()
    page.wait_for_url("**/es/index.html")
    page.goto(f"{server.address}r/teal.html#LD222")
    page.wait_for_url("**/es/r/teal.html#LD222")
    assert verdict(page).startswith("Esta tarjeta ya no está vigente.")
    page.get_by_role("link", name="English").click()
    page.wait_for_url("**/bay/r/teal.html#LD222")
    page.reload()
    assert verdict(page).startswith("This card is out of date.")


def test_without_a_network_it_reads_as_last_checked(keeping: BrowserContext, folder: Path) -> None:
    server = Server(folder)
    page = keeping.new_page()
    page.goto(f"{server.address}r/teal.html#{NOW}")
    verdict(page)
    ready(page)
    server.stop()
    page.goto("about:blank")
    page.goto(f"{server.address}r/teal.html#{NOW}")
    told = verdict(page)
    assert told.startswith("Not checked: no connection.\nLast checked on ")
    assert told.endswith(f": the card was current, edition {NOW}.")
    assert page.locator("[data-verdict]").get_attribute("data-state") == "unchecked"
    page.goto("about:blank")
    page.goto(f"{server.address}es/r/teal.html#LD222")  # never opened before, kept all the same
    assert "la tarjeta ya no estaba vigente. Edición de la tarjeta: LD222" in verdict(page)
    assert "This card is current" not in page.content()


def test_a_network_that_answers_nothing_costs_a_second_until_the_kept_page_is_shown(
    keeping: BrowserContext, folder: Path
) -> None:
    server = Server(folder)
    page = keeping.new_page()
    page.goto(f"{server.address}r/teal.html#{NOW}")
    verdict(page)
    ready(page)
    server.answering.clear()
    page.goto("about:blank")
    asked = time.monotonic()
    page.goto(f"{server.address}r/orange.html", wait_until="commit")
    expect(page.locator(".row").first).to_be_visible()
    until(page, "() => [...document.images].every((i) => i.complete && i.naturalWidth > 0)")
    assert page.evaluate("getComputedStyle(document.querySelector('.masthead')).backgroundColor") == "rgb(238, 143, 31)"
    assert time.monotonic() - asked < 3.5, "one second for the page, none for its parts; the rest is a slow machine's"
    waiting = page.locator("[data-verdict][data-state=waiting]")
    waiting.wait_for()
    assert waiting.inner_text().startswith("Not checked yet: the network has not answered.\n\nLast checked on ")
    assert verdict(page).startswith("Not checked: no connection.\nLast checked on ")
    server.answering.set()
    server.stop()


def test_while_the_network_hangs_only_the_first_page_waits_a_second(keeping: BrowserContext, folder: Path) -> None:
    server = Server(folder)
    page = keeping.new_page()
    page.goto(f"{server.address}r/teal.html")
    verdict(page)
    ready(page)
    server.answering.clear()
    waited = []
    for chair in ("teal", "orange", "navy"):
        page.goto("about:blank")
        page.goto(f"{server.address}r/{chair}.html", wait_until="commit")
        page.locator("[data-verdict][data-state=waiting]").wait_for()
        waited.append(page.evaluate("performance.getEntriesByType('navigation')[0].responseStart"))
    first, *next_ones = waited
    assert first >= 1000
    assert min(next_ones) < first - 500, waited
    server.answering.set()
    page.goto("about:blank")
    page.goto(f"{server.address}r/teal.html#{NOW}")
    assert verdict(page) == f"This card is current.\nEdition {NOW}, checked just now.", "the network comes first again"
    server.stop()


def test_an_answer_that_comes_late_is_still_the_verdict(keeping: BrowserContext, folder: Path) -> None:
    server = Server(folder)
    page = keeping.new_page()
    page.goto(f"{server.address}r/teal.html")
    verdict(page)
    ready(page)
    server.answering.clear()
    page.goto("about:blank")
    page.goto(f"{server.address}r/teal.html#{NOW}")
    page.locator("[data-verdict][data-state=waiting]").wait_for()
    server.answering.set()
    assert verdict(page) == f"This card is current.\nEdition {NOW}, checked just now."
    server.stop()


def test_when_the_network_comes_back_it_is_checked_again(keeping: BrowserContext, folder: Path) -> None:
    server = Server(folder)
    page = keeping.new_page()
    page.goto(f"{server.address}r/teal.html#{NOW}")
    verdict(page)
    ready(page)
    server.stop()
    page.reload()
    assert verdict(page).startswith("Not checked")
    server.start()
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.get_by_text("This card is current.")).to_be_visible()
    server.stop()


def test_a_device_that_never_checked_says_so(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.route("**/editions.json", lambda route: route.abort())
    page.goto(f"{server.address}r/teal.html#{NOW}")
    assert verdict(page).startswith("Not checked: no connection.\nNever checked on this device.")


@pytest.mark.parametrize("answer", ["<html>Sign in to the network</html>", "null", "[", '"text"', "7", '{"cards": {}}'])
def test_an_answer_that_is_not_ours_is_no_answer(context: BrowserContext, server: Server, answer: str) -> None:
    page = context.new_page()
    page.route("**/editions.json", lambda route: route.fulfill(status=200, body=answer))
    page.goto(f"{server.address}r/teal.html#{NOW}")
    assert verdict(page).startswith("Not checked")


def test_a_page_that_is_older_than_the_network_says_so(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    newer = editions_json({"r/teal": "NEW22 NEW33"})
    page.route("**/editions.json", lambda route: route.fulfill(status=200, body=newer))
    page.goto(f"{server.address}r/teal.html#{NOW}")
    told = verdict(page)
    assert told.startswith("This card is out of date.")
    assert "This page is an old copy, too." in told
    assert "use this page" not in told


def test_a_card_that_is_gone_is_to_be_taken_down(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.route(
        "**/editions.json", lambda route: route.fulfill(status=200, body=editions_json({"r/other": "X2345 X2346"}))
    )
    page.goto(f"{server.address}r/teal.html#{NOW}")
    assert verdict(page).startswith("This card is no longer in the handbook. Take it down.")


def test_a_folder_speaks_for_itself_only(context: BrowserContext, folder: Path) -> None:
    page = context.new_page()
    address = (folder / "r/teal.html").as_uri()
    page.goto(f"{address}#{NOW}")
    assert verdict(page).startswith(f"The card and this saved copy show the same edition, {NOW}.")
    page.goto("about:blank")
    page.goto(f"{address}#K7QQ9")
    assert verdict(page) == (
        "This saved copy of the handbook does not know edition K7QQ9.\n"
        "The copy may be older than the card. Before you use either, ask: the reprocessing lead."
    )
    page.goto(f"{(folder / 'r/plum.html').as_uri()}#K7QQ9")
    assert verdict(page).startswith("This saved copy of the handbook does not know edition K7QQ9.")


def test_after_one_visit_every_page_opens_offline(keeping: BrowserContext, folder: Path) -> None:
    server = Server(folder)
    page = keeping.new_page()
    page.goto(server.address)
    ready(page)
    server.stop()
    for path in ("", "es/search.html", "map.html", "drawer/teal.html"):
        page.goto("about:blank")
        page.goto(server.address + path)
        assert page.locator("h1").is_visible()
        assert page.evaluate("[...document.images].every(i => i.loading === 'lazy' || i.naturalWidth > 0)")
        assert page.evaluate("getComputedStyle(document.body).fontFamily").startswith('"Atkinson')


def test_a_new_handbook_is_seen_at_once_and_the_old_one_is_forgotten(keeping: BrowserContext, tmp_path: Path) -> None:
    write(dict(site(sample_site.handbooks())), tmp_path)
    server = Server(tmp_path)
    page = keeping.new_page()
    page.goto(server.address + "map.html")
    ready(page)
    card = ENGLISH.card("map")
    renamed = replace(card, title="New map", edition="NEW22")
    newer = replace(ENGLISH, cards=tuple(renamed if c.id == "map" else c for c in ENGLISH.cards))
    write(dict(site((newer, SPANISH))), tmp_path)
    page.reload()
    assert page.locator("h1").inner_text() == "New map", "the network comes first"
    until(
        page,
        """async () => {
            const kept = await Promise.all((await caches.keys()).map(async (name) =>
                (await (await caches.open(name)).match(location.href))?.text() ?? ''));
            return kept.length === 1 && kept[0].includes('New map');
        }""",
    )
    server.stop()
    page.goto("about:blank")
    page.goto(server.address + "map.html")
    assert page.locator("h1").inner_text() == "New map"


def ready(page: Page) -> None:
    """The worker has kept everything and stands between the page and the network."""
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    until(page, "() => navigator.serviceWorker.controller !== null")
