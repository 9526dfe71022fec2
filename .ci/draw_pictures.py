"""Draw the pictures of the README and of the gallery, from what kitdocs makes of the example practice today.

Run it with the tests' environment, Chromium installed: ``.venv/bin/python .ci/draw_pictures.py``. It takes a minute.
"""

from __future__ import annotations

import io
import json
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

import pypdfium2
from PIL import Image
from playwright.sync_api import Browser, sync_playwright

import kitdocs

ROOT = Path(__file__).parent.parent
EXAMPLE = ROOT / "example_practice"
PICTURE, GALLERY = ROOT / ".ci" / "readme.png", ROOT / ".ci" / "gallery"
WIDTH, HEIGHT, MARGIN = 1600, 760, 36
PAPER, EDGE = "#e8e8ea", "#b8b8bc"
#: Pixels of a picture's longer side in the gallery.
LONGEST = 900
PHONE, DESK = (390, 760), (1180, 820)


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """A page of a PDF: the first that has these words."""

    file: str
    words: str
    shows: str


@dataclass(frozen=True, kw_only=True)
class Screen:
    """The first view of a page; `at` is what follows its address."""

    page: str
    at: str = ""
    size: tuple[int, int] = PHONE
    shows: str


#: The pictures of the gallery in their order, by the names of their files.
PICTURES: Mapping[str, Sheet | Screen] = {
    "refill-cards": Sheet(
        file="refill-cards", words="Refill: Chair 1", shows="Refill cards for the wall, two to a sheet, with crop marks"
    ),
    "chair-on-a-phone": Screen(
        page="r/chair-1.html", at="#{edition}", shows="What a phone shows when the code is scanned"
    ),
    "round-on-a-phone": Screen(page="round.html", shows="The round of all chairs on one page"),
    "mishap-on-a-phone": Screen(
        page="mishaps.html", at="#dropped", shows="Something went wrong: what to do, step by step"
    ),
    "set-template": Sheet(file="set-templates", words="Template: Core set", shows="A set template at true size"),
    "pouch-list": Sheet(
        file="pouch-lists", words="Bending pouch", shows="What goes into a pouch, and how it is packed"
    ),
    "load-guide": Sheet(file="binder", words="load/sterilize.html", shows="What fits into a load"),
    "poster": Sheet(file="poster", words="Teal", shows="The poster: chairs, sets and whom to ask"),
    "mishaps": Sheet(file="mishaps", words="dropped", shows="Mishaps as a wall sheet"),
    "labels": Sheet(file="labels", words="Chair 1", shows="Labels for chairs, cassettes, pouches, drawers and shelves"),
    "report": Sheet(file="plan", words="Where a set's time goes", shows="A page of the planning report"),
    "map-of-the-store": Sheet(file="binder", words="storage-map.html", shows="Where each pack stands"),
    "home": Screen(page="index.html", size=DESK, shows="The handbook's first page"),
    "sets-to-own": Screen(page="plan/sets.html", size=DESK, shows="How many of each set, and why"),
}


class _Quiet(SimpleHTTPRequestHandler):
    """Says nothing of each file that is asked for."""

    def log_message(self, *_: object) -> None:
        pass

    def copyfile(self, *files: object) -> None:
        with suppress(BrokenPipeError):  # the browser has gone to another page
            super().copyfile(*files)  # type: ignore[arg-type]


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """Give the address at which the files of a folder are answered."""
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(_Quiet, directory=str(folder))) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


def sheet_of(pdf: Path, words: str, scale: float) -> Image.Image:
    """Return the first page of a PDF that has these words; `scale` is pixels a point."""
    for page in pypdfium2.PdfDocument(pdf):
        if words.casefold() in page.get_textpage().get_text_bounded().casefold():
            return page.render(scale=scale).to_pil().convert("RGB")
    raise SystemExit(f"{pdf.name} has no page with “{words}”")


def screen_of(browser: Browser, address: str, size: tuple[int, int]) -> Image.Image:
    tab = browser.new_page(viewport={"width": size[0], "height": size[1]}, device_scale_factor=1.5)
    tab.goto(address)
    tab.wait_for_load_state("networkidle")
    shot = tab.screenshot()
    tab.close()
    return Image.open(io.BytesIO(shot)).convert("RGB")


def card_of(sheet: Image.Image, card_mm: tuple[float, float], scale: float) -> Image.Image:
    """Return the first card of a sheet: centred from left to right, its top where the colour of its band begins."""
    mm = scale * 72 / 25.4
    left = (sheet.width - card_mm[0] * mm) / 2
    column = [sheet.getpixel((int(left + 2 * mm), y)) for y in range(sheet.height)]
    deep = int(10 * mm)  # a ruler and marks above it are not as deep
    top = next(y for y, here in enumerate(column) if here != (255, 255, 255) and set(column[y : y + deep]) == {here})
    return sheet.crop((int(left), int(top + 3 * mm), int(left + card_mm[0] * mm), int(top + (3 + card_mm[1]) * mm)))


def beside_each_other(card: Image.Image, phone: Image.Image, template: Image.Image) -> Image.Image:
    """Return the README's picture."""
    picture = Image.new("RGB", (WIDTH, HEIGHT), PAPER)
    high = HEIGHT - 2 * MARGIN
    phone = phone.resize((round(phone.width * high / phone.height), high), Image.Resampling.LANCZOS)
    wide = (WIDTH - phone.width - 4 * MARGIN) // 2
    card, template = (
        one.resize((wide, round(one.height * wide / one.width)), Image.Resampling.LANCZOS) for one in (card, template)
    )
    picture.paste(card, (MARGIN, (HEIGHT - card.height) // 2))
    picture.paste(phone, (wide + 2 * MARGIN, MARGIN))
    picture.paste(template, (wide + phone.width + 3 * MARGIN, (HEIGHT - template.height) // 2))
    return picture


def framed(picture: Image.Image) -> Image.Image:
    """Return a picture as large as the gallery has it, with a line around it, for paper is white."""
    small = picture.copy()
    small.thumbnail((LONGEST, LONGEST), Image.Resampling.LANCZOS)
    around = Image.new("RGB", (small.width + 2, small.height + 2), EDGE)
    around.paste(small, (1, 1))
    return around


def save(picture: Image.Image, file: Path) -> None:
    picture.quantize(128, method=Image.Quantize.FASTOCTREE).save(file, optimize=True)
    print(f"{file.relative_to(ROOT)}: {picture.width} × {picture.height}, {file.stat().st_size // 1024} KiB")


def page_of_all() -> str:
    """Return the gallery as Markdown."""
    rows = [f"## {one.shows}\n\n![{one.shows}]({name}.png)\n" for name, one in PICTURES.items()]
    return "\n".join(["# What kitdocs makes of the example practice\n", *rows])


def main() -> None:
    size = kitdocs.read_practice(EXAMPLE).settings.card
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        out = Path(folder) / "out"
        subprocess.run(
            [sys.executable, "-m", "kitdocs", "handbook", str(EXAMPLE), "--to", str(out), "--quiet"], check=True
        )
        cards = json.loads((out / "cards.json").read_text("utf-8"))["cards"]
        edition = next(card["edition"] for card in cards if card["id"] == "r/chair-1")
        chromium = shutil.which("chromium") or shutil.which("chrome")
        browser = play.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        GALLERY.mkdir(exist_ok=True)
        with served(out) as site:
            pictures = {
                name: sheet_of(out / "print" / f"{one.file}.pdf", one.words, 1.5)
                if isinstance(one, Sheet)
                else screen_of(browser, f"{site}/{one.page}{one.at.format(edition=edition)}", one.size)
                for name, one in PICTURES.items()
            }
        browser.close()
        card = card_of(sheet_of(out / "print" / "refill-cards.pdf", "Refill: Chair 1", 3), (size.width, size.height), 3)
        template = sheet_of(out / "print" / "set-templates.pdf", "Template: Core set", 2)
    for name, picture in pictures.items():
        save(framed(picture), GALLERY / f"{name}.png")
    save(beside_each_other(card, pictures["chair-on-a-phone"], template), PICTURE)
    (GALLERY / "README.md").write_text(page_of_all(), "utf-8")


if __name__ == "__main__":
    main()
