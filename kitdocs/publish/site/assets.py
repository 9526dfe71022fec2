"""Files that all pages share: style, scripts, typeface, pictures, and the words that scripts say."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence

from kitdocs.document.blocks import Picture
from kitdocs.document.card import Handbook
from kitdocs.document.catalog import MessageCatalog
from kitdocs.document.purpose import Purpose
from kitdocs.document.walk import pictures_in
from kitdocs.practice.problems import PublishError
from kitdocs.publish.site.frame import picture_file
from kitdocs.shipped import shipped_folder

#: The words that scripts say on every page.
EVERY_PAGE = ("site.script", "bench.script")


def assets() -> Mapping[str, bytes]:
    """Everything that is the same for every practice, by path."""
    templates = shipped_folder("site_templates")
    paths = sorted((templates / "site" / "assets").iterdir())
    fonts = [*sorted((templates / "site" / "fonts").iterdir()), templates / "fonts" / "LICENSE.txt"]
    return {
        **{f"assets/{path.name}": path.read_bytes() for path in paths},
        **{f"assets/fonts/{path.name}": path.read_bytes() for path in fonts},
    }


def script_words(words: MessageCatalog, *parts: str) -> bytes:
    """The sentences that scripts say, as a script: a page opened from a folder may not fetch."""
    said = {key: sentence for part in parts for key, sentence in words.part(part).items()}
    text = json.dumps(said, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return f"self.KITDOCS_WORDS = {{ ...self.KITDOCS_WORDS, ...{text} }};\n".encode()


def pictures(handbooks: Sequence[Handbook]) -> Mapping[str, bytes]:
    """The pictures of every card, each name once.

    Raises `PublishError` when one name stands for two pictures.
    """
    drawn: dict[str, Picture] = {}
    for block in (block for book in handbooks for card in book.cards for block in card.blocks):
        for picture in pictures_in(block, without=Purpose.PAPER):
            path = picture_file(picture)
            if drawn.setdefault(path, picture).data != picture.data:
                raise PublishError(f"two different pictures are called '{picture.name}'")
    return {path: picture.data for path, picture in drawn.items()}
