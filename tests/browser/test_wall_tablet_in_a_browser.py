"""The tablet on the wall: chairs with their progress, cards in a frame, awake, dim at night, and back by itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
import sample_site
from playwright.sync_api import Browser, BrowserContext, Page, expect
from test_home_in_a_browser import crowded
from visits import TABLET, Server, sized, write

from kitdocs.document.card import Handbook
from kitdocs.publish.site.build_site import site

pytestmark = pytest.mark.browser

WALL = "wall.html"


@pytest.fixture
def wall(chromium: Browser, server: Server) -> Iterator[Page]:
    """A tablet on the wall, at eight in the morning."""
    context = chromium.new_context(viewport={"width": TABLET[0], "height": TABLET[1]}, service_workers="block")
    context.set_default_timeout(10_000)
    page = context.new_page()
    page.clock.install(time="2026-03-02T08:00:00")
    page.goto(server.address + WALL)
    yield page
    context.close()


def said(page: Page, part: str) -> str:
    return " ".join(page.locator(f"[data-{part}]").inner_text().split())


def test_all_chairs_stand_large_on_the_first_screen(wall: Page) -> None:
    boxes = [box for tile in wall.locator(".tile").all() if (box := tile.bounding_box())]
    assert len(boxes) == len(sample_site.CHAIRS)
    assert all(box["height"] >= 120 and box["y"] + box["height"] <= TABLET[1] for box in boxes)


def test_a_long_colour_stays_whole_on_its_tile(wall: Page) -> None:
    """ "Marineblau" was cut off at the edge of an upright tablet."""
    for size in (TABLET, TABLET[::-1], (1024, 768)):
        tile = sized(wall, *size).locator(".tile").first
        lines, inside = tile.evaluate(
            """tile => {
                const word = tile.querySelector(".word"), text = document.createRange();
                word.textContent = "Marineblau";
                text.selectNodeContents(word);
                const edge = tile.getBoundingClientRect().right - 8;
                return [text.getClientRects().length, text.getBoundingClientRect().right < edge];
            }"""
        )
        assert lines == 1 and inside, size


@pytest.mark.parametrize("chairs", [25, 40])
def test_many_chairs_stand_on_the_first_screen_too(chromium: Browser, tmp_path: Path, chairs: int) -> None:
    """Of 25 chairs, seven stood below the screen, and nine where the tablet hangs on its side."""
    books = tuple(crowded(book, chairs) for book in sample_site.handbooks())
    server = Server(write(dict(site(books)), tmp_path))
    context = chromium.new_context(service_workers="block")
    page = context.new_page()
    page.goto(server.address + WALL)
    for size in (TABLET, TABLET[::-1]):
        boxes = [box for tile in sized(page, *size).locator(".tile").all() if (box := tile.bounding_box())]
        assert len(boxes) == chairs
        assert all(box["height"] >= 56 and box["y"] + box["height"] <= size[1] for box in boxes)
    context.close()
    server.stop()


def test_every_card_and_list_is_one_tap_away(wall: Page) -> None:
    (book, _) = sample_site.handbooks_with_a_past()
    links = {link.get_attribute("href") for link in wall.get_by_role("main").get_by_role("link").all()}
    assert {f"{card.id}.html" for card in book.cards if card.kind not in ("instrument", "procedure")} <= links
    assert all(box["height"] >= 56 for link in wall.locator(".line").all() if (box := link.bounding_box()))


def test_a_card_opens_in_a_frame_and_its_ticks_are_told_behind_it(wall: Page) -> None:
    wall.locator("[data-chair='r/teal']").click()
    card = wall.frame_locator("iframe")
    card.get_by_role("checkbox").first.check()
    assert wall.url.endswith(WALL), "full screen and light stay"
    wall.get_by_role("button", name="Back to the chairs").click()
    assert wall.locator("iframe").count() == 0
    expect(wall.locator("[data-chair='r/teal'] [data-so-far]")).to_have_text("1 of 3")


def test_it_comes_back_by_itself_after_the_stated_time_without_a_touch(wall: Page) -> None:
    wall.locator("[data-chair='r/teal']").click()
    wall.frame_locator("iframe").get_by_role("checkbox").first.wait_for()
    wall.clock.fast_forward("02:00")
    wall.frame_locator("iframe").get_by_role("checkbox").first.check()
    wall.clock.fast_forward("02:00")
    assert wall.locator("iframe").is_visible(), "it was touched two minutes ago"
    wall.clock.fast_forward("01:05")
    expect(wall.locator("iframe")).to_have_count(0)
    assert not wall.locator("[data-dim]").is_visible(), "it is day"


def test_the_time_is_chosen_on_the_wall_and_kept(wall: Page) -> None:
    assert wall.get_by_role("button", name="3 min").get_attribute("aria-pressed") == "true"
    wall.get_by_role("button", name="1 min").click()
    wall.reload()
    assert wall.get_by_role("button", name="1 min").get_attribute("aria-pressed") == "true"
    wall.locator("[data-chair='r/teal']").click()
    wall.clock.fast_forward("01:05")
    expect(wall.locator("iframe")).to_have_count(0)


def test_at_night_it_goes_dim_and_the_first_touch_only_wakes_it(wall: Page) -> None:
    wall.clock.fast_forward("11:59:00")
    assert not wall.locator("[data-dim]").is_visible()
    wall.clock.fast_forward("01:05")
    expect(wall.locator("[data-dim]")).to_be_visible()
    wall.mouse.click(200, 400)
    assert not wall.locator("[data-dim]").is_visible()
    assert wall.locator("iframe").count() == 0
    wall.clock.fast_forward("03:05")
    expect(wall.locator("[data-dim]")).to_be_visible()
    wall.clock.fast_forward("10:00:00")
    expect(wall.locator("[data-dim]")).not_to_be_visible()


@pytest.mark.parametrize(
    ("device", "told"),
    [
        ("{ request: async () => ({ released: false }) }", "The screen stays on while this page is shown."),
        ("undefined", "This browser cannot keep the screen on. Set the device so that its screen stays on."),
        (
            "{ request: async () => { throw new DOMException('no', 'NotAllowedError'); } }",
            "The device does not let this page keep the screen on, for instance to save its battery.",
        ),
    ],
)
def test_it_says_whether_the_screen_stays_on(context: BrowserContext, server: Server, device: str, told: str) -> None:
    page = context.new_page()
    page.add_init_script(f"Object.defineProperty(navigator, 'wakeLock', {{ value: {device} }});")
    page.goto(server.address + WALL)
    expect(page.locator("[data-awake]")).to_have_text(told)


def test_a_newer_handbook_is_told_and_shown_on_request(context: BrowserContext, tmp_path: Path) -> None:
    books = sample_site.handbooks()
    write(dict(site(books)), tmp_path)
    server = Server(tmp_path)
    page = context.new_page()
    page.goto(server.address + WALL)
    expect(page.locator("[data-newer]")).to_contain_text("there is none newer.")
    assert not page.locator("[data-reload]").is_visible()
    write(dict(site(tuple(map(renamed, books)))), tmp_path)
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.locator("[data-newer]")).to_contain_text("A newer one is up.")
    page.get_by_role("button", name="Show the newer handbook").click()
    expect(page.locator("[data-newer]")).to_contain_text("there is none newer.")
    assert page.get_by_role("link", name="New map").is_visible()
    server.stop()


def renamed(book: Handbook) -> Handbook:
    return replace(
        book, cards=tuple(replace(card, title="New map") if card.id == "map" else card for card in book.cards)
    )


def test_without_a_network_it_says_since_when_it_was_not_checked(keeping: BrowserContext, folder: Path) -> None:
    server = Server(folder)
    page = keeping.new_page()
    page.clock.set_fixed_time("2026-03-02T08:00:00")
    page.goto(server.address + WALL)
    expect(page.locator("[data-newer]")).to_contain_text("Checked on Mar 2, 2026")
    page.evaluate("navigator.serviceWorker.ready.then(() => undefined)")
    server.stop()
    page.clock.set_fixed_time("2026-03-03T08:00:00")
    page.reload()
    expect(page.locator("[data-newer]")).to_contain_text("Not checked since Mar 2, 2026")
    page.evaluate("localStorage.clear()")
    page.reload()
    expect(page.locator("[data-newer]")).to_contain_text("Never checked on this device")


@pytest.mark.parametrize("answer", ["", "[]", "null", '{"version": 3}', "<html>sign in</html>"])
def test_an_answer_that_is_not_ours_is_no_check(context: BrowserContext, server: Server, answer: str) -> None:
    page = context.new_page()
    page.route("**/version.json", lambda route: route.fulfill(status=200, body=answer))
    page.goto(server.address + WALL)
    expect(page.locator("[data-newer]")).to_contain_text("Never checked on this device")


def test_from_a_folder_it_claims_nothing_and_goes_to_the_card(context: BrowserContext, folder: Path) -> None:
    page = context.new_page()
    page.goto((folder / WALL).as_uri())
    expect(page.locator("[data-newer]")).to_contain_text("it cannot tell whether there is a newer one")
    page.locator("[data-chair='r/teal']").click()
    page.wait_for_url("**/r/teal.html")


def test_with_a_card_open_the_keyboard_reaches_nothing_behind_it(wall: Page) -> None:
    wall.locator("[data-chair='r/teal']").click()
    wall.frame_locator("iframe").get_by_role("checkbox").first.wait_for()
    assert said(wall, "close") == "Back to the chairs"
    assert wall.evaluate("document.activeElement.matches('[data-close]')")
    assert wall.evaluate("[...document.querySelectorAll('.top, [data-tablet], .foot')].every((part) => part.inert)")


@pytest.mark.parametrize(
    ("night", "at", "dim"),
    [
        ((1140, 330), "18:50", False),
        ((1140, 330), "19:05", True),
        ((1140, 330), "05:20", True),
        ((1140, 330), "05:35", False),
        ((60, 240), "00:50", False),
        ((60, 240), "01:10", True),
        ((60, 240), "04:05", False),
        ((0, 0), "00:05", False),
    ],
)
def test_the_practice_states_when_it_comes_back_and_when_it_goes_dim(
    context: BrowserContext, tmp_path: Path, night: tuple[int, int], at: str, dim: bool
) -> None:
    books = tuple(replace(book, back=5.0, night=night) for book in sample_site.handbooks())
    write(dict(site(books)), tmp_path)
    server = Server(tmp_path)
    page = context.new_page()
    page.clock.install(time=f"2026-03-02T{at}:00")
    page.goto(server.address + WALL)
    assert page.get_by_role("button", name="5 min").get_attribute("aria-pressed") == "true"
    assert page.get_by_role("button", name="min", exact=False).count() == 4
    page.locator("[data-chair='r/teal']").click()
    page.frame_locator("iframe").get_by_role("checkbox").first.wait_for()
    page.clock.fast_forward("04:30")
    assert page.locator("iframe").is_visible()
    page.clock.fast_forward("00:35")
    expect(page.locator("iframe")).to_have_count(0)
    expect(page.locator("[data-dim]")).to_be_visible(visible=dim)
    server.stop()
