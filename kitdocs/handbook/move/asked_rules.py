"""Questions about rules that hold in every practice: their answers stand in move.yaml."""

from __future__ import annotations

from kitdocs.handbook.move.move import Move
from kitdocs.handbook.move.question import Choice, Question, question
from kitdocs.practice.message import Value


def told(
    move: Move, key: str, answers: tuple[str, ...], card: str, *, rank: int = 2, **values: Value
) -> Question | None:
    """The question `key`, whose answers are given by the last part of their keys, the right one first."""
    right, *wrong = (Choice(id=a, text=move.words(f"move.ask.{key}-answer.{a}", **values)) for a in answers)
    return question(key, move.words(f"move.ask.{key}", **values), right, wrong, card=card, rank=rank)
