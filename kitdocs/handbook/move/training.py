"""Training sheets by role, in the order of the work, each line with the practice's own card for it.

The sign-off sheet among the forms is one for every person and every topic; these list what a role has to show.
"""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, FormGrid, said
from kitdocs.document.card import Card
from kitdocs.handbook.cards.packing import hurt_caution
from kitdocs.handbook.move.move import Move
from kitdocs.handbook.move.shown import TRAINED, shown_by
from kitdocs.handbook.rules.quote import rule_text

_WIDTHS = (98.0, 46, 19, 19, 18)


def training_cards(move: Move) -> Iterator[Card]:
    """Yield one card per role."""
    for role in TRAINED:
        words = move.words
        grid = FormGrid(
            columns=tuple(words(f"move.training.{n}") for n in ("shows", "by-card", "trainee", "trainer", "date")),
            widths=_WIDTHS,
            rows=0,
            fields=tuple(words(f"move.training.{name}") for name in ("initials", "begun")),
            given=tuple(shown_by(move, role)),
        )
        blocks: tuple[Block, ...] = (
            said(words(f"move.training.{role}.intro"), rule_text(move.brief, "sign-alone", "sign-again")),
            grid,
        )
        hurt = (hurt_caution(move.brief),) if role != "office" else ()
        yield move.card(f"move/training/{role}", (*blocks, *hurt), kind="training")
