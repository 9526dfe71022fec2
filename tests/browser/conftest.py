"""A real browser, a folder with the sample site in it, and a server that can be stopped."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Literal

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright
from visits import PAGES, PHONE, Server, opened, write

from kitdocs.document.card import Card, Handbook
from kitdocs.publish.site.frame import PrintedCopy

# The sample handbook lives beside the other tests of the site.
sys.path.insert(0, str(Path(__file__).parents[1] / "publish"))

ARGUMENTS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    found = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    if found is None:
        missing = "no chromium here: apt-get install chromium"
        if os.environ.get("CI") == "true":
            pytest.fail(missing)
        pytest.skip(missing)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def example_server(
    example_handbooks: tuple[Handbook, ...], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Server]:
    from kitdocs.publish.site.build_site import site  # noqa: PLC0415

    server = Server(write(dict(site(example_handbooks)), tmp_path_factory.mktemp("example")))
    yield server
    server.stop()


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    import sample_site  # noqa: PLC0415

    from kitdocs.publish.site.build_site import site  # noqa: PLC0415

    def paper(handbook: Handbook, card: Card) -> PrintedCopy | None:
        return PrintedCopy(path=f"print/{handbook.folder}binder.pdf", page=7) if card.in_binder else None

    files = dict(site(sample_site.handbooks_with_a_past(), paper=paper))
    return write(files, tmp_path_factory.mktemp("site"))


@pytest.fixture(scope="session")
def server(folder: Path) -> Iterator[Server]:
    """For every test that does not stop it."""
    server = Server(folder)
    yield server
    server.stop()


@pytest.fixture(scope="session")
def opened_pages(chromium: Browser, server: Server) -> Iterator[dict[str, Page]]:
    """Every kind of page, opened once. Whoever looks says in which size and scheme; nobody changes anything."""
    context = chromium.new_context(service_workers="block")
    context.set_default_timeout(10_000)
    pages = {path: context.new_page() for path in PAGES}
    for path, page in pages.items():
        opened(page, server.address + path)
        page.evaluate("document.querySelectorAll('details').forEach((folded) => (folded.open = true))")
    yield pages
    context.close()


@pytest.fixture
def context(chromium: Browser) -> Iterator[BrowserContext]:
    """A phone that has never seen the site and keeps nothing for later."""
    yield from _phone(chromium, "block")


@pytest.fixture
def keeping(chromium: Browser) -> Iterator[BrowserContext]:
    """A phone that has never seen the site and lets its worker keep it."""
    yield from _phone(chromium, "allow")


def _phone(chromium: Browser, workers: Literal["allow", "block"]) -> Iterator[BrowserContext]:
    context = chromium.new_context(viewport={"width": PHONE[0], "height": PHONE[1]}, service_workers=workers)
    context.set_default_timeout(10_000)
    yield context
    context.close()
