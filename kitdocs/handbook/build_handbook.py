"""Handbook of a practice in one language: every card, in the order of the binder."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kitdocs.document.card import Card, Handbook
from kitdocs.errors import KitdocsError
from kitdocs.extensions import extensions
from kitdocs.handbook.book import handbook_of, with_code, with_makers_caution
from kitdocs.handbook.brief import Brief, brief_for
from kitdocs.handbook.cards.audit import care, current_cards
from kitdocs.handbook.cards.chair_side import chair_side
from kitdocs.handbook.cards.chairs import poster, pouch_list
from kitdocs.handbook.cards.first_day import first_day, key
from kitdocs.handbook.cards.guides import pouch_guide, spore_test, storage_map, wrap_guide
from kitdocs.handbook.cards.instruments import instrument_card
from kitdocs.handbook.cards.load_guide import load_guides
from kitdocs.handbook.cards.mishaps import mishaps
from kitdocs.handbook.cards.procedure_map import procedure_map
from kitdocs.handbook.cards.repair import repair
from kitdocs.handbook.cards.sets import template
from kitdocs.handbook.cards.stock import stock_card
from kitdocs.handbook.cards.store_map import store_poster
from kitdocs.handbook.codes import finished
from kitdocs.handbook.fixed_size import wall_cards
from kitdocs.handbook.forms import forms
from kitdocs.handbook.from_starter import with_starter_mark
from kitdocs.handbook.labels import label_sheets
from kitdocs.handbook.lookup import instrument_finder, procedure_finder
from kitdocs.handbook.move.build_move import move_cards
from kitdocs.handbook.prose import page_card
from kitdocs.handbook.refill_round import round_page
from kitdocs.planning.plan import Plan
from kitdocs.practice.kinds import AREAS
from kitdocs.practice.model import Practice
from kitdocs.revisions.replacements import with_history


def make_handbook(practice: Practice, plan: Plan, language: str | None = None) -> Handbook:
    """Return the handbook in `language`, by default the first one that the practice lists.

    Raises `KitdocsError` when kitdocs has no words for the language.
    """
    brief = brief_for(practice, plan, language)
    cards = [_finished(brief, card) for card in with_makers_caution(brief, _cards(brief))]
    cards += [_finished(brief, card) for card in with_makers_caution(brief, move_cards(brief, cards))]
    cards.append(_finished(brief, current_cards(brief, [card for card in cards if card.is_kept])))
    cards.append(_finished(brief, care(brief)))
    return with_history(replace(handbook_of(brief, cards), labels=tuple(label_sheets(brief))), practice.printed)


def _finished(brief: Brief, card: Card) -> Card:
    return finished(brief, with_code(brief, with_starter_mark(brief, card)))


def make_handbooks(practice: Practice, plan: Plan) -> tuple[Handbook, ...]:
    """Return the handbook in every language that the practice lists."""
    return tuple(make_handbook(practice, plan, language) for language in practice.settings.languages)


def _cards(brief: Brief) -> Iterator[Card]:
    practice = brief.practice
    yield mishaps(brief)
    yield first_day(brief)
    yield chair_side(brief)
    yield key(brief)
    yield poster(brief)
    yield from store_poster(brief)
    yield procedure_map(brief)
    yield instrument_card(brief)
    for page in practice.pages:
        yield page_card(brief, page)
    yield from wall_cards(brief)
    for chair in practice.chairs:
        yield pouch_list(brief, chair)
    for set_id in practice.sets:
        yield template(brief, set_id)
    yield from _of_the_room(brief)
    yield from forms(brief)
    yield from _added(brief)
    yield from round_page(brief)
    yield from instrument_finder(brief)
    yield from procedure_finder(brief)


def _added(brief: Brief) -> Iterator[Card]:
    """Yield the cards that other packages add: each has the name of its entry point as its id."""
    for name, make in extensions("cards"):
        card: Card | None = make(brief)
        if card and card.id != f"own/{name}":
            raise KitdocsError(
                f"the card '{name}' of another package has the id '{card.id}'; it has to be 'own/{name}'"
            )
        if card:
            yield card


def _of_the_room(brief: Brief) -> list[Card]:
    """Return the guides of the reprocessing room, area by area as work goes through it."""
    guides = [repair(brief), wrap_guide(brief), pouch_guide(brief), *load_guides(brief), spore_test(brief)]
    guides += [storage_map(brief), stock_card(brief)]
    return sorted(guides, key=lambda card: AREAS.index(card.area) if card.area else len(AREAS))
