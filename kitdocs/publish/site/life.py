"""Earlier editions as pages show them: the changes since, and a page for a card that is gone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from babel.dates import format_date

from kitdocs.document.card import Card, Handbook
from kitdocs.document.history import WithdrawnCard
from kitdocs.practice.problems import PublishError
from kitdocs.publish.site.frame import Here, card_page, earlier_page
from kitdocs.publish.site.links import CardLink, card_link

#: Of so many printings a page tells what is different; of an older one no more than that it is out of date.
PAST_EDITIONS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Printing:
    """What was printed of a card on one day and hangs no more as it is now.

    `editions` are those of that day, the one of this language first; `printed` is the day in words, `changes` says in
    sentences what differs now.
    """

    editions: tuple[str, ...]
    printed: str
    changes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierPage:
    """What is different since each of the last printings of a card, beside the card's page.

    A page of its own, because the card's page is opened a hundred times for each time that an old card is scanned.
    """

    here: Here
    card: CardLink
    printings: tuple[Printing, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WithdrawnPage:
    """Stands where the page of a printed card was, so that whoever scans the card learns that it is gone.

    `editions` are those that were printed in any language, `lead` is whom to ask.
    """

    here: Here
    card: WithdrawnCard
    editions: tuple[str, ...]
    lead: str


def printings(handbook: Handbook, card: Card, handbooks: Sequence[Handbook]) -> tuple[Printing, ...]:
    """The last printings of the card in this language, the latest first, with the other languages' of the same day."""
    present = {book.card(card.id).edition for book in handbooks if card.id in book.by_id}
    others = [past for book in handbooks if book is not handbook for past in book.earlier.get(card.id, ())]
    told = set(present)
    found = []
    for own in handbook.earlier.get(card.id, ())[:PAST_EDITIONS]:
        that_day = [own.edition, *(past.edition for past in others if past.printed == own.printed)]
        editions = tuple(edition for edition in dict.fromkeys(that_day) if edition not in told)
        told.update(editions)
        if editions:
            day = in_words(handbook.language, own.printed)
            found.append(Printing(editions=editions, printed=day, changes=own.changes))
    return tuple(found)


def recorded_editions(handbook: Handbook, card: Card, handbooks: Sequence[Handbook]) -> tuple[str, ...]:
    """Every other edition that was printed of the card, in any language, this language's first."""
    present = {book.card(card.id).edition for book in handbooks if card.id in book.by_id}
    books = sorted(handbooks, key=lambda book: book is not handbook)
    printed = [past.edition for book in books for past in book.earlier.get(card.id, ())]
    return tuple(edition for edition in dict.fromkeys(printed) if edition not in present)


def earlier_pages(handbook: Handbook, handbooks: Sequence[Handbook]) -> tuple[EarlierPage, ...]:
    """The page of every card that hung in another edition."""
    found = ((card, printings(handbook, card, handbooks)) for card in handbook.kept)
    return tuple(_earlier(handbook, card, past, handbooks) for card, past in found if past)


def _earlier(handbook: Handbook, card: Card, past: tuple[Printing, ...], handbooks: Sequence[Handbook]) -> EarlierPage:
    title = handbook.words("bench.past.title", title=card.title)
    here = Here(handbook=handbook, path=earlier_page(handbook, card.id), title=title, handbooks=handbooks)
    return EarlierPage(here=here, card=card_link(here, card), printings=past)


def whom_to_ask(handbook: Handbook) -> str:
    """The practice's own role with where it is found, or the role that every practice has."""
    return handbook.lead or handbook.words("site.verdict.lead")


def in_words(language: str, day: str) -> str:
    """A day (ISO 8601) as the language writes it: ``March 3, 2026``."""
    return format_date(date.fromisoformat(day[:10]), format="long", locale=language)


def withdrawn_pages(handbook: Handbook, handbooks: Sequence[Handbook]) -> tuple[WithdrawnPage, ...]:
    """A page for every printed card that is no more; an address that the handbook has again is that card's own."""
    taken = {card_id.casefold() for card_id in handbook.by_id}
    gone = {card.id.casefold(): card for card in reversed(handbook.withdrawn)}
    return tuple(_withdrawn(handbook, card, handbooks) for key, card in sorted(gone.items()) if key not in taken)


def _withdrawn(handbook: Handbook, card: WithdrawnCard, handbooks: Sequence[Handbook]) -> WithdrawnPage:
    if not all(part and part.strip(".") for part in card.id.split("/")) or "\\" in card.id:
        raise PublishError(f"the withdrawn card '{card.id}' has no address on the site")
    here = Here(handbook=handbook, path=card_page(handbook, card.id), title=card.title, handbooks=handbooks)
    others = [other.editions for book in handbooks for other in book.withdrawn if other.id == card.id]
    editions = dict.fromkeys(edition for printed in (card.editions, *others) for edition in printed)
    return WithdrawnPage(here=here, card=card, editions=tuple(editions), lead=whom_to_ask(handbook))
