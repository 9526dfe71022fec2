"""A real browser, a folder with the sample site in it, and a server that can be stopped."""

from __future__ import annotations

import functools
import http
import http.server
import json
import os
import shutil
import sys
import threading
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Literal

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from kitdocs.document.card import Card, Handbook

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
PHONE, TABLET, DESKTOP = (390, 844), (820, 1180), (1280, 900)

#: One page of each kind and each look: band dark, pale and white, verdict given, old and gone, tables, prose, forms.
PAGES = (
    "index.html",
    "search.html",
    "search.html#q=plier",
    "r/teal.html",
    "r/yellow.html#OLD22",
    "r/white.html",
    "r/teal.html#LD222",
    "r/teal.earlier.html",
    "r/plum.html#GN222",
    "current.html",
    "es/r/navy.html",
    "drawer/teal.html",
    "set/core.html",
    "first-day.html",
    "map.html",
    "page/house-rules.html",
    "spore-test.html",
    "by-picture.html",
    "i/hook-crimper.html",
    "procedures.html",
    "d/debonding.html",
    "404.html",
)


class Server:
    """The folder at /bay/ on 127.0.0.1, until it is stopped; it can start again at the same address."""

    def __init__(self, folder: Path) -> None:
        self._handler = functools.partial(_Quiet, directory=str(folder))
        self.port = 0
        self.start()

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}/bay/"

    def start(self) -> None:
        self._server = http.server.ThreadingHTTPServer(("127.0.0.1", self.port), self._handler)
        self.port = self._server.server_port
        threading.Thread(target=self._server.serve_forever, args=(0.02,), daemon=True).start()

    def stop(self) -> None:
        self._server.shutdown()
        self._server.server_close()


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def do_GET(self) -> None:
        # This server tells times to the second; a site that is written twice in one would seem unchanged.
        del self.headers["If-Modified-Since"]
        super().do_GET()

    def translate_path(self, path: str) -> str:
        return super().translate_path(path.removeprefix("/bay"))

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """As hosts do: the site's own page where there is none."""
        missing = Path(self.directory, "404.html")
        if code != http.HTTPStatus.NOT_FOUND or not missing.exists():
            super().send_error(code, message, explain)
            return
        self.send_response(code)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.end_headers()
        self.wfile.write(missing.read_bytes())

    def log_message(self, *args: object) -> None:
        pass


def editions_json(cards: Mapping[str, str]) -> str:
    """What the network answers about the cards: by id, the editions in English and in Spanish."""
    return json.dumps({"languages": ["en", "es"], "cards": dict(cards)})


def write(files: dict[str, bytes], folder: Path) -> Path:
    for path, content in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(content)
    return folder


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


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    import sample_site  # noqa: PLC0415

    from kitdocs.publish.site.build_site import site  # noqa: PLC0415

    def paper(handbook: Handbook, card: Card) -> str:
        return f"print/{handbook.folder}binder.pdf" if card.in_binder else ""

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


def opened(page: Page, address: str) -> None:
    """The page with its verdict given, so that no half-drawn state is judged; what is printed once has none."""
    page.goto("about:blank")
    page.goto(address)
    page.locator("[data-verdict][data-state]:not([data-state=checking]), .form-paper, .wall, .lookup").wait_for()


def sized(page: Page, width: int, height: int) -> Page:
    page.set_viewport_size({"width": width, "height": height})
    return page


def until(page: Page, condition: str) -> None:
    """Waits for what a page can tell. (`wait_for_function` would evaluate text, which the pages' policy forbids.)"""
    for _ in range(1500):
        if page.evaluate(condition):
            return
        page.wait_for_timeout(20)
    raise AssertionError(f"never came true: {condition}")


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
