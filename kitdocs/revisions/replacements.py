"""What has to be exchanged so that what hangs is what the handbook says, and what the site says of earlier editions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import MessageCatalog
from kitdocs.document.history import EarlierEdition, Replacement, WithdrawnCard
from kitdocs.practice.printed import Hanging, PrintRecord
from kitdocs.revisions.compare import differences
from kitdocs.revisions.loose_leaf import strays
from kitdocs.revisions.record import printed_card
from kitdocs.revisions.sentences import Difference, marks, sentences

#: What is different from older editions is not told one by one: almost everything may be.
_TOLD = 6


def exchanges(record: PrintRecord, handbooks: Sequence[Handbook]) -> Mapping[str, tuple[Replacement, ...]]:
    """What to exchange, by language: first what the handbook has, in its order, then what it no longer has.

    A language in which nothing is to be done is left out; one that is printed no more is among them.
    """
    by_language = {handbook.language: handbook for handbook in handbooks}
    found: dict[str, tuple[Replacement, ...]] = {}
    for language in dict.fromkeys((*by_language, *(language for _, language in record.hanging))):
        handbook = by_language.get(language)
        cards = handbook.kept if handbook else ()
        of = [*(_new_cards(record, handbook, cards) if handbook else ()), *_gone(record, cards, language)]
        if of:
            found[language] = tuple(of)
    return found


def _new_cards(record: PrintRecord, handbook: Handbook, cards: Sequence[Card]) -> Iterator[Replacement]:
    for card in cards:
        hung = record.hanging.get((card.id, handbook.language))
        editions = record.disputed.get((card.id, handbook.language), ())
        if hung and hung.card.edition == card.edition and not editions:
            continue
        found = differences(hung.card, printed_card(card, handbook.language)) if hung else ()
        yield Replacement(
            card=card.id,
            action="replace" if hung else "add",
            title=card.title,
            subtitle=card.subtitle,
            hangs=card.hangs,
            old_title=hung.card.title if hung else "",
            old_subtitle=hung.card.subtitle if hung else "",
            old_section=hung.card.section if hung else "",
            old_hangs=hung.card.hangs if hung else "",
            old_edition=hung.card.edition if hung else "",
            new_edition=card.edition,
            changes=(*_disputed(editions, handbook.words), *_told(card, found, handbook.words)),
            marked=marks(found),
            sheets=hung.card.sheets if hung else (),
        )


def _disputed(editions: Sequence[str], words: MessageCatalog) -> Iterator[str]:
    if editions:
        yield words("changes.disputed", editions=", ".join(editions))


def _told(card: Card, found: Sequence[Difference], words: MessageCatalog) -> tuple[str, ...]:
    """The differences as sentences. Of the list of current cards only that it lists other editions: those are told."""
    listed = card.kind == "current-cards" and found
    return (words("changes.listed"),) if listed else sentences(found, words)


def _gone(record: PrintRecord, cards: Sequence[Card], language: str) -> Iterator[Replacement]:
    there = {card.id for card in cards}
    for (card_id, of), hung in record.hanging.items():
        if of == language and card_id not in there:
            yield Replacement(
                card=card_id,
                action="take-out",
                title=hung.card.title,
                subtitle=hung.card.subtitle,
                hangs=hung.card.hangs,
                old_title=hung.card.title,
                old_subtitle=hung.card.subtitle,
                old_section=hung.card.section,
                old_hangs=hung.card.hangs,
                old_edition=hung.card.edition,
                sheets=hung.card.sheets,
            )


def with_history(handbook: Handbook, record: PrintRecord) -> Handbook:
    """The handbook with what was printed before: earlier editions, withdrawn cards, the labels of its sheets."""
    if not record.acts:
        return handbook
    cards = {card.id: card for card in handbook.cards}
    printings = {card: of for (card, language), of in record.printings.items() if language == handbook.language}
    earlier = {
        id_: found
        for id_, of in printings.items()
        if id_ in cards and (found := _earlier(cards[id_], handbook.language, of, handbook.words))
    }
    return replace(
        handbook,
        earlier=earlier,
        withdrawn=tuple(_withdrawn(id_, of) for id_, of in printings.items() if id_ not in cards),
        sheets=_sheets(printings, cards),
    )


def _earlier(
    card: Card, language: str, printings: Sequence[Hanging], words: MessageCatalog
) -> tuple[EarlierEdition, ...]:
    """Each other edition once, with the day on which it was printed last; the latest first."""
    others = {hung.card.edition: hung for hung in printings if hung.card.edition != card.edition}
    if not others:
        return ()
    now = printed_card(card, language)
    latest_first = sorted(others.values(), key=printings.index, reverse=True)
    return tuple(
        EarlierEdition(
            edition=hung.card.edition,
            printed=hung.date,
            changes=_told(card, differences(hung.card, now), words)
            if newer < _TOLD
            else (words("changes.older", n=newer),),
        )
        for newer, hung in enumerate(latest_first)
    )


def _sheets(printings: Mapping[str, Sequence[Hanging]], cards: Mapping[str, Card]) -> dict[str, tuple[str, ...]]:
    """Every label that was ever given: none of them is given to another card.

    Those that a card had in another section stay taken under a name that is no card's.
    """
    own: dict[str, tuple[str, ...]] = {}
    left: dict[str, tuple[str, ...]] = {}
    for id_, of in printings.items():
        here, elsewhere = _labels(of)
        own |= {id_: here} if here else {}
        left |= {f"{id_} (moved)": elsewhere} if elsewhere else {}
    before = {id_: of[-1].card.section for id_, of in printings.items()}
    astray = strays(own, {id_: card.section for id_, card in cards.items()}, before)
    moved = {f"{id_} (moved)": (*left.get(f"{id_} (moved)", ()), *own[id_]) for id_ in astray}
    return {id_: labels for id_, labels in own.items() if id_ not in astray} | left | moved


def _labels(printings: Sequence[Hanging]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The labels of a card's sheets in the section in which it was printed last, and those in other sections."""
    section = printings[-1].card.section
    ever = dict.fromkeys(label for hung in printings for label in hung.card.sheets)
    here = dict.fromkeys(label for hung in printings if hung.card.section == section for label in hung.card.sheets)
    return tuple(here), tuple(label for label in ever if label not in here)


def _withdrawn(id_: str, printings: Sequence[Hanging]) -> WithdrawnCard:
    last = printings[-1].card
    editions = dict.fromkeys(hung.card.edition for hung in reversed(printings))
    return WithdrawnCard(id=id_, title=last.title, subtitle=last.subtitle, hangs=last.hangs, editions=tuple(editions))
