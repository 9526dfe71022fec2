"""The frame of a handbook, whatever cards it has, and whose word counts on each of its sections."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from kitdocs.document.blocks import Block, Code, FormGrid
from kitdocs.document.card import Card, Handbook
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.packing import makers_caution
from kitdocs.handbook.codes import code_block
from kitdocs.planning.legibility import POSTER_READ_FROM_MM, SHEET_CODE_MM, letter_height_mm


def handbook_of(brief: Brief, cards: Iterable[Card]) -> Handbook:
    """Return a handbook of these cards."""
    settings = brief.practice.settings
    return Handbook(
        practice=brief.say(settings.name),
        language=brief.language,
        words=brief.words,
        languages=settings.languages,
        site=settings.site or "",
        lead=next((f"{brief.say(first.who)} ({brief.say(first.where)})" for first in settings.ask), ""),
        ask=tuple((brief.say(contact.who), brief.say(contact.where)) for contact in settings.ask),
        rounds=tuple(sorted(brief.practice.room.rounds or brief.practice.room.restock)),
        back=settings.wall_tablet.back,
        night=(settings.wall_tablet.night.start, settings.wall_tablet.night.end),
        paper=settings.paper,
        card_mm=(settings.card.width, settings.card.height),
        text_mm=letter_height_mm(settings.reading_distance),
        poster_from_mm=POSTER_READ_FROM_MM,
        cards=tuple(cards),
    )


def with_makers_caution(brief: Brief, cards: Iterable[Card]) -> Iterator[Card]:
    """Say whose word counts on the first sheet of each section, and on no other.

    Wall cards have no room for it and hang among sheets that say it.
    """
    cautioned: set[str] = set()
    for card in cards:
        if card.form in ("wall", "poster", "page") or card.section in cautioned:
            yield card
        else:
            cautioned.add(card.section)
            yield replace(card, front=_before_the_end(card.front, makers_caution(brief)))


def with_code(brief: Brief, card: Card) -> Card:
    """Return a card with its code, so that whoever holds it sees whether it is current.

    What is printed for one occasion has none, nor has what is on the site only. Without a site, a full page of text has
    none, either: there is no page to open.
    """
    coded = any(isinstance(block, Code) for block in card.blocks)
    if coded or not card.is_kept or not brief.practice.settings.site:
        return card
    code = code_block(brief, card.id, card.title, usual_mm=SHEET_CODE_MM)
    return replace(card, front=_before_the_end(card.front, code))


def _before_the_end(blocks: tuple[Block, ...], added: Block) -> tuple[Block, ...]:
    """Add a block last, but before a grid, which fills its page, and before the code at the foot."""
    *most, last = blocks
    return (*most, added, last) if isinstance(last, Code | FormGrid) else (*blocks, added)
