"""How a card is shown on another page, and which of them lead to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from kitdocs.document.blocks import Band, Items
from kitdocs.document.card import Card, CardKind, Handbook
from kitdocs.publish.site.frame import Here, band_of


@dataclass(frozen=True, slots=True, kw_only=True)
class CardLink:
    """A card as it is shown on another page: a tile in its colour when it has a band, else a row."""

    title: str
    subtitle: str
    href: str
    band: Band | None


def card_link(here: Here, card: Card) -> CardLink:
    return CardLink(title=card.title, subtitle=card.subtitle, href=here.card(card.id), band=band_of(card))


def cards_that_name(handbook: Handbook, *kinds: CardKind) -> Mapping[str, tuple[Card, ...]]:
    """By card id: the cards of these kinds that have a row which leads to it."""
    found: dict[str, dict[str, Card]] = {}
    for card in handbook.cards:
        for target in _rows_of(card) if card.kind in kinds else ():
            found.setdefault(target, {})[card.id] = card
    return {target: tuple(cards.values()) for target, cards in found.items()}


def _rows_of(card: Card) -> Iterator[str]:
    for block in card.blocks:
        if isinstance(block, Items):
            yield from (item.link for item in block.items if item.link)
