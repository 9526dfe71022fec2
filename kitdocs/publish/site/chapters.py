"""Pages that are read one after the other: a group's comparison, the guide."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from kitdocs.document.card import Card, Handbook
from kitdocs.publish.site.frame import Here, card_page
from kitdocs.publish.site.links import CardLink
from kitdocs.publish.site.templates import rendered


@dataclass(frozen=True, slots=True, kw_only=True)
class ChapterPage:
    """One card. `contents` names the way back to the first page."""

    here: Here
    card: Card
    contents: str
    next: CardLink | None


def chapter_pages(
    book: Handbook, books: Sequence[Handbook], *, contents: str, template: str = "chapter.html.j2"
) -> Iterator[tuple[str, bytes]]:
    """Yield the page of every card of one language, by path, as a template draws it."""
    for card, after in zip_longest(book.cards, book.cards[1:]):
        here = Here(handbook=book, path=card_page(book, card.id), title=card.title, handbooks=books)
        onward = plain_link(here, after) if after else None
        page = ChapterPage(here=here, card=card, contents=contents, next=onward)
        yield here.path, rendered(template, page)


def plain_link(here: Here, card: Card) -> CardLink:
    """A card by its title alone."""
    return CardLink(title=card.title, subtitle="", href=here.card(card.id), band=None)
