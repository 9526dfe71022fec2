"""How a technician fares on the first morning with the example's site: taps, scrolls, seconds. A script, not a test.

    python tests/bench/bench_first_morning.py [--shots FOLDER] [SITE]

What `tests/browser/first_morning.py` does and counts, on the phone and at the tablet on the wall, in English and in
Spanish. Scrolls are heights of the screen moved over; wrong are ways that had to be left again, and questions that
were not the right one. Seconds of the machine are from each tap until the page is drawn; those of a person follow the
keystroke-level model (see there), in which reading, walking and counting have no part.

Before the first measurement was answered by changes, and after:

    phone, 390 × 844                 taps    scrolls      wrong      person s
    a full round of seven chairs     23, 23  2.9 -> 0.8   0, 0       66 -> 59
      the same in Spanish            lost    3.4 -> 0.8   lost -> 0        59
    a dropped pouch                  2, 2    0.8 -> 0     1 -> 0      7 -> 5
    a wet load                       2, 2    0, 0         0, 0        5, 5
    an unknown plier                 2, 2    0, 0         0, 0        5, 5

The list to fetch opened at its second row: in Spanish the first was never seen. Drawers of four rows were taller than
the screen. "Pack dropped?" had no word for a pouch, and a spill "on the floor" was nearer. At the tablet the round
took 23 taps, everything else 2 or fewer, before and after; whoever had a wet load in mind opened the guide of the
sterilizer, which answered 0.8 to 1.4 screens down, until the way for what went wrong said what it answers.
"""

from __future__ import annotations

import argparse
import itertools
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "browser")]

from first_morning import HEADINGS, SCREENS, TASKS, LostError, at_the_device  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402
from visits import Server, write  # noqa: E402

from kitdocs.handbook.build_handbook import make_handbooks  # noqa: E402
from kitdocs.planning.plan import make_plan  # noqa: E402
from kitdocs.practice.reading.reader import read_practice  # noqa: E402
from kitdocs.publish.site.build_site import site  # noqa: E402


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("site", nargs="?", type=Path)
    asked.add_argument("--shots", type=Path, help="a folder for a picture of each step")
    wanted = asked.parse_args()
    with tempfile.TemporaryDirectory() as made, sync_playwright() as playwright:
        server = Server(wanted.site or example_site(Path(made)))
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        for screen in SCREENS:
            print(f"\n{screen.name}, {screen.width} × {screen.height}\n{'':34}{HEADINGS}")
            for (name, done), language in itertools.product(TASKS.items(), ("en", "es")):
                shots = wanted.shots and wanted.shots / f"{screen.name}, {name}, {language}"
                with at_the_device(browser, server.address, screen, language, shots) as technician:
                    try:
                        done(technician, language)
                        lost = ""
                    except LostError as where:
                        lost = f"   LOST {where}"
                    print(f"{name + ' ' + language:32}  {technician.count.told()}{lost}", flush=True)
        browser.close()
        server.stop()


def example_site(folder: Path) -> Path:
    practice = read_practice(ROOT / "example_practice")
    return write(dict(site(make_handbooks(practice, make_plan(practice, days=100)))), folder)


if __name__ == "__main__":
    main()
