"""The pages of a group of practices, as a browser draws them: accessible, and no wider than the screen."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Literal

import pytest
from axe_playwright_python.sync_playwright import Axe
from generated_group import write_group
from playwright.sync_api import Browser, Page
from test_pages_in_a_browser import EVERYTHING, ONLY_ON_THE_SCREEN, TORN
from visits import DESKTOP, PHONE, TABLET, ZOOMED, Server, axe_finds, sized

from kitdocs.group.publishing import publish_group

pytestmark = pytest.mark.browser

NAMES = ("index.html", "compare.html", "differ.html", "transfers.html", "order.html", "wrong.html")


@pytest.fixture(scope="module")
def published(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three practices compared, without their handbooks; a fourth cannot be read."""
    folder = tmp_path_factory.mktemp("group")
    write_group(folder / "ours", 4)
    (folder / "ours" / "practice-004" / "sets.yaml").unlink()
    publish_group(folder / "ours", folder / "out", handbooks=False)
    return folder / "out"


@pytest.fixture(scope="module")
def pages(chromium: Browser, published: Path) -> Iterator[dict[str, Page]]:
    server = Server(published)
    context = chromium.new_context(service_workers="block")
    context.set_default_timeout(10_000)
    opened = {name: context.new_page() for name in NAMES}
    for name, page in opened.items():
        page.goto(f"{server.address}group/{name}")
        page.evaluate("document.querySelectorAll('details').forEach((folded) => (folded.open = true))")
    yield opened
    context.close()
    server.stop()


def test_every_page_of_a_group_is_looked_at(published: Path) -> None:
    assert {path.name for path in (published / "group").glob("*.html")} == set(NAMES)


@pytest.mark.parametrize(
    ("size", "scheme", "options"),
    [(PHONE, "light", EVERYTHING), (DESKTOP, "dark", ONLY_ON_THE_SCREEN)],
    ids=["phone-light", "desktop-dark"],
)
def test_axe_finds_nothing(
    pages: dict[str, Page], size: tuple[int, int], scheme: Literal["light", "dark"], options: dict[str, object]
) -> None:
    assert axe_finds(pages, size, scheme, options) == {}


@pytest.mark.parametrize("width", [ZOOMED[0], 320, PHONE[0], TABLET[0], DESKTOP[0]])
def test_no_page_is_wider_than_its_screen(pages: dict[str, Page], width: int) -> None:
    # WCAG 2.2, 1.4.10 Reflow: tables that need it are moved in frames of their own.
    wide = {
        name: sized(page, width, 800).evaluate("document.documentElement.scrollWidth") for name, page in pages.items()
    }
    assert {name: found for name, found in wide.items() if found > width} == {}


def test_a_phone_at_200_percent_zoom_tears_no_word_apart(pages: dict[str, Page]) -> None:
    torn = {name: sized(page, *ZOOMED).evaluate(TORN) for name, page in pages.items()}
    assert {name: found for name, found in torn.items() if found} == {}


def test_every_link_leads_to_a_file_and_the_practice_that_cannot_be_read_is_told(
    pages: dict[str, Page], published: Path
) -> None:
    links = {
        (name, link)
        for name, page in pages.items()
        for link in page.eval_on_selector_all("main a[href]", "all => all.map((one) => one.getAttribute('href'))")
        if not link.startswith(("#", "http"))
    }
    assert len(links) > 5
    broken = [(name, link) for name, link in links if not (published / "group" / link.partition("#")[0]).exists()]
    assert broken == []
    assert "practice-004" in pages["index.html"].locator("main").inner_text()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_words_can_be_read_where_the_screen_forces_colours(
    pages: dict[str, Page], scheme: Literal["light", "dark"]
) -> None:
    for name, page in pages.items():
        sized(page, *PHONE).emulate_media(forced_colors="active", color_scheme=scheme)
        result = Axe().run(page, options={"runOnly": {"type": "rule", "values": ["color-contrast"]}})
        page.emulate_media(forced_colors="none")
        assert result.violations_count == 0, name + result.generate_snapshot()
