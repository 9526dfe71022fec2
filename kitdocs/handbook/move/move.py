"""Starting point of the cards of the move: the brief, and all the cards that they send people to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from kitdocs.document.blocks import Block, Cell, Matrix
from kitdocs.document.card import Card, CardKind
from kitdocs.document.catalog import MessageCatalog
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import CellText, table

#: Who does something. Roles, never persons: people change, cards stay.
Role: TypeAlias = Literal["lead", "office", "technician", "assistant", "everybody"]


#: The list of all cards, which is made after all others.
CURRENT = "current"

#: The cards of the move, by id, and where in move.yaml their titles stand.
OWN: Mapping[str, str] = {
    "move/plan": "plan",
    "move/order": "order",
    "move/mark": "mark",
    "move/start": "start",
    "move/training/assistant": "training.assistant",
    "move/training/technician": "training.technician",
    "move/training/temporary": "training.temporary",
    "move/training/office": "training.office",
    "move/self-test": "test",
    "move/self-test-answers": "answers",
    "move/first-week": "week",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """`cards` are all other cards of the handbook, by id."""

    brief: Brief
    cards: Mapping[str, Card]

    @property
    def words(self) -> MessageCatalog:
        return self.brief.words

    def role(self, *roles: Role) -> str:
        return self.brief.listed(self.words.each("move.role", *roles))

    def see(self, card_id: str) -> Cell:
        """Return a card by its title, to be opened or turned to; an empty cell where the handbook has no such card."""
        return Cell(text=self.title(card_id), link=self.link(card_id))

    def link(self, card_id: str) -> str:
        """Return the id of a card that is there; empty otherwise."""
        return card_id if card_id in self.cards or card_id in OWN or card_id == CURRENT else ""

    def title(self, card_id: str) -> str:
        """Return what a card is called; empty where the handbook has none."""
        if card_id in OWN:
            return self.words(f"move.{OWN[card_id]}.title")
        if card_id == CURRENT:
            return self.words("card.current.title")
        card = self.cards.get(card_id)
        return card.title if card else ""

    def ticked(
        self,
        title: str,
        head: Iterable[str],
        rows: Iterable[Sequence[CellText]],
        numbers: Iterable[int] = (),
        *,
        boxes: int = 1,
    ) -> Matrix:
        """Return a table whose rows end with boxes to tick."""
        return table(title, head, ((*row, *[Cell(tick=True)] * boxes) for row in rows), numbers)

    def card(self, card_id: str, blocks: tuple[Block, ...], kind: CardKind = "move") -> Card:
        """Return one of the cards of the move."""
        words = f"move.{OWN[card_id]}"
        return Card(
            id=card_id,
            kind=kind,
            form="paper",
            title=self.words(f"{words}.title"),
            subtitle=self.words(f"{words}.subtitle"),
            section=self.words("move.section"),
            front=blocks,
        )
