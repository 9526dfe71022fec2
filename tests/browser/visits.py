"""Visits to the site in a browser: screens, pages, a server that can be stopped, and waiting for a settled page."""

from __future__ import annotations

import functools
import http
import http.server
import json
import sys
import threading
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Literal

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

PHONE, TABLET, DESKTOP = (390, 844), (820, 1180), (1280, 900)
#: The phone at 200 % zoom.
ZOOMED = (195, 422)

#: One page of each kind and each look: band dark, pale and white, verdict given, old and gone, tables, prose, forms.
PAGES = (
    "index.html",
    "round.html",
    "wall.html",
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

#: A verdict that will not change by itself.
GIVEN = "[data-verdict][data-state]:not([data-state=checking], [data-state=waiting])"


#: For a browser context: a phone that is set to Spanish, which the first scan of a card opens in.
SPANISH_PHONE = "Object.defineProperty(navigator, 'languages', { value: Object.freeze(['es-MX']) })"


class Server:
    """The folder at /bay/ on 127.0.0.1, until it is stopped; it can start again at the same address.

    While `answering` is clear, it takes every request and answers none, as a network that is there but leads nowhere.
    """

    def __init__(self, folder: Path) -> None:
        self.answering = threading.Event()
        self.answering.set()
        self._handler = functools.partial(_Quiet, self.answering, directory=str(folder))
        self.port = 0
        self.start()

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}/bay/"

    def start(self) -> None:
        self._server = _Listening(("127.0.0.1", self.port), self._handler)
        self.port = self._server.server_port
        threading.Thread(target=self._server.serve_forever, args=(0.02,), daemon=True).start()

    def stop(self) -> None:
        self._server.shutdown()
        self._server.server_close()


class _Listening(http.server.ThreadingHTTPServer):
    request_queue_size = 256  # the worker asks for everything at once

    def handle_error(self, request: object, client_address: object) -> None:
        if not isinstance(sys.exc_info()[1], ConnectionError):  # the browser has left
            super().handle_error(request, client_address)  # type: ignore[arg-type]


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def __init__(self, answering: threading.Event, *args: Any, **keywords: Any) -> None:
        self._answering = answering
        super().__init__(*args, **keywords)

    def do_GET(self) -> None:
        self._answering.wait()
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


def opened(page: Page, address: str) -> None:
    """The page with its verdict given, so that no half-drawn state is judged; what is printed once has none."""
    page.goto("about:blank")
    page.goto(address)
    page.locator(f"{GIVEN}, .form-paper, .wall, .lookup, .round").wait_for()


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


def axe_finds(
    pages: Mapping[str, Page], size: tuple[int, int], scheme: Literal["light", "dark"], options: dict[str, object]
) -> dict[str, str]:
    """What axe-core finds on each page where it finds something."""
    found = {}
    for name, page in pages.items():
        sized(page, *size).emulate_media(color_scheme=scheme)
        result = Axe().run(page, options=options)
        assert "color-contrast" in {rule["id"] for rule in result.response["passes"]}
        if result.violations_count:
            found[name] = result.generate_snapshot()
    return found
