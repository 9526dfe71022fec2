"""Draw the README's picture from the example practice: a refill card, its page on a phone, a set template.

Run it with the tests' environment, Chromium installed: ``.venv/bin/python .ci/draw_readme_picture.py``.
"""

from __future__ import annotations

import io
import shutil
import tempfile
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

import pypdfium2
from PIL import Image
from playwright.sync_api import sync_playwright

import kitdocs
from kitdocs.publish.print.documents import REFILL_CARDS, sheets
from kitdocs.publish.print.rendering import Rendering

ROOT = Path(__file__).parent.parent
PICTURE = ROOT / ".ci" / "readme.png"
WIDTH, HEIGHT, MARGIN = 1600, 760, 36
PAPER = "#e8e8ea"
CARD, SET = "r/chair-1", "t/core"


class _Quiet(SimpleHTTPRequestHandler):
    """Says nothing of each file that is asked for."""

    def log_message(self, *_: object) -> None:
        pass


def page(pdf: bytes, number: int, scale: float) -> Image.Image:
    """A page of a PDF as a picture; `scale` is pixels a point."""
    return pypdfium2.PdfDocument(pdf)[number].render(scale=scale).to_pil().convert("RGB")


def phone_page(handbooks: tuple[kitdocs.Handbook, ...], card: str) -> Image.Image:
    """Return a card's page as a phone shows it after scanning the card."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        kitdocs.publish_handbook(handbooks, to=Path(folder) / "out")
        chromium = shutil.which("chromium") or shutil.which("chrome")
        browser = play.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        tab = browser.new_page(viewport={"width": 390, "height": 760}, device_scale_factor=1.5)
        handler = partial(_Quiet, directory=str(Path(folder) / "out"))
        with ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
            Thread(target=server.serve_forever, daemon=True).start()
            tab.goto(f"http://127.0.0.1:{server.server_port}/{card}.html#{handbooks[0].card(card).edition}")
            tab.wait_for_load_state("networkidle")
            shot = tab.screenshot()
            server.shutdown()
        browser.close()
    return Image.open(io.BytesIO(shot)).convert("RGB")


def main() -> None:
    practice = kitdocs.read_practice(ROOT / "example_practice")
    handbooks = kitdocs.make_handbooks(practice, kitdocs.make_plan(practice))
    first = handbooks[0]
    card_mm = first.card_mm
    sheet = page(REFILL_CARDS.render(Rendering(first)), 0, 3)
    mm = 3 * 72 / 25.4
    across = (sheet.width - card_mm[0] * mm) / 2
    # The first card of the sheet lies centred from left to right, its top where the first ink of a band is.
    top = next(y for y in range(sheet.height) if sheet.getpixel((int(across + 8 * mm), y)) != (255, 255, 255))
    box = (int(across), int(top + 3 * mm), int(across + card_mm[0] * mm), int(top + (3 + card_mm[1]) * mm))
    card = sheet.crop(box)
    template = page(sheets(first, [first.card(SET)], title=SET), 0, 2)
    phone = phone_page(handbooks, CARD)

    picture = Image.new("RGB", (WIDTH, HEIGHT), PAPER)
    phone_height = HEIGHT - 2 * MARGIN
    phone = phone.resize((round(phone.width * phone_height / phone.height), phone_height), Image.Resampling.LANCZOS)
    left_width = (WIDTH - phone.width - 4 * MARGIN) // 2
    card = card.resize((left_width, round(card.height * left_width / card.width)), Image.Resampling.LANCZOS)
    template = template.resize(
        (left_width, round(template.height * left_width / template.width)), Image.Resampling.LANCZOS
    )
    picture.paste(card, (MARGIN, (HEIGHT - card.height) // 2))
    picture.paste(phone, (left_width + 2 * MARGIN, MARGIN))
    picture.paste(template, (left_width + phone.width + 3 * MARGIN, (HEIGHT - template.height) // 2))
    picture.quantize(255, method=Image.Quantize.FASTOCTREE).save(PICTURE, optimize=True)
    print(f"{PICTURE.relative_to(ROOT)}: {picture.width} × {picture.height}, {PICTURE.stat().st_size // 1024} KiB")


if __name__ == "__main__":
    main()
