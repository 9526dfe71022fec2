"""QR code on a card: the address of its page with the edition, or, without a site, the text of the card."""

from __future__ import annotations

from dataclasses import replace

from kitdocs.document.blocks import Block, Code, Picture
from kitdocs.document.card import Card
from kitdocs.document.edition import LENGTH as EDITION_LENGTH
from kitdocs.document.edition import with_edition
from kitdocs.drawings.codes import code, room_for_code, smallest_version
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.pictures import drawn_once
from kitdocs.planning.legibility import USUAL_CODE_MM, code_modules, code_side_mm

#: The largest symbol within 40 mm has 69 + 8 modules of 0.5 mm: version 13, which holds 241 bytes at level Q.
#: Source: ISO/IEC 18004 (tests/SOURCES.md).
LARGEST_VERSION = 13
LARGEST_PAYLOAD_BYTES = 241

#: Bytes left for the text of the card beside a line for its edition.
TEXT_BYTES = LARGEST_PAYLOAD_BYTES - len("\n") - EDITION_LENGTH


def code_block(brief: Brief, page: str, text: str) -> Code:
    """Return the code of the card whose page is `page`, without edition and picture; see `finished`.

    `text` is the card in a few words: the content of the code if there is no site.
    """
    site = brief.practice.settings.site
    where = address(brief, page)
    return Code(
        payload=where or shortened(text),
        address=where.split("://")[-1],
        edition="",
        note=brief.words("card.code.open" if site else "card.code.text"),
        picture=Picture(name="", data=b"", width_mm=USUAL_CODE_MM, height_mm=USUAL_CODE_MM),
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
    modules = code_modules(smallest_version(block.encoded, level="Q"))
    side = max(USUAL_CODE_MM, code_side_mm(brief.practice.settings.scanning_distance, modules))
    drawing = code(block.encoded, level="Q", side_mm=side) if drawn else room_for_code(side)
    alt = brief.words("card.code.alt", title=card.title, edition=card.edition)
    return replace(block, picture=drawn_once("code", drawing, alt))
