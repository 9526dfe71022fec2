"""Cards of one size, whatever stands on them: what is cut, stuck on or hung up. Their words may have no room."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kitdocs.document.card import Card, Handbook
from kitdocs.handbook.book import handbook_of, with_makers_caution
from kitdocs.handbook.brief import Brief, brief_for
from kitdocs.handbook.cards.chairs import poster, refill_chair
from kitdocs.handbook.cards.sets import refill_add_on, refill_set, template
from kitdocs.handbook.cards.store_map import store_poster
from kitdocs.handbook.codes import finished
from kitdocs.handbook.from_starter import with_starter_mark
from kitdocs.handbook.labels import label_sheets
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice


def cards_of_fixed_size(practice: Practice, plan: Plan) -> Iterator[Handbook]:
    """Yield for every language a handbook of nothing but what is cut, stuck on or hung up in one size, with labels.

    Of codes there is only the room that they take.
    """
    for language in practice.settings.languages:
        brief = brief_for(practice, plan, language)
        posters, templates = (poster(brief), *store_poster(brief)), (template(brief, s) for s in practice.sets)
        cards = (*posters, *wall_cards(brief), *templates)
        marked = (with_starter_mark(brief, card) for card in with_makers_caution(brief, cards))
        measured = [finished(brief, card, drawn=False) for card in marked]
        yield replace(handbook_of(brief, measured), labels=tuple(label_sheets(brief)))


def wall_cards(brief: Brief) -> Iterator[Card]:
    """Yield the wall cards, in the order of the binder."""
    practice = brief.practice
    for chair in practice.chairs:
        yield refill_chair(brief, chair)
    for pouch, packed in practice.pouches.items():
        if packed.kind == "add-on":
            yield refill_add_on(brief, pouch)
    for set_id in practice.sets:
        yield refill_set(brief, set_id)
