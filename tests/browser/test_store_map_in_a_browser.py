"""The map of the store: a tap on a pack opens its card, and the card leads back to the spot in the map."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from visits import PHONE, TABLET, Server, sized, write

from kitdocs.document.blocks import Illustration, Spot
from kitdocs.document.card import Handbook
from kitdocs.publish.site.build_site import site

pytestmark = pytest.mark.browser

MAP = "storage-map.html"


@pytest.fixture(scope="module")
def built(example_handbooks: Sequence[Handbook], tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write(dict(site(example_handbooks)), tmp_path_factory.mktemp("store"))


@pytest.fixture
def phone(chromium: Browser, built: Path) -> Iterator[Page]:
    serving = Server(built)
    context = chromium.new_context(viewport={"width": PHONE[0], "height": PHONE[1]}, service_workers="block")
    context.set_default_timeout(10_000)
    page = context.new_page()
    page.goto(serving.address + MAP)
    yield page
    context.close()
    serving.stop()


@pytest.fixture(scope="module")
def spots(example_handbooks: Sequence[Handbook]) -> list[Spot]:
    card = example_handbooks[0].card("storage-map")
    return [spot for block in card.blocks if isinstance(block, Illustration) for spot in block.spots]


def test_a_tap_on_any_pack_or_on_its_code_opens_its_card(phone: Page, spots: list[Spot]) -> None:
    assert len(spots) == 21
    for spot in spots:
        link = phone.locator(f"#{spot.anchor}")
        wanted = link.get_attribute("href")
        for n in range(len(spot.narrow)):
            box = link.locator(".small rect").nth(n)
            box.scroll_into_view_if_needed()
            place = box.bounding_box()
            assert place
            hit = phone.evaluate(
                "([x, y]) => document.elementFromPoint(x, y)?.closest('a')?.getAttribute('href')",
                [place["x"] + place["width"] / 2, place["y"] + place["height"] / 2],
            )
            assert hit == wanted, spot.name
    phone.locator("#at-core .small rect").first.click()
    expect(phone).to_have_url(f"{phone.url.rpartition('/s/')[0]}/s/core.html")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Core set")


def test_a_card_leads_back_to_its_spot_in_the_map(phone: Page) -> None:
    for page, anchor, code in (("s/banding.html", "at-banding", "A10"), ("p/separators.html", "at-separators", "A9")):
        phone.goto(phone.url.rpartition("/bay/")[0] + "/bay/" + page)
        phone.locator(".in-store").get_by_role("link").click()
        expect(phone).to_have_url(phone.url.rpartition("/bay/")[0] + f"/bay/{MAP}#{anchor}")
        spot = phone.locator(f"#{anchor}")
        expect(spot).to_be_in_viewport()
        assert code in (spot.get_attribute("aria-label") or "")
        rect = spot.locator(".small rect").first
        assert rect.evaluate("r => getComputedStyle(r).strokeWidth") != "0px"
        assert rect.evaluate("r => getComputedStyle(r).stroke") != "none"


def test_a_drawer_pouch_opens_its_row_of_the_pouch_guide_which_leads_back(phone: Page) -> None:
    phone.locator("#at-bends .small rect").first.click()
    row = phone.locator("tr#bends")
    expect(row).to_be_in_viewport()
    row.get_by_role("link", name="Bending pouch").click()
    expect(phone.locator("#at-bends")).to_be_in_viewport()


def test_the_map_is_read_and_walked_through_without_sight_or_pointer(phone: Page, spots: list[Spot]) -> None:
    links = phone.locator(".map").get_by_role("link")
    assert [link.get_attribute("aria-label") for link in links.all()] == [spot.name for spot in spots]
    assert [v["id"] for v in Axe().run(phone).response["violations"]] == []
    wanted = phone.url.replace(MAP, f"{spots[0].link}.html")
    links.first.focus()
    phone.keyboard.press("Enter")
    expect(phone).to_have_url(wanted)


@pytest.mark.parametrize("width", [320, 390, 700])
def test_the_map_fits_a_phone_with_letters_of_twelve_pixels(phone: Page, width: int) -> None:
    """The smallest letters are 7 pt (2.469 mm) of a drawing of 56 mm."""
    sized(phone, width, 844)
    for n in range(phone.locator(".map").count()):
        shown = phone.locator(".map img").nth(n).evaluate("i => i.getBoundingClientRect().width")
        assert shown / 56 * 2.469 >= 12
        assert phone.locator(".mapped").nth(n).evaluate("e => e.scrollWidth <= e.clientWidth")


def test_on_a_tablet_the_map_is_the_one_of_the_card(phone: Page) -> None:
    """A place code is 9 pt (3.175 mm) of the drawing's 170 mm."""
    sized(phone, *TABLET)
    width = phone.locator(".map img").first.evaluate("i => i.getBoundingClientRect().width")
    assert width / 170 * 3.175 >= 12
    assert phone.locator(".mapped").first.evaluate("e => e.scrollWidth <= e.clientWidth")
    phone.locator("#at-core .wide rect").first.click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Core set")


@pytest.mark.parametrize(("size", "card"), [(PHONE, MAP), (TABLET, MAP), (TABLET, "current.html")])
def test_the_head_of_a_row_begins_where_the_head_of_its_column_does(
    phone: Page, size: tuple[int, int], card: str
) -> None:
    phone.goto(phone.url.replace(MAP, card))
    aligned = sized(phone, *size).evaluate(
        "[...document.querySelectorAll('.matrix th:not(.number)')].map((head) => getComputedStyle(head).textAlign)"
    )
    assert len(aligned) > 20
    assert set(aligned) == {"start"}
