"""Handbook of a practice in one language: every card, in the order of the binder."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from kitdocs.document.blocks import Block, Code, FormGrid
from kitdocs.document.card import Card, Handbook
from kitdocs.handbook.brief import Brief, brief_for
from kitdocs.handbook.cards.audit import care, current_cards
from kitdocs.handbook.cards.chair_side import chair_side
from kitdocs.handbook.cards.chairs import poster, pouch_list, refill_chair
from kitdocs.handbook.cards.first_day import first_day, key
from kitdocs.handbook.cards.guides import load_guides, pouch_guide, spore_test, storage_map, wrap_guide
from kitdocs.handbook.cards.instruments import instrument_card
from kitdocs.handbook.cards.mishaps import mishaps
from kitdocs.handbook.cards.packing import makers_caution
from kitdocs.handbook.cards.procedure_map import procedure_map
from kitdocs.handbook.cards.repair import repair
from kitdocs.handbook.cards.sets import refill_add_on, refill_set, template
from kitdocs.handbook.cards.stock import stock_card
from kitdocs.handbook.codes import finished
from kitdocs.handbook.forms import forms
from kitdocs.handbook.labels import label_sheets
from kitdocs.handbook.lookup import instrument_finder, procedure_finder
from kitdocs.handbook.move.build_move import move_cards
from kitdocs.handbook.prose import page_card
from kitdocs.planning.legibility import POSTER_READ_FROM_MM, letter_height_mm
from kitdocs.planning.plan import Plan
from kitdocs.practice.kinds import AREAS
from kitdocs.practice.model import Practice
from kitdocs.revisions.replacements import with_history


def make_handbook(practice: Practice, plan: Plan, language: str | None = None) -> Handbook:
    """Return the handbook in `language`, by default the first one that the practice lists.

    Raises `KitdocsError` when kitdocs has no words for the language.
    """
    brief = brief_for(practice, plan, language)
    cards = [finished(brief, card) for card in _with_makers_caution(brief, _cards(brief))]
    cards += [finished(brief, card) for card in _with_makers_caution(brief, move_cards(brief, cards))]
    cards.append(finished(brief, current_cards(brief, [card for card in cards if card.is_kept])))
    cards.append(finished(brief, care(brief)))
    return with_history(replace(_handbook(brief, cards), labels=tuple(label_sheets(brief))), practice.printed)


def make_handbooks(practice: Practice, plan: Plan) -> tuple[Handbook, ...]:
    """Return the handbook in every language that the practice lists."""
    return tuple(make_handbook(practice, plan, language) for language in practice.settings.languages)


def cards_of_fixed_size(practice: Practice, plan: Plan) -> Iterator[Handbook]:
    """Yield for every language a handbook of nothing but what is cut, stuck on or hung up in one size, with labels."""
    for language in practice.settings.languages:
        brief = brief_for(practice, plan, language)
        cards = (poster(brief), *_wall_cards(brief), *(template(brief, set_id) for set_id in practice.sets))
        handbook = _handbook(brief, [finished(brief, card) for card in _with_makers_caution(brief, cards)])
        yield replace(handbook, labels=tuple(label_sheets(brief)))


def _handbook(brief: Brief, cards: Iterable[Card]) -> Handbook:
    settings = brief.practice.settings
    return Handbook(
        practice=brief.say(settings.name),
        language=brief.language,
        words=brief.words,
        languages=settings.languages,
        site=settings.site or "",
        lead=next((f"{brief.say(first.who)} ({brief.say(first.where)})" for first in settings.ask), ""),
        rounds=tuple(sorted(brief.practice.room.rounds or brief.practice.room.restock)),
        paper=settings.paper,
        card_mm=(settings.card.width, settings.card.height),
        text_mm=letter_height_mm(settings.reading_distance),
        poster_from_mm=POSTER_READ_FROM_MM,
        cards=tuple(cards),
    )


def _cards(brief: Brief) -> Iterator[Card]:
    practice = brief.practice
    yield first_day(brief)
    yield mishaps(brief)
    yield chair_side(brief)
    yield key(brief)
    yield poster(brief)
    yield procedure_map(brief)
    yield instrument_card(brief)
    for page in practice.pages:
        yield page_card(brief, page)
    yield from _wall_cards(brief)
    for chair in practice.chairs:
        yield pouch_list(brief, chair)
    for set_id in practice.sets:
        yield template(brief, set_id)
    yield from _of_the_room(brief)
    yield from forms(brief)
    yield from instrument_finder(brief)
    yield from procedure_finder(brief)


def _wall_cards(brief: Brief) -> Iterator[Card]:
    practice = brief.practice
    for chair in practice.chairs:
        yield refill_chair(brief, chair)
    for pouch, packed in practice.pouches.items():
        if packed.kind == "add-on":
            yield refill_add_on(brief, pouch)
    for set_id in practice.sets:
        yield refill_set(brief, set_id)


def _with_makers_caution(brief: Brief, cards: Iterable[Card]) -> Iterator[Card]:
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


def _before_the_end(blocks: tuple[Block, ...], added: Block) -> tuple[Block, ...]:
    """Add a block last, but before a grid, which fills its page, and before the code at the foot."""
    *most, last = blocks
    return (*most, added, last) if isinstance(last, Code | FormGrid) else (*blocks, added)


def _of_the_room(brief: Brief) -> list[Card]:
    """Return the guides of the reprocessing room, area by area as work goes through it."""
    guides = [repair(brief), wrap_guide(brief), pouch_guide(brief), *load_guides(brief), spore_test(brief)]
    guides += [storage_map(brief), stock_card(brief)]
    return sorted(guides, key=lambda card: AREAS.index(card.area) if card.area else len(AREAS))
