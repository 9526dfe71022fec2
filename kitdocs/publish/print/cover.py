"""Cover of the binder, taken from the sheet for the first day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

from kitdocs.document.blocks import Block, Caution, Facts, Illustration, Items
from kitdocs.document.card import Handbook

AnyBlock = TypeVar("AnyBlock", bound=Block)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """The way through the room, the chairs' colours, whom to ask, whose word counts; each may be missing."""

    way: Illustration | None = None
    chairs: Items | None = None
    ask: Facts | None = None
    caution: Caution | None = None


def cover(handbook: Handbook) -> Cover:
    """The cover of a handbook. One without a first day has a plain cover."""
    blocks = next((card.blocks for card in handbook.cards if card.kind == "first-day"), ())
    return Cover(
        way=_only(blocks, Illustration),
        chairs=_only(blocks, Items),
        ask=_only(blocks, Facts),
        caution=_only(blocks[::-1], Caution),
    )


def _only(blocks: tuple[Block, ...], kind: type[AnyBlock]) -> AnyBlock | None:
    return next((block for block in blocks if isinstance(block, kind)), None)
