"""What Lighthouse, an auditor of web pages that is not ours, finds on a page of each kind: a script, not a test.

    python tests/bench/bench_lighthouse.py [SITE]

It needs Node.js with npx, which fetches the version below from npm's registry, and Debian's chromium. The example's
site (or the folder SITE) is asked as a phone asks for it, compressed as hosts send it, with Lighthouse's own simulated
slow 4G and slow processor. Asked for are 100 for accessibility and best practices, and 90 for performance, from which
on Lighthouse calls it good; its marks for search engines are left out, as a handbook asks not to be found by them. What
costs marks is printed below a page, and the exit code is 1 if a page has less than is asked for.
"""

from __future__ import annotations

import functools
import http.server
import json
import os
import shutil
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

sys.path[:0] = [str(Path(__file__).parent)]

from bench_slow_network import Compressed, example_site  # noqa: E402

VERSION = "12.8.2"
ASKED = {"accessibility": 100, "best-practices": 100, "performance": 90}
PAGES = (
    "index.html",
    "es/index.html",
    "round.html",
    "search.html",
    "wall.html",
    "mishaps.html",
    "by-picture.html",
    "instruments.html",
    "storage-map.html",
    "chair-side.html",
    "current.html",
    "r/chair-1.html",
    "es/r/chair-1.html",
    "s/core.html",
    "t/core.html",
    "load/sterilize.html",
    "pages/house-rules.html",
)


def main() -> int:
    with tempfile.TemporaryDirectory() as made:
        folder = Path(sys.argv[1]) if len(sys.argv) > 1 else example_site(Path(made))
        server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Compressed, directory=str(folder)))
        threading.Thread(target=server.serve_forever, daemon=True).start()
        pages = [page for page in PAGES if (folder / page).is_file()]
        poor = sum(told(page, report(f"http://127.0.0.1:{server.server_port}/{page}")) for page in pages)
    print(f"{len(pages)} pages, {poor} with less than is asked for")
    return int(poor > 0 or not pages)


def report(address: str) -> dict[str, Any]:
    """Lighthouse's report of one page, as it writes it for programs."""
    command = [shutil.which("npx") or "npx", "--yes", f"lighthouse@{VERSION}", address, "--quiet", "--output=json"]
    flags = ["--chrome-flags=--headless=new --no-sandbox", f"--only-categories={','.join(ASKED)}"]
    done = subprocess.run(
        [*command, *flags],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "CHROME_PATH": shutil.which("chromium") or ""},
    )
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def told(page: str, found: dict[str, Any]) -> bool:
    """Prints the marks of a page and what costs some; whether one is less than asked for."""
    marks = {name: round(100 * found["categories"][name]["score"]) for name in ASKED}
    print(f"{page:24}", *(f"{name} {mark}" for name, mark in marks.items()), sep="   ")
    for line in losses(found):
        print("      ", line)
    return any(marks[name] < asked for name, asked in ASKED.items())


def losses(found: dict[str, Any]) -> Iterator[str]:
    for category in found["categories"].values():
        for rule in category["auditRefs"]:
            audit = found["audits"][rule["id"]]
            if rule["weight"] and audit["score"] is not None and audit["score"] < 1:
                yield f"{rule['id']} {audit['score']:.2f} {audit.get('displayValue', '')}".rstrip()


if __name__ == "__main__":
    sys.exit(main())
