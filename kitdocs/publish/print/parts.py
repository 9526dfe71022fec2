"""Cards of a document cut into the parts that are laid out by themselves, side by side.

So a process needs no more memory for a large practice than for a small one, and a part whose cards are as before is not
made again. How many cards are in a part is counted, not weighed: a card that grows moves no other to another part.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from kitdocs.document.card import Card

Whole = TypeVar("Whole")

#: Most cards that are laid out together. Each part costs a little of its own, and has its own letters of the typeface.
CARDS_IN_PART = 6


def in_parts(cards: Sequence[Whole], most: int = CARDS_IN_PART) -> list[Sequence[Whole]]:
    """Return cards, or whatever stays whole, as parts of at most so many; one part without any when there are none."""
    return [cards[first : first + most] for first in range(0, len(cards), most)] or [cards]


@dataclass(frozen=True, slots=True, kw_only=True)
class WallSheets:
    """Whole sheets of wall cards: those `before` them, how many they are, and all of the document.

    A card that goes on to a second one may be on the sheets of two parts: so many of the first card of `cards` are
    `skipped` here.
    """

    cards: tuple[Card, ...]
    before: int
    count: int
    total: int
    skipped: int


def wall_sheets(cards: Sequence[Card], cut: Mapping[str, Any]) -> Iterator[WallSheets]:
    """Yield the parts of a document of wall cards. `cut` says of each card, by id, as how many it is cut."""
    faces = [(card, number) for card in cards for number in range(cut[card.id]["cut"])]
    on_sheet = max((cut[card.id]["per_sheet"] for card in cards), default=1)
    total = -(-len(faces) // on_sheet)
    count = max(1, CARDS_IN_PART // on_sheet)
    for before in range(0, max(1, total), count):
        own = faces[before * on_sheet : (before + count) * on_sheet]
        yield WallSheets(
            cards=tuple(card for card, number in own if number == 0 or (card, number) == own[0]),
            before=before,
            count=count,
            total=total,
            skipped=own[0][1] if own else 0,
        )
