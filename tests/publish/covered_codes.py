"""Codes of which a tenth is covered, and what two independent readers read of them."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping

import numpy as np
import zxingcpp
from PIL import Image
from pyzbar import pyzbar

from kitdocs.drawings.codes import QUIET, CodeDrawing

#: What covers a code: a label, a hole on dark ground, a smear.
TONES = {"white": 255, "black": 0, "grey": 128}
SHARE = 0.1

#: A finder pattern is 7 modules wide, and the separator beside it one more (ISO/IEC 18004).
FINDER = 8

#: A phone looks many times a second, from changing distances. It has read a code when one of so many looks has; sizes
#: are those of a scan of 300 dpi.
LOOKS = (1.0, 0.8, 0.6, 1.5)


def scanned(drawing: CodeDrawing, dpi: int = 300) -> Image.Image:
    """A code as a scan of a print has it, in grey."""
    side = round(drawing.width_mm / 25.4 * dpi)
    dark = np.zeros((drawing.modules, drawing.modules), dtype=np.uint8)
    for x, y, width in _runs(drawing):
        dark[y, x : x + width] = 1
    large = Image.fromarray(255 - 255 * dark).resize((drawing.modules * 20,) * 2, Image.Resampling.NEAREST)
    return large.resize((side, side), Image.Resampling.BOX)


def covered(image: Image.Image, modules: int, tone: int, patches: random.Random) -> Image.Image:
    """The same with a tenth of the symbol under one patch, anywhere but on the finders; `modules` with the white."""
    symbol = modules - 2 * QUIET
    shape = patches.choice((0.5, 1.0, 2.0))
    width, height = (SHARE * shape) ** 0.5 * symbol, (SHARE / shape) ** 0.5 * symbol
    while True:
        left, top = patches.uniform(0, symbol - width), patches.uniform(0, symbol - height)
        right, bottom = left + width, top + height
        far = symbol - FINDER
        beside = top < FINDER and (left < FINDER or right > far)
        if not beside and not (bottom > far and left < FINDER):
            break
    spoiled = np.array(image)
    module = image.width / modules
    x, y, x2, y2 = (round((edge + QUIET) * module) for edge in (left, top, right, bottom))
    spoiled[y:y2, x:x2] = tone
    return Image.fromarray(spoiled)


def _by_zxing(image: Image.Image) -> list[str]:
    return [found.text for found in zxingcpp.read_barcodes(image)]


def _by_zbar(image: Image.Image) -> list[str]:
    return [found.data.decode() for found in pyzbar.decode(image, symbols=[pyzbar.ZBarSymbol.QRCODE])]


READERS: Mapping[str, Callable[[Image.Image], list[str]]] = {"zxing-cpp": _by_zxing, "zbar": _by_zbar}


def looks_needed(image: Image.Image, text: str, reader: str) -> int:
    """How many looks a reader needs; one more than there are when it does not read the code."""
    for number, size in enumerate(LOOKS, 1):
        seen = image if size == 1 else image.resize((round(image.width * size),) * 2, Image.Resampling.BICUBIC)
        if READERS[reader](seen) == [text]:
            return number
    return len(LOOKS) + 1


def _runs(drawing: CodeDrawing) -> Iterator[tuple[int, int, int]]:
    """Left, top and width of each run of dark modules, as the drawing's path has them."""
    path = drawing.svg.split(' d="')[1].split('"')[0]
    for run in path.removeprefix("M").removesuffix("z").split("zM"):
        place, width, *_ = run.split("h")
        x, y = place.split()
        yield int(x), int(y), int(width.removesuffix("v1"))
