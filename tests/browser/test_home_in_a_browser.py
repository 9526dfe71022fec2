"""The first page: one screen of a phone, and how far the round has come at each chair."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
import sample_site
from playwright.sync_api import BrowserContext, FloatRect, Page, expect
from test_ticks_in_a_browser import tick, with_a_new_edition
from visits import PHONE, Server, sized, write

from kitdocs.document.card import Handbook
from kitdocs.handbook.build_handbook import make_handbooks
from kitdocs.planning.plan import Plan
from kitdocs.practice.reading.reader import read_practice
from kitdocs.publish.site.build_site import site

pytestmark = pytest.mark.browser

EXAMPLE = Path(__file__).parents[2] / "example_practice"


@pytest.fixture(scope="module")
def in_four_languages(example_plan: Plan, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    practice = read_practice(EXAMPLE, {"practice.languages": "[en, es, de, fr]"})
    books = make_handbooks(practice, example_plan)
    server = Server(write(dict(site(books)), tmp_path_factory.mktemp("languages")))
    yield server
    server.stop()


#: All that can be tapped or read on the first page, down to the fold of all other cards.
NEEDED = ".wrong, .start, .around, .tile, .find, .finder, .ask div, .all > summary"


def bottom(page: Page) -> float:
    """How far down the lowest of these reaches, once the progress is told."""
    expect(page.locator("[data-round]")).not_to_be_empty()
    return max(box["y"] + box["height"] for box in boxes(page, NEEDED))


def boxes(page: Page, parts: str) -> list[FloatRect]:
    return [box for each in page.locator(parts).all() if (box := each.bounding_box())]


@pytest.mark.parametrize("language", ["", "es/", "de/", "fr/"])
def test_what_is_needed_most_stands_on_one_screen_of_a_phone(
    context: BrowserContext, in_four_languages: Server, language: str
) -> None:
    """In German and French whom to call stood below the screen, and in all languages the way to all other cards."""
    page = context.new_page()
    page.goto(f"{in_four_languages.address}{language}index.html")
    addresses = [str(link.get_attribute("href")) for link in page.locator(".tile").all()]
    for address in addresses:
        page.goto(f"{in_four_languages.address}{language}{address}")
        for box in page.get_by_role("checkbox").all():
            box.check()  # what is said of a drawer that is full takes most room
    page.goto(f"{in_four_languages.address}{language}index.html")
    expect(page.locator("[data-so-far]").last).not_to_be_empty()
    assert bottom(page) <= PHONE[1]
    tops = [box["y"] for box in boxes(page, NEEDED)]
    assert len(tops) == 2 + 1 + 7 + 1 + 2 + 3 + 1
    assert tops == sorted(tops)
    assert page.get_by_role("link").filter(visible=True).count() <= 18
    assert all(box["height"] >= 56 for box in boxes(page, ".tile"))
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE[0]


def test_whom_to_call_is_told_as_the_practice_wrote_it(
    context: BrowserContext, example_server: Server, example_handbooks: tuple[Handbook, ...]
) -> None:
    page = context.new_page()
    for book in example_handbooks:
        page.goto(f"{example_server.address}{book.folder}index.html")
        for who, where in book.ask:
            assert page.locator(".ask div", has_text=who).inner_text().split() == f"{who} {where}".split()


@pytest.mark.parametrize("language", ["", "es/"])
def test_twenty_five_chairs_stand_on_one_screen_of_a_phone_too(
    context: BrowserContext, example_handbooks: tuple[Handbook, ...], tmp_path: Path, language: str
) -> None:
    """They stood in thirteen rows below what else is needed, 640 px beyond the screen."""
    books = tuple(crowded(book, 25) for book in example_handbooks)
    server = Server(write(dict(site(books)), tmp_path))
    page = context.new_page()
    page.goto(f"{server.address}{language}r/chair-1.html")
    page.get_by_role("checkbox").first.check()
    page.goto(f"{server.address}{language}index.html")
    assert page.locator(".tile").count() == 25
    expect(page.locator("[data-so-far]").first).not_to_be_empty()
    assert bottom(page) <= PHONE[1]
    assert all(min(box["height"], box["width"]) >= 56 for box in boxes(page, ".tile")), "a gloved thumb hits each"
    sizes = "[...document.querySelectorAll('.tile *')].map((each) => parseFloat(getComputedStyle(each).fontSize))"
    assert min(page.evaluate(sizes)) >= 12
    server.stop()


def test_all_other_cards_are_one_tap_away(context: BrowserContext, example_server: Server) -> None:
    page = context.new_page()
    page.goto(example_server.address)
    assert not page.get_by_role("link", name="Retractor pouch").is_visible()
    page.get_by_text("All cards and pages").click()
    assert page.get_by_role("link", name="Retractor pouch").is_visible()


def test_something_went_wrong_is_the_first_to_be_reached(context: BrowserContext, example_server: Server) -> None:
    page = context.new_page()
    page.goto(example_server.address)
    first = page.get_by_role("main").get_by_role("link").first
    box = first.bounding_box()
    assert box and box["height"] >= 56, "a gloved thumb hits it"
    first.click()
    assert page.get_by_role("heading", level=1).inner_text() == "Something went wrong"


def test_what_is_typed_on_the_first_page_is_searched_for(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "es/index.html")
    page.get_by_role("searchbox").fill("bolsa & más")
    page.get_by_role("button", name="Buscar").click()
    page.wait_for_url("**/es/search.html#q=*")
    assert page.get_by_role("searchbox").input_value() == "bolsa & más"


# The sample restocks at 7:30 and at 12:15; six chairs, three rows each.


def so_far(page: Page, chair: str) -> str:
    return " ".join(page.locator(f"[data-chair='r/{chair}'] [data-so-far]").inner_text().split())


def round_told(page: Page) -> str:
    return " ".join(page.locator("[data-round]").inner_text().split())


def home_at(page: Page, server: Server, at: str, language: str = "") -> None:
    page.clock.set_fixed_time(at)
    page.goto(f"{server.address}{language}index.html")


def test_a_chair_shows_how_much_is_back_and_when_everything_was(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    tick(page, 0, at="2026-03-02T08:00:00")
    home_at(page, server, "2026-03-02T08:05:00")
    assert so_far(page, "teal") == "1 of 3"
    assert so_far(page, "orange") == ""
    assert round_told(page) == "Done: 0 of 6 · round since 7:30 AM"
    page.goto(server.address + "r/teal.html")
    tick(page, 1, 2, at="2026-03-02T08:20:00")
    home_at(page, server, "2026-03-02T08:30:00", "es/")
    assert so_far(page, "teal") == "8:20"
    assert round_told(page) == "Listos: 1 de 6 · ronda desde: 7:30"


def test_a_new_round_begins_at_every_chair_at_once(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.clock.install(time="2026-03-02T12:10:00")
    page.goto(server.address + "r/teal.html")
    for box in page.get_by_role("checkbox").all():
        box.check()
    page.goto(server.address + "index.html")
    assert round_told(page) == "Done: 1 of 6 · round since 7:30 AM"
    page.clock.fast_forward("05:01")  # the page stays open on the wall
    expect(page.locator("[data-round]")).to_contain_text("Done: 0 of 6")
    assert so_far(page, "teal") == ""


def test_yesterdays_round_is_not_todays(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    tick(page, 0, 1, 2, at="2026-03-02T15:00:00")
    home_at(page, server, "2026-03-03T08:00:00")
    assert so_far(page, "teal") == ""


def test_what_is_ticked_in_another_window_is_seen_at_once(context: BrowserContext, server: Server) -> None:
    home, chair = context.new_page(), context.new_page()
    home.goto(server.address + "index.html")
    chair.goto(server.address + "r/teal.html")
    chair.get_by_role("checkbox").first.check()
    expect(home.locator("[data-chair='r/teal'] [data-so-far]")).to_have_text("1 of 3")


def test_a_row_that_has_changed_since_it_was_ticked_does_not_count(context: BrowserContext, tmp_path: Path) -> None:
    write(dict(site(sample_site.handbooks())), tmp_path)
    server = Server(tmp_path)
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    for box in page.get_by_role("checkbox").all():
        box.check()
    write(dict(site(tuple(map(with_a_new_edition, sample_site.handbooks())))), tmp_path)
    page.goto(server.address + "index.html")
    assert so_far(page, "teal") == "1 of 4", "one is as it was, two hold something else, one is new"
    server.stop()


@pytest.mark.parametrize("spoilt", ["{", "[]", '{"ticked": 3}', '{"ticked": {"spare": "1"}}'])
def test_a_spoilt_memory_is_no_progress(context: BrowserContext, server: Server, spoilt: str) -> None:
    page = context.new_page()
    page.goto(server.address + "index.html")
    page.evaluate("value => localStorage.setItem(self.kitdocs.keyOf('ticks r/teal'), value)", spoilt)
    page.reload()
    assert so_far(page, "teal") == ""
    expect(page.locator("[data-round]")).to_contain_text("Done: 0 of 6")


def test_something_went_wrong_is_in_sight_on_every_screen(context: BrowserContext, example_server: Server) -> None:
    page = context.new_page()
    page.goto(example_server.address)
    for width in (195, 320, 820, 1280):
        assert sized(page, width, 844).evaluate("document.documentElement.scrollWidth") <= width
        box = page.locator(".wrong").bounding_box()
        assert box and box["y"] + box["height"] < 300


def crowded(book: Handbook, chairs: int = 40) -> Handbook:
    """The handbook with so many chairs."""
    own = [card for card in book.cards if card.kind == "refill-chair"]
    more = tuple(replace(own[0], id=f"r/more-{n}", next="") for n in range(chairs - len(own)))
    return replace(book, cards=(*book.cards, *more))


@pytest.mark.parametrize("language", ["", "es/"])
def test_of_many_chairs_what_else_is_needed_most_still_stands_on_the_first_screen(
    context: BrowserContext, example_handbooks: tuple[Handbook, ...], tmp_path: Path, language: str
) -> None:
    """Of forty chairs the whole list stood above the search and whom to call, twenty rows down."""
    books = tuple(crowded(book) for book in example_handbooks)
    server = Server(write(dict(site(books)), tmp_path))
    page = context.new_page()
    page.goto(f"{server.address}{language}index.html")
    assert page.locator(".tile").count() == 40
    wanted = page.locator(".wrong, .start, .around, .find, .finder, .ask div").all()
    seen = [box for each in wanted if each.is_visible() and (box := each.bounding_box())]
    assert len(seen) == 2 + 1 + 1 + 2 + 3
    assert max(box["y"] + box["height"] for box in seen) <= PHONE[1]
    first = page.locator(".tile").first.bounding_box()
    assert first and first["y"] + first["height"] <= PHONE[1]
    server.stop()
