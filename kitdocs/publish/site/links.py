"""How a card is shown on another page, and which of them lead to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from kitdocs.document.blocks import Band, Illustration, Items
from kitdocs.document.card import Card, CardKind, Handbook
from kitdocs.publish.site.frame import Here, band_of


@dataclass(frozen=True, slots=True, kw_only=True)
class CardLink:
    """A card as it is shown on another page: a tile in its colour when it has a band, else a row."""

    title: str
    subtitle: str
    href: str
    band: Band | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotLink:
    """A place in the store by its code, and where it is in the map."""

    code: str
    href: str


def card_link(here: Here, card: Card) -> CardLink:
    return CardLink(title=card.title, subtitle=card.subtitle, href=here.card(card.id), band=band_of(card))


def cards_that_name(handbook: Handbook, *kinds: CardKind) -> Mapping[str, tuple[Card, ...]]:
    """By card id: the cards of these kinds that have a row which leads to it."""
    found: dict[str, dict[str, Card]] = {}
    for card in handbook.cards:
        for target in _rows_of(card) if card.kind in kinds else ():
            found.setdefault(target, {})[card.id] = card
    return {target: tuple(cards.values()) for target, cards in found.items()}


def spot_links(handbook: Handbook, here: Here) -> tuple[SpotLink, ...]:
    """The places in the map of the store at which what a page is about stands."""
    return tuple(
        SpotLink(code=spot.code, href=here.place(f"{card.id}#{spot.anchor}"))
        for card in handbook.cards
        if card.kind == "storage-map"
        for block in card.blocks
        if isinstance(block, Illustration)
        for spot in block.spots
        if f"{spot.link}.html" == here.within
    )


def _rows_of(card: Card) -> Iterator[str]:
    for block in card.blocks:
        if isinstance(block, Items):
            yield from (item.link for item in block.items if item.link)
