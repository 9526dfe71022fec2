"""The preview in a browser: a save shows by itself, a mistake says where it is, and goes when it is mended."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from editing import edit
from playwright.sync_api import BrowserContext, Page
from rich.console import Console

from kitdocs.command import preview as command

pytestmark = pytest.mark.browser


@pytest.fixture
def address(started: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """The preview as the command runs it, at a free port, until the test is over."""
    found: list[str] = []
    there, stop = threading.Event(), threading.Event()

    def say_where(console: Console, address: str, lan: bool) -> None:
        found.append(address)
        there.set()

    monkeypatch.setattr(command, "_say_where", say_where)
    console = Console(quiet=True)
    running = threading.Thread(target=lambda: command.preview(console, started, port=0, lan=False, stop=stop))
    running.start()
    assert there.wait(20)
    yield found[0]
    stop.set()
    running.join(20)
    assert not running.is_alive()


def opened(context: BrowserContext, address: str) -> Page:
    page = context.new_page()
    page.goto(address)
    return page


def test_a_save_shows_by_itself_and_a_page_that_it_does_not_change_stays(
    context: BrowserContext, started: Path, address: str
) -> None:
    page = opened(context, address + "pages/house-rules.html")
    other = opened(context, address + "spore-test.html")
    other.evaluate("window.same = true")
    edit(started / "pages" / "house-rules.md", "# House rules", "# Rules of this house")
    page.get_by_role("heading", name="Rules of this house").wait_for()
    assert other.evaluate("window.same") is True


def test_a_mistake_shows_its_place_and_remedy_until_it_is_mended(
    context: BrowserContext, started: Path, address: str
) -> None:
    page = opened(context, address + "pages/house-rules.html")
    edit(started / "sets.yaml", "cassette: ", "cassette: un")
    page.wait_for_url("**/preview/mistakes")
    text = page.locator("main").inner_text()
    assert "1 problem in the folder" in text
    assert "sets.yaml:" in text
    assert "did you mean" in text
    page.get_by_role("link", name="Show the last good handbook").click()
    page.wait_for_url("**/pages/house-rules.html")
    page.goto(address + "preview/mistakes")
    edit(started / "sets.yaml", "cassette: un", "cassette: ")
    page.wait_for_url("**/pages/house-rules.html")
