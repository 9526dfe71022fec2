"""What the pages stand on: style, scripts, typeface, pictures, colours, and the words that scripts say."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path

import fontpkg_atkinson_hyperlegible as typeface

from kitdocs.document.blocks import Band, Picture
from kitdocs.document.card import Handbook
from kitdocs.document.catalog import MessageCatalog
from kitdocs.document.purpose import Purpose
from kitdocs.document.walk import pictures_in
from kitdocs.practice.problems import PublishError
from kitdocs.publish.site.frame import colour_class, picture_file
from kitdocs.publish.site.minify import light, minify_svg
from kitdocs.shipped import shipped_folder

#: A drawing up to this width stands in a row, a step or a table, never larger than it is.
SMALL_MM = 60.0

#: The words that scripts say on every page.
EVERY_PAGE = ("site.script", "bench.script")

#: The styles that the pages use. The licence (OFL) travels with them.
STYLES = ("Regular", "Bold", "Italic")


def assets() -> Mapping[str, bytes]:
    """Everything that is the same for every practice, by path."""
    folder = shipped_folder("site_templates") / "site" / "assets"
    found = {f"assets/{path.name}": light(path.read_bytes(), path.suffix) for path in sorted(folder.iterdir())}
    fonts = Path(typeface.ROOT) / "files"
    for style in STYLES:
        name = f"AtkinsonHyperlegible-{style}.ttf"
        found[f"assets/fonts/{name}"] = (fonts / name).read_bytes()
    found["assets/fonts/LICENSE.txt"] = (Path(typeface.ROOT) / "LICENSE").read_bytes()
    return found


def script_words(words: MessageCatalog, *parts: str) -> bytes:
    """The sentences that scripts say, as a script: a page opened from a folder may not fetch."""
    said = {key: sentence for part in parts for key, sentence in words.part(part).items()}
    text = json.dumps(said, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return f"self.KITDOCS_WORDS = {{ ...self.KITDOCS_WORDS, ...{text} }};\n".encode()


def pictures(handbooks: Sequence[Handbook]) -> Mapping[str, bytes]:
    """The pictures of every card, each name once, and the colours of the bands.

    Raises `PublishError` when one name stands for two pictures.
    """
    drawn: dict[str, Picture] = {}
    colours: dict[str, tuple[str, str]] = {}
    for block in (block for book in handbooks for card in book.cards for block in card.blocks):
        if isinstance(block, Band):
            colours[colour_class(block.colour, block.ink)] = (block.colour, block.ink)
        for picture in pictures_in(block, without=Purpose.PAPER):
            path = picture_file(picture)
            if drawn.setdefault(path, picture).data != picture.data:
                raise PublishError(f"two different pictures are called '{picture.name}'")
    found = {path: _as_shown(picture) for path, picture in drawn.items()}
    found["assets/colours.css"] = "".join(
        f".{name} {{ --band: {colour}; --on-band: {ink}; }}\n" for name, (colour, ink) in sorted(colours.items())
    ).encode()
    return found


def _as_shown(picture: Picture) -> bytes:
    """A drawing with as many decimals as can be seen: a small one is not enlarged, so has four dots a millimetre."""
    if picture.format != "svg":
        return picture.data
    return minify_svg(picture.data, 1 if picture.width_mm <= SMALL_MM else 2)
