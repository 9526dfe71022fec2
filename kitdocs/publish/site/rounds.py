"""The page of the round: every drawer with what belongs in it, and what the store has for them in its order."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from kitdocs.document.blocks import Item, Items
from kitdocs.document.card import Card, Handbook
from kitdocs.publish.site.frame import Here, band_of, card_page, ticked_on
from kitdocs.publish.site.links import CardLink, card_link


@dataclass(frozen=True, slots=True, kw_only=True)
class ChairDrawer:
    """A chair's drawer: its refill card, and a row for each kind of pouch with how many belong there."""

    id: str
    link: CardLink
    rows: tuple[Item, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundPage:
    """All drawers in walking order. `fetched` are the kinds of pouch as one comes to them in the store.

    `rounds` are the minutes after midnight at which the round begins anew. `same_rows` is the same in every language,
    and another where another row, count or order is: a round is handed only to a page that has the same.
    """

    here: Here
    card: Card
    drawers: tuple[ChairDrawer, ...]
    fetched: tuple[Item, ...]
    rounds: tuple[int, ...]
    same_rows: str


def round_page(handbook: Handbook, card: Card, handbooks: Sequence[Handbook]) -> RoundPage:
    """The page of the card that lists what is fetched."""
    here = Here(handbook=handbook, path=card_page(handbook, card.id), title=card.title, handbooks=handbooks)
    stored = {item.id: item for item in _items(card)}
    drawers = tuple(
        ChairDrawer(
            id=chair.id,
            link=card_link(here, chair),
            rows=tuple(_shown(item, stored) for item in _items(chair) if item.count is not None),
        )
        for chair in handbook.cards
        if chair.kind == "refill-chair" and band_of(chair) and any(_items(chair))
    )
    missing = {item.id: item for drawer in drawers for item in drawer.rows if item.id not in stored}
    fetched = (*stored.values(), *missing.values())
    return RoundPage(
        here=here,
        card=card,
        drawers=drawers,
        fetched=fetched,
        rounds=handbook.rounds,
        same_rows=_digest(drawers, fetched),
    )


def _items(card: Card) -> Iterator[Item]:
    for block in card.front:
        if isinstance(block, Items):
            yield from block.items


def _shown(item: Item, stored: dict[str, Item]) -> Item:
    """The row of a drawer, with no more words than the store has for it; where it stands is told when it is fetched."""
    known = stored.get(item.id)
    return replace(item, detail=known.detail if known else item.detail, note="", stands="", link="")


def _digest(drawers: Sequence[ChairDrawer], fetched: Sequence[Item]) -> str:
    rows = [[drawer.id, [[item.id, ticked_on(item)] for item in drawer.rows]] for drawer in drawers]
    told = json.dumps([rows, [item.id for item in fetched]], ensure_ascii=False)
    return hashlib.sha256(told.encode()).hexdigest()[:8]
