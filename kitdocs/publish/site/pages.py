"""The pages of the site: one typed context per kind of page, and the templates that draw them."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeAlias
from urllib.parse import urlsplit

from kitdocs.document.blocks import Band, Block, Caution, Code, Facts, Heading, Items, Steps
from kitdocs.document.card import Card, Handbook
from kitdocs.publish.site.frame import (
    MISSING_PAGE,
    SEARCH_PAGE,
    Here,
    PrintedCopy,
    band_of,
    card_page,
    earlier_page,
    names_cards,
)
from kitdocs.publish.site.home import HomePage, home_page
from kitdocs.publish.site.life import (
    EarlierPage,
    WithdrawnPage,
    earlier_pages,
    printings,
    recorded_editions,
    whom_to_ask,
    withdrawn_pages,
)
from kitdocs.publish.site.links import CardLink, SpotLink, card_link, cards_that_name, spot_links
from kitdocs.publish.site.rounds import RoundPage, round_page
from kitdocs.publish.site.search import Entry, entries
from kitdocs.publish.site.templates import rendered
from kitdocs.publish.site.wall_tablet import WallPage, wall_page


@dataclass(frozen=True, slots=True, kw_only=True)
class CardPage:
    """One card. `editions` is its present edition in every language, the page's own first, `past` those that hung
    before, of which the page at `earlier` tells what is different now, `older` those that hung before them. `lead` is
    whom to ask about the card. `rounds` are the minutes after midnight at which its ticks begin anew.

    `paper` is the PDF that holds the card, if there is one; `audit` the address of the list of current cards.
    `plates`: the card has blocks that need the style of large drawings, tables, folds and running text. `taken_by` are
    the procedures that take what is on the card, `stands` the places of the store at which that stands.
    """

    here: Here
    card: Card
    band: Band | None
    front: tuple[Block, ...]
    editions: tuple[str, ...]
    address: str
    ticks: bool
    rounds: tuple[int, ...]
    plates: bool
    taken_by: tuple[CardLink, ...]
    stands: tuple[SpotLink, ...]
    past: tuple[str, ...]
    older: tuple[str, ...]
    earlier: str
    lead: str
    paper: PrintedCopy | None
    audit: str
    previous: CardLink | None
    next: CardLink | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LookupPage:
    """A card without a printed copy, to look something up. `up` is the page on which it was chosen."""

    here: Here
    card: Card
    up: CardLink | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchPage:
    """Everything from A to Z; a script narrows it down. `kept`: the site can be kept on a device."""

    here: Here
    entries: tuple[Entry, ...]
    kept: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class MissingPage:
    """What a host shows where there is no page. It may stand at any depth: `base` is the way to the site's top."""

    here: Here
    base: str


#: Where the card of a handbook is on paper; None when no PDF beside the site holds it.
Paper: TypeAlias = Callable[[Handbook, Card], PrintedCopy | None]

#: The pages that a device keeps.
KeptPage: TypeAlias = HomePage | WallPage | RoundPage | CardPage | LookupPage | SearchPage | EarlierPage | WithdrawnPage

#: The template that draws each kind of page.
TEMPLATES: Mapping[type, str] = {
    HomePage: "index.html.j2",
    WallPage: "tablet.html.j2",
    RoundPage: "round.html.j2",
    CardPage: "card.html.j2",
    LookupPage: "lookup.html.j2",
    SearchPage: "search.html.j2",
    EarlierPage: "earlier.html.j2",
    WithdrawnPage: "withdrawn.html.j2",
    MissingPage: "missing.html.j2",
}


class Drawn:
    """Pages by path, so that a page that would be the same again is not drawn again. `fresh` are those drawn anew."""

    def __init__(self) -> None:
        self._pages: dict[str, tuple[object, bytes]] = {}
        self.fresh: list[str] = []

    def page(self, path: str, drawn_from: object, draw: Callable[[], bytes]) -> bytes:
        """The page at `path`; `drawn_from` equals the last one's only if the page would be the same."""
        known = self._pages.get(path)
        if known and known[0] == drawn_from:
            return known[1]
        self.fresh.append(path)
        self._pages[path] = drawn_from, draw()
        return self._pages[path][1]


def pages(
    handbook: Handbook,
    handbooks: Sequence[Handbook],
    plan: str = "",
    drawn: Drawn | None = None,
    paper: Paper = lambda handbook, card: None,
) -> Mapping[str, bytes]:
    """Every page of one language, by path. `plan` is the path of the planning report's first page.

    A page that was `drawn` already and would be the same is not drawn again. `paper` says where a card is on paper.
    """
    drawn = drawn or Drawn()
    made: list[KeptPage] = [home_page(handbook, handbooks, plan), wall_page(handbook, handbooks)]
    taken_by = cards_that_name(handbook, "procedure")
    chosen_on = cards_that_name(handbook, "procedures", "pictures")
    for card in handbook.cards:
        if card.kind == "round":
            made.append(round_page(handbook, card, handbooks))
        elif card.form == "page":
            made.append(_lookup(handbook, card, handbooks, chosen_on.get(card.id, ())))
        else:
            made.append(_card(handbook, card, handbooks, paper(handbook, card), taken_by.get(card.id, ())))
    made += earlier_pages(handbook, handbooks)
    made += withdrawn_pages(handbook, handbooks)
    made.append(_search(handbook, handbooks))
    return {page.here.path: drawn.page(page.here.path, _drawn_from(page), partial(_draw, page)) for page in made}


def _card(
    handbook: Handbook,
    card: Card,
    handbooks: Sequence[Handbook],
    paper: PrintedCopy | None,
    taken_by: Sequence[Card],
) -> CardPage:
    band = band_of(card)
    tint = band.colour if band else ""
    path = card_page(handbook, card.id)
    here = Here(handbook=handbook, path=path, title=card.title, handbooks=handbooks, tint=tint)
    before = next((other for other in handbook.cards if other.next == card.id), None)
    others = [book for book in handbooks if book.language != handbook.language and card.id in book.by_id]
    past = tuple(edition for old in printings(handbook, card, handbooks) for edition in old.editions)
    return CardPage(
        here=here,
        card=card,
        band=band,
        front=tuple(block for block in card.front if block is not band),
        editions=(card.edition, *(book.card(card.id).edition for book in others)),
        address=next((block.address for block in card.blocks if isinstance(block, Code)), ""),
        ticks=any(getattr(block, "ticks", False) for block in card.blocks),
        rounds=handbook.rounds,
        plates=not all(_is_plain(block) for block in card.blocks if block is not band),
        taken_by=tuple(card_link(here, other) for other in taken_by),
        stands=spot_links(handbook, here),
        past=past,
        older=tuple(edition for edition in recorded_editions(handbook, card, handbooks) if edition not in past),
        earlier=here.file(earlier_page(handbook, card.id)) if past else "",
        lead=whom_to_ask(handbook),
        paper=paper,
        audit=next((here.card(other.id) for other in handbook.cards if other.kind == "current-cards"), ""),
        previous=card_link(here, before) if before and before.id != card.next else None,
        next=card_link(here, handbook.card(card.next)) if card.next else None,
    )


def _lookup(handbook: Handbook, card: Card, handbooks: Sequence[Handbook], chosen_on: Sequence[Card]) -> LookupPage:
    here = Here(handbook=handbook, path=card_page(handbook, card.id), title=card.title, handbooks=handbooks)
    up = card_link(here, chosen_on[0]) if chosen_on else None
    return LookupPage(here=here, card=card, up=up)


def _search(handbook: Handbook, handbooks: Sequence[Handbook]) -> SearchPage:
    path, title = handbook.folder + SEARCH_PAGE, handbook.words("site.find.title")
    here = Here(handbook=handbook, path=path, title=title, handbooks=handbooks)
    return SearchPage(here=here, entries=entries(handbook))


def missing_page(handbook: Handbook, handbooks: Sequence[Handbook]) -> bytes:
    """The page for a card that is gone, at `MISSING_PAGE`, in the first language."""
    title = handbook.words("site.missing.title")
    here = Here(handbook=handbook, path=MISSING_PAGE, title=title, handbooks=handbooks)
    return _draw(MissingPage(here=here, base=f"{urlsplit(handbook.site).path.rstrip('/')}/"))


def _is_plain(block: Block) -> bool:
    """Whether a block does without the style of what refill pages do not have: drawings, tables, questions, places."""
    if isinstance(block, Items):
        return not names_cards(block) and not any(item.number or item.whole or item.where for item in block.items)
    if isinstance(block, Steps):
        return not (block.trigger or any(step.choices for step in block.steps))
    return isinstance(block, Caution | Code | Facts | Heading)


def _draw(page: KeptPage | MissingPage) -> bytes:
    return rendered(TEMPLATES[type(page)], page)


def _drawn_from(page: KeptPage) -> object:
    """Everything that the page is drawn from: two pages of which this is equal are the same."""
    here, book = page.here, page.here.handbook
    fields = [getattr(page, field.name) for field in dataclasses.fields(page) if field.name != "here"]
    around = here.title, here.tint, here.care, here.others, book.practice
    return type(page), fields, around, book.words.sentences, tuple(book.by_id), book.earlier, book.withdrawn
