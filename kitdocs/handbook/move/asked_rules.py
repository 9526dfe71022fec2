"""Questions about rules that hold in every practice: the right answer is a rule, the wrong ones stand in move.yaml."""

from __future__ import annotations

from kitdocs.handbook.move.move import Move
from kitdocs.handbook.move.question import Choice, Question, question
from kitdocs.handbook.rules.quote import RULES, rule_text
from kitdocs.practice.message import Value


def asked_rule(
    move: Move, key: str, rules: tuple[str, ...], wrong: tuple[str, ...], card: str, *, rank: int = 2, **values: Value
) -> Question | None:
    """Return the question `key`, answered by those of `rules` that apply to the practice."""
    right = Choice(id=_first(move, rules), text=rule_text(move.brief, *rules))
    choices = (Choice(id=answer, text=move.words(f"move.ask.{key}-answer.{answer}")) for answer in wrong)
    return question(key, move.words(f"move.ask.{key}", **values), right, choices, card=card, rank=rank)


def _first(move: Move, rules: tuple[str, ...]) -> str:
    return next(rule for rule in rules if RULES[rule].applies(move.brief.practice))
