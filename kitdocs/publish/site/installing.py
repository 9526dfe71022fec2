"""The site as a program of its own on a phone or tablet: a manifest for each language, and its icon.

The icon is drawn from the practice: a tile in the colour of each chair. On its white ground it is also what a device
shows while the site opens (W3C Web Application Manifest: `background_color`, `icons`).
"""

from __future__ import annotations

import io
import json
from collections.abc import Iterator, Mapping, Sequence
from math import ceil, sqrt
from typing import TypeAlias

from PIL import Image, ImageDraw

from kitdocs.document.card import Handbook
from kitdocs.publish.site.frame import CARD_INDEX, MANIFEST, band_of

_GROUND, INK = "#ffffff", "#1a1a1a"
_SIDE = 96
"""Of the icon, in units of its drawing."""
WITHIN, SAFE = 6, 21
"""The margin around the tiles; and where a device may cut the icon to a circle of 80 % of its side."""
_MOST = 16
_PIXELS = (192, 512)

#: Left, top, side and colour of a tile.
Tile: TypeAlias = tuple[float, float, float, str]


def installing(handbooks: Sequence[Handbook]) -> Mapping[str, bytes]:
    """The manifest of each language, and the icons that they and the pages name, by path."""
    colours = chair_colours(handbooks[0])
    icons = {f"assets/icon-{pixels}.png": icon_png(colours, pixels, WITHIN) for pixels in _PIXELS}
    return {
        **{handbook.folder + MANIFEST: _manifest(handbook) for handbook in handbooks},
        "assets/icon.svg": icon_svg(colours),
        **icons,
        "assets/icon-maskable.png": icon_png(colours, _PIXELS[-1], SAFE),
    }


def chair_colours(handbook: Handbook) -> tuple[str, ...]:
    """The colours of the chairs in their order; ink alone where there is no chair."""
    bands = (band_of(card) for card in handbook.cards if card.kind == "refill-chair")
    return tuple(band.colour for band in bands if band)[:_MOST] or (INK,)


def _manifest(handbook: Handbook) -> bytes:
    up = "../" * handbook.folder.count("/")
    images = [("icon.svg", "any", "image/svg+xml", "any")]
    images += [(f"icon-{pixels}.png", f"{pixels}x{pixels}", "image/png", "any") for pixels in _PIXELS]
    images.append(("icon-maskable.png", f"{_PIXELS[-1]}x{_PIXELS[-1]}", "image/png", "maskable"))
    said = {
        "name": handbook.practice,
        "lang": handbook.language,
        "dir": handbook.words.direction,
        "start_url": CARD_INDEX,
        "scope": up or "./",
        "display": "standalone",
        "background_color": _GROUND,
        "theme_color": _GROUND,
        "icons": [
            {"src": f"{up}assets/{name}", "sizes": sizes, "type": type_, "purpose": purpose}
            for name, sizes, type_, purpose in images
        ],
    }
    return json.dumps(said, ensure_ascii=False, indent=1).encode()


def _tiles(colours: Sequence[str], margin: float) -> Iterator[Tile]:
    """Yield the tiles, row by row, in a square within the margin."""
    columns = ceil(sqrt(len(colours)))
    rows = ceil(len(colours) / columns)
    step = (_SIDE - 2 * margin) / columns
    top = (_SIDE - rows * step) / 2
    for n, colour in enumerate(colours):
        yield margin + n % columns * step + step * 0.06, top + n // columns * step + step * 0.06, step * 0.88, colour


def icon_svg(colours: Sequence[str]) -> bytes:
    """The icon as a drawing, a tile in each colour."""
    tiles = "".join(
        f'<rect x="{left:.2f}" y="{top:.2f}" width="{side:.2f}" height="{side:.2f}" fill="{colour}" stroke="{INK}"'
        ' stroke-width="2"/>'
        for left, top, side, colour in _tiles(colours, WITHIN)
    )
    ground = f'<rect width="{_SIDE}" height="{_SIDE}" rx="12" fill="{_GROUND}"/>'
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_SIDE} {_SIDE}">{ground}{tiles}</svg>\n'.encode()


def icon_png(colours: Sequence[str], pixels: int, margin: float) -> bytes:
    """The icon as a picture so many pixels wide; its margin is `WITHIN`, or `SAFE` where it may be cut to a circle."""
    image = Image.new("RGB", (pixels, pixels), _GROUND)
    pen, scale = ImageDraw.Draw(image), pixels / _SIDE
    for left, top, side, colour in _tiles(colours, margin):
        corners = [round(edge * scale) for edge in (left, top, left + side, top + side)]
        pen.rectangle(corners, fill=colour, outline=INK, width=max(1, round(2 * scale)))
    file = io.BytesIO()
    image.quantize(256).save(file, "PNG", optimize=True)
    return file.getvalue()
