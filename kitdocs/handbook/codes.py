"""QR code on a card: the address of its page with the edition, or, without a site, the text of the card."""

from __future__ import annotations

from dataclasses import replace

from kitdocs.document.blocks import Block, Code, Picture
from kitdocs.document.card import Card
from kitdocs.document.edition import LENGTH as EDITION_LENGTH
from kitdocs.document.edition import with_edition
from kitdocs.drawings.codes import Level, code, room_for_code, smallest_version
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.pictures import drawn_once
from kitdocs.planning.legibility import USUAL_CODE_MM, code_modules, code_side_mm

#: The largest symbol within 40 mm has 69 + 8 modules of 0.5 mm: version 13, which holds 241 bytes at level Q.
#: Source: ISO/IEC 18004 (tests/SOURCES.md).
LARGEST_VERSION = 13
LARGEST_PAYLOAD_BYTES = 241

#: Bytes left for the text of the card beside a line for its edition.
TEXT_BYTES = LARGEST_PAYLOAD_BYTES - len("\n") - EDITION_LENGTH


def code_block(brief: Brief, page: str, text: str, *, usual_mm: float = USUAL_CODE_MM) -> Code:
    """Return the code of the card whose page is `page`, without edition and picture; see `finished`.

    `text` is the card in a few words: the content of the code if there is no site. `usual_mm` is the code's side where
    it need not be larger.
    """
    site = brief.practice.settings.site
    where = address(brief, page)
    return Code(
        payload=where or shortened(text),
        address=where.split("://")[-1],
        edition="",
        note=brief.words("card.code.open" if site else "card.code.text"),
        picture=Picture(name="", data=b"", width_mm=usual_mm, height_mm=usual_mm),
    )


def address(brief: Brief, page: str) -> str:
    """Return the web address of a page, or nothing without a site."""
    settings = brief.practice.settings
    if not settings.site:
        return ""
    folder = "" if brief.language == settings.languages[0] else f"{brief.language}/"
    return f"{settings.site.rstrip('/')}/{folder}{page}.html"


def shortened(text: str) -> str:
    """Return as many whole lines of `text` as a code of 40 mm holds, with ``…`` where some are left out."""
    if len(text.encode()) <= TEXT_BYTES:
        return text
    kept: list[str] = []
    for line in text.splitlines():
        if len("\n".join([*kept, line, "…"]).encode()) > TEXT_BYTES:
            return "\n".join([*kept, "…"])
        kept.append(line)
    return "\n".join(kept)


def finished(brief: Brief, card: Card, *, drawn: bool = True) -> Card:
    """Return the card with its edition, and the edition in its code. Not `drawn`: with room for the code."""
    card = with_edition(card)

    def encoded(blocks: tuple[Block, ...]) -> tuple[Block, ...]:
        return tuple(_with_edition(brief, block, card, drawn) if isinstance(block, Code) else block for block in blocks)

    return replace(card, front=encoded(card.front), back=encoded(card.back))


def _with_edition(brief: Brief, block: Code, card: Card, drawn: bool) -> Code:
    block = replace(block, edition=card.edition)
    level, side = _level_and_side(brief.practice.settings.scanning_distance, block)
    drawing = code(block.encoded, level=level, side_mm=side) if drawn else room_for_code(side)
    alt = brief.words("card.code.alt", title=card.title, edition=card.edition)
    return replace(block, picture=drawn_once("code", drawing, alt))


def _level_and_side(distance: float, block: Code) -> tuple[Level, float]:
    """Return level Q and the side that it needs; the next level, H, where the symbol is no larger for it."""

    def side(level: Level) -> float:
        modules = code_modules(smallest_version(block.encoded, level=level))
        return code_side_mm(distance, modules, block.picture.width_mm)

    level: Level = "H" if side("H") <= side("Q") else "Q"
    return level, side(level)
