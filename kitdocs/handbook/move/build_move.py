"""The cards of the move, in the order in which they are worked through."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.move.first_week import first_week_card
from kitdocs.handbook.move.go_live import plan_card
from kitdocs.handbook.move.lists import mark_card, order_card, start_card
from kitdocs.handbook.move.move import Move
from kitdocs.handbook.move.self_test import self_test_cards
from kitdocs.handbook.move.training import training_cards


def move_cards(brief: Brief, cards: Sequence[Card]) -> Iterator[Card]:
    """Yield plan, lists, training, self-test, first week. `cards` are all others, to which these send people."""
    move = Move(brief=brief, cards={card.id: card for card in cards})
    yield plan_card(move)
    yield order_card(move)
    yield mark_card(move)
    yield start_card(move)
    yield from training_cards(move)
    yield from self_test_cards(move)
    yield first_week_card(move)
