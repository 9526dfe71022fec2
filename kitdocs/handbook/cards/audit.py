"""Cards to check by: every card with its edition, place by place; and the rules, each with where it comes from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import get_args

from kitdocs.document.blocks import Cell, Matrix, said
from kitdocs.document.card import Card, PostingLocation, is_name
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import facts, table
from kitdocs.handbook.rules.quote import RULES, rule_text
from kitdocs.handbook.rules.rule import DOCUMENTS, Rule
from kitdocs.practice.message import Joined

#: Common practice, no source: a list of effective pages names each sheet with its edition, so that a manual can be
#: checked; here it is in the order in which a walk from the entrance meets the places.
PLACES: tuple[str, ...] = get_args(PostingLocation)


def current_cards(brief: Brief, cards: Sequence[Card]) -> Card:
    """Return the list of `cards`, which have their editions already; this list is not on itself."""
    words = brief.words
    how = said(words("card.current.how"))
    found = {place: [card for card in cards if card.place == place] for place in PLACES}
    return Card(
        id="current",
        kind="current-cards",
        title=words("card.current.title"),
        section=words("card.section.audit"),
        hangs=words("card.hangs.binder"),
        front=(how, *(_place(brief, place, here) for place, here in found.items() if here)),
    )


def _place(brief: Brief, place: str, cards: Sequence[Card]) -> Matrix:
    """Return what hangs or lies at one place; where exactly, when that is not the same for all of it."""
    words = brief.words
    spots = list(dict.fromkeys(card.hangs for card in cards))
    exact = len(spots) > 1
    columns = ("card", *(("hangs",) if exact else ()), "edition", "seen", "initials")
    rows = (
        (Cell(text=_named(card), link=card.id), *((card.hangs,) if exact else ()), card.edition, Cell(tick=True), "")
        for card in cards
    )
    title = words(f"card.current.place.{place}") if exact or not spots[0] else spots[0]
    return table(title, words.each("card.current", *columns), rows)


def _named(card: Card) -> str:
    """Return the card's name on one line, with the colour or code by which it is found: ``Refill: Chair 1 · Teal``.

    Where several copies are posted, their number follows: ``Procedure map × 2``.
    """
    name = f"{card.title} · {card.subtitle}" if is_name(card.subtitle) else card.title
    return f"{name} × {card.copies}" if card.copies > 1 else name


def care(brief: Brief) -> Card:
    """Return the rules of the practice, topic by topic, with their sources."""
    words = brief.words
    documents = facts(*DOCUMENTS.items(), title=words("rules.care.documents"))
    return Card(
        id="care",
        kind="care",
        form="page",
        title=words("rules.care.title"),
        subtitle=words("rules.care.subtitle"),
        section=words("card.section.audit"),
        front=(said(words("rules.care.intro")), *_topics(brief), documents),
    )


def source_text(brief: Brief, rule: Rule) -> str:
    """Return where a rule comes from: ``CDC 2003, VI.F.3 (read)``; a practice's own rule has no other source."""
    if f"rules.{rule.id}" in brief.practice.words.get(brief.language, {}):
        return brief.words("rules.care.own")
    cited = tuple(
        f"{source.document}, {source.passage} ({brief.words(f'rules.care.how.{source.how}')})"
        for source in rule.sources
    )
    return brief.words.say(Joined(cited, "; ")) or brief.words("rules.care.none")


def _topics(brief: Brief) -> Iterator[Matrix]:
    head = (brief.words("rules.care.rule"), brief.words("rules.care.source"))
    topics = dict.fromkeys(rule.topic for rule in RULES.values())
    for topic in topics:
        rules = [rule for rule in RULES.values() if rule.topic == topic and rule.applies(brief.practice)]
        rows = ((rule_text(brief, rule.id), source_text(brief, rule)) for rule in rules)
        yield table(brief.words(f"rules.care.topic.{topic}"), head, rows)
