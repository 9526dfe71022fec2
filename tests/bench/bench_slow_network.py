"""How soon a scanned card can be read and judged on a bad network with a slow phone: a script, not a test.

    python tests/bench/bench_slow_network.py [rounds] [SITE]

The example's site (or the folder SITE), compressed as hosts send it, in Chromium, on a phone's first visit: nothing is
kept yet. The network is slow 3G as WebPageTest has it ("3G Slow": 400 kbit/s each way, 400 ms a round trip), set by the
DevTools protocol, which adds the delay to each request; the processor is four times slower. First view is the browser's
first contentful paint, verdict the moment when the page says that the card is current, both after the visit began. At
most 1.5 and 3 s are asked for. Wall time needs a quiet machine: the medians of the rounds count.
"""

from __future__ import annotations

import contextlib
import functools
import gzip
import http.server
import os
import statistics
import sys
import tempfile
import threading
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT)]

from playwright.sync_api import Browser, sync_playwright  # noqa: E402

from kitdocs.handbook.build_handbook import make_handbooks  # noqa: E402
from kitdocs.planning.plan import make_plan  # noqa: E402
from kitdocs.practice.reading.reader import read_practice  # noqa: E402
from kitdocs.publish.folder import write_folder  # noqa: E402
from kitdocs.publish.site.build_site import site  # noqa: E402

BYTES_PER_SECOND = 400_000 / 8
ROUND_TRIP_MS = 400
SLOWER = 4
ASKED = {"first view": 1.5, "verdict": 3.0}
#: More processes than this for each core, this script among them, and the times are those of a busy machine.
QUIET = 1.0
#: A card of each look: a band, a set, the longest page, all chairs.
CARDS = ("r/chair-1", "s/core", "mishaps", "chair-side")
NAMED = {".js": "text/javascript", ".webmanifest": "application/manifest+json", ".woff2": "font/woff2"}
SQUEEZED = (".html", ".css", ".js", ".json", ".svg", ".webmanifest")

#: Notes when the page has its verdict, as close to the moment as a page can.
WATCH = """
new MutationObserver(() => {
  const place = document.querySelector('[data-verdict]');
  if (place && place.dataset.state === 'current' && !self.judgedAt) self.judgedAt = performance.now();
}).observe(document, { subtree: true, childList: true, attributes: true });
"""


class Compressed(http.server.SimpleHTTPRequestHandler):
    """A host that compresses what shrinks, and keeps the connection open."""

    protocol_version = "HTTP/1.1"
    extensions_map = {**http.server.SimpleHTTPRequestHandler.extensions_map, **NAMED}  # noqa: RUF012

    def do_GET(self) -> None:
        path = Path(self.translate_path(self.path))
        if not path.is_file():
            self.send_error(404)
            return
        content = path.read_bytes()
        self.send_response(200)
        self.send_header("Content-Type", self.guess_type(path))
        if path.suffix in SQUEEZED:
            content = gzip.compress(content)
            self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

    def handle(self) -> None:
        with contextlib.suppress(ConnectionError):  # the browser has left
            super().handle()

    def log_message(self, *args: object) -> None:
        pass


def main() -> None:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    with tempfile.TemporaryDirectory() as made:
        folder = Path(sys.argv[2]) if len(sys.argv) > 2 else example_site(Path(made))
        server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Compressed, directory=str(folder)))
        threading.Thread(target=server.serve_forever, daemon=True).start()
        address = f"http://127.0.0.1:{server.server_port}/"
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path="/usr/bin/chromium")
            visit(browser, address, CARDS[0], edition(browser, address, CARDS[0]))  # the browser itself warms up
            print(f"medians of {rounds} first visits, in seconds, the slowest in brackets")
            busy_before = others_at_work()
            for card in CARDS:
                scanned = edition(browser, address, card)
                took = [visit(browser, address, card, scanned) for _ in range(rounds)]
                print(f"{card:12}", *(said(name, [times[name] for times in took]) for name in ASKED), sep="   ")
            browser.close()
        busy = max(busy_before, others_at_work())
        if busy > QUIET:
            print(f"Not a quiet machine ({busy:.1f} at work for each core): these times judge nothing.")


def others_at_work() -> float:
    """How many processes wanted each core in the last minute."""
    return os.getloadavg()[0] / (os.cpu_count() or 1)


def example_site(folder: Path) -> Path:
    practice = read_practice(ROOT / "example_practice")
    plan = make_plan(practice, days=100)
    write_folder(folder / "site", site(make_handbooks(practice, plan), ()))
    return folder / "site"


def edition(browser: Browser, address: str, card: str) -> str:
    """The present edition of a card, as its code carries it."""
    page = browser.new_page()
    page.goto(f"{address}{card}.html")
    told = page.locator("[data-editions]").get_attribute("data-editions") or ""
    page.close()
    return told.split()[0]


def visit(browser: Browser, address: str, card: str, scanned: str) -> dict[str, float]:
    """Seconds until the first view and the verdict of a phone that was never here."""
    context = browser.new_context(viewport={"width": 390, "height": 844}, is_mobile=True, has_touch=True)
    page = context.new_page()
    page.add_init_script(WATCH)
    devtools = context.new_cdp_session(page)
    devtools.send("Network.enable")
    slow = {"downloadThroughput": BYTES_PER_SECOND, "uploadThroughput": BYTES_PER_SECOND}
    devtools.send("Network.emulateNetworkConditions", {"offline": False, "latency": ROUND_TRIP_MS, **slow})
    devtools.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    page.goto(f"{address}{card}.html#{scanned}", wait_until="commit")
    page.locator("[data-verdict][data-state=current]").wait_for(timeout=30_000)
    painted = page.evaluate("performance.getEntriesByName('first-contentful-paint')[0].startTime")
    judged = page.evaluate("self.judgedAt")
    context.close()
    return {"first view": painted / 1000, "verdict": judged / 1000}


def said(name: str, seconds: list[float]) -> str:
    middle = statistics.median(seconds)
    kept = "" if middle <= ASKED[name] else f"  more than the {ASKED[name]} asked for"
    return f"{name} {middle:.2f} ({max(seconds):.2f}){kept}"


if __name__ == "__main__":
    main()
