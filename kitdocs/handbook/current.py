"""Current cards: every card with its edition, for whoever compares the wall with what should hang there."""

from __future__ import annotations

from collections.abc import Sequence

from kitdocs.handbook.blocks import Cell, Matrix
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.card import Card


def current_cards(brief: Brief, cards: Sequence[Card]) -> Card:
    """The list of `cards`, which have their editions already."""
    words = brief.words
    head = tuple(words(f"card.current.{name}") for name in ("card", "hangs", "edition", "seen"))
    rows = tuple(
        (
            Cell(text=card.title, detail=card.subtitle, link=card.id),
            Cell(text=card.hangs),
            Cell(text=card.edition),
            Cell(tick=True),
        )
        for card in cards
    )
    return Card(
        id="current",
        kind="current-cards",
        form="sheet",
        title=words("card.current.title"),
        section=words("card.section.audit"),
        hangs=words("card.hangs.binder"),
        front=(Matrix(title=words("card.current.table"), head=head, rows=rows),),
    )
