"""Current cards: every card with its edition, place by place, for whoever walks round and compares."""

from __future__ import annotations

from collections.abc import Sequence
from typing import get_args

from kitdocs.document.blocks import Cell, Matrix, said
from kitdocs.document.card import Card, PostingLocation, is_name
from kitdocs.handbook.brief import Brief

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
        form="sheet",
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
    rows = tuple(
        (
            Cell(text=_named(card), link=card.id),
            *((Cell(text=card.hangs),) if exact else ()),
            Cell(text=card.edition),
            Cell(tick=True),
            Cell(),
        )
        for card in cards
    )
    return Matrix(
        title=words(f"card.current.place.{place}") if exact or not spots[0] else spots[0],
        head=tuple(words(f"card.current.{name}") for name in columns),
        rows=rows,
    )


def _named(card: Card) -> str:
    """Return the card's name on one line, with the colour or code by which it is found: ``Refill: Chair 1 · Teal``."""
    return f"{card.title} · {card.subtitle}" if is_name(card.subtitle) else card.title
