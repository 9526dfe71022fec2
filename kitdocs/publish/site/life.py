"""What hung before, as pages show it: past editions with what is different now, and a page for a card that is gone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from babel.dates import format_date

from kitdocs.handbook.card import Card, Handbook
from kitdocs.handbook.earlier import Withdrawn
from kitdocs.practice.problems import PublishError
from kitdocs.publish.site.frame import Frame, Here, card_page, frame

#: A page carries so many of the editions that hung before; of an older one it says no more than that it is out of date.
PAST_EDITIONS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class PastEdition:
    """An edition that hung before. `printed` is its date in words, `changes` says in sentences what differs now.

    One that was printed in another language has no sentences of its own: those of `told_by` hold for it.
    """

    edition: str
    printed: str
    changes: tuple[str, ...] = ()
    told_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WithdrawnPage:
    """Stands where the page of a printed card was, so that whoever scans the card learns that it is gone."""

    here: Here
    frame: Frame
    card: Withdrawn


def past_editions(handbook: Handbook, card: Card, handbooks: Sequence[Handbook]) -> tuple[PastEdition, ...]:
    """The last editions of the card, in this language first, then those that were printed with them in another."""
    own = handbook.earlier.get(card.id, ())[:PAST_EDITIONS]
    found = {
        past.edition: PastEdition(
            edition=past.edition, printed=in_words(handbook.language, past.printed), changes=past.changes
        )
        for past in reversed(own)
    }
    on_the_day = {past.printed: found[past.edition] for past in reversed(own)}
    for past in (past for book in handbooks for past in book.earlier.get(card.id, ())):
        same = on_the_day.get(past.printed)
        if same and past.edition not in found:
            found[past.edition] = PastEdition(edition=past.edition, printed=same.printed, told_by=same.edition)
    present = {book.card(card.id).edition for book in handbooks if card.id in book.by_id}
    return tuple(past for edition, past in found.items() if edition not in present)


def in_words(language: str, day: str) -> str:
    """A day (ISO 8601) as the language writes it: ``March 3, 2026``."""
    return format_date(date.fromisoformat(day[:10]), format="long", locale=language)


def withdrawn_pages(handbook: Handbook, handbooks: Sequence[Handbook]) -> tuple[WithdrawnPage, ...]:
    """A page for every printed card that is no more; an address that the handbook has again is that card's own."""
    taken = {card_id.casefold() for card_id in handbook.by_id}
    gone = {card.id.casefold(): card for card in reversed(handbook.withdrawn)}
    return tuple(_withdrawn(handbook, card, handbooks) for key, card in sorted(gone.items()) if key not in taken)


def _withdrawn(handbook: Handbook, card: Withdrawn, handbooks: Sequence[Handbook]) -> WithdrawnPage:
    if not all(part and part.strip(".") for part in card.id.split("/")) or "\\" in card.id:
        raise PublishError(f"the withdrawn card '{card.id}' has no address on the site")
    here = Here(handbook=handbook, path=card_page(handbook, card.id))
    return WithdrawnPage(here=here, frame=frame(here, card.title, handbooks), card=card)
