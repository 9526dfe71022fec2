"""Pages in Hebrew and Arabic letters on a phone and on a large screen: laid out from the right, and never too wide."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from other_letters import OtherLetters
from playwright.sync_api import Browser, Page
from pseudo_language import pseudo_practice
from visits import DESKTOP, PHONE, Server, opened, sized, write

from kitdocs.handbook.build_handbook import make_handbooks
from kitdocs.planning.plan import make_plan
from kitdocs.practice.reading.reader import read_practice
from kitdocs.publish.site.build_site import site

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module", params=["he", "ar"])
def pages(
    request: pytest.FixtureRequest, chromium: Browser, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Mapping[str, Page]]:
    """The first page of each folder of the example, and every page at the top, by its path."""
    folder = tmp_path_factory.mktemp("letters")
    practice = read_practice(pseudo_practice(folder / "practice", OtherLetters(request.param)))
    files = dict(site(make_handbooks(practice, make_plan(practice, days=1))))
    first = {Path(path).parent: path for path in sorted(files, reverse=True) if path.endswith(".html")}
    top = [path for path in files if path.endswith(".html") and "/" not in path]
    server = Server(write(files, folder / "site"))
    context = chromium.new_context(service_workers="block")
    context.set_default_timeout(10_000)
    opening = {path: context.new_page() for path in sorted({*first.values(), *top})}
    for path, page in opening.items():
        opened(page, server.address + path)
        page.evaluate("document.querySelectorAll('details').forEach((folded) => (folded.open = true))")
    yield opening
    context.close()
    server.stop()


@pytest.mark.parametrize("width", [PHONE[0], DESKTOP[0]])
def test_no_page_is_wider_than_its_screen(pages: Mapping[str, Page], width: int) -> None:
    wide = {
        path: sized(page, width, 800).evaluate("document.documentElement.scrollWidth") for path, page in pages.items()
    }
    assert len(wide) > 25
    assert {path: found for path, found in wide.items() if found > width} == {}


@pytest.mark.parametrize("width", [PHONE[0], DESKTOP[0]])
def test_what_begins_a_line_stands_at_its_right(pages: Mapping[str, Page], width: int) -> None:
    page = sized(pages["r/chair-1.html"], width, 800)
    assert page.locator("html").get_attribute("dir") == "rtl"
    row = page.locator(".row").first
    picture, name, count = (row.locator(part).first.bounding_box() for part in (".tip", ".name", ".count"))
    assert picture and name and count
    assert picture["x"] > name["x"] > count["x"]
    edge = page.locator(".body").first.bounding_box()
    assert edge and picture["x"] + picture["width"] > edge["x"] + edge["width"] - 60, "a picture begins the row"


def test_what_is_drawn_is_not_turned_around(pages: Mapping[str, Page]) -> None:
    """In a drawing that is part of the page, words would begin at the other side of their place."""
    drawn = {
        path: page.evaluate("[...document.querySelectorAll('svg')].map((svg) => getComputedStyle(svg).direction)")
        for path, page in pages.items()
    }
    found = [direction for directions in drawn.values() for direction in directions]
    assert found and set(found) == {"ltr"}


def test_the_round_and_the_tablet_begin_at_the_right(pages: Mapping[str, Page]) -> None:
    stages = sized(pages["round.html"], DESKTOP[0], 800).locator(".stages > *")
    places = [box["x"] for n in range(stages.count()) if (box := stages.nth(n).bounding_box())]
    assert len(places) == 3 and places == sorted(places, reverse=True)
    chairs = sized(pages["wall.html"], DESKTOP[0], 800).locator("main .band")
    first, second = chairs.nth(0).bounding_box(), chairs.nth(1).bounding_box()
    assert first and second and (first["y"] < second["y"] or first["x"] > second["x"])
