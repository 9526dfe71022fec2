"""The self-test: short questions from the practice's own cards, and the sheet with the answers."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Matrix, Step, Steps, said
from kitdocs.document.card import Card
from kitdocs.handbook.layout import table
from kitdocs.handbook.move.asked_at_the_chair import about_drawers, about_visits
from kitdocs.handbook.move.asked_in_the_room import about_the_room
from kitdocs.handbook.move.move import Move
from kitdocs.handbook.move.question import Asked, in_turn
from kitdocs.practice.message import Joined

#: As many as stand on one sheet.
MOST_QUESTIONS = 12


def self_test_cards(move: Move) -> Iterator[Card]:
    """Yield the questions, and the answers on a sheet of their own; a page shows each answer when it is asked to."""
    asked = questions(move)
    intro = said(move.words("move.test.intro"))
    steps = Steps(steps=tuple(_step(move, each) for each in asked))
    yield move.card("move/self-test", (intro, steps), kind="training")
    yield move.card(
        "move/self-test-answers", (_answers(move, asked), said(move.words("move.answers.wrong"))), kind="training"
    )


def questions(move: Move) -> tuple[Asked, ...]:
    """Return what is asked in this practice, in the order of the work: the same questions every time."""
    return in_turn((*about_visits(move), *about_the_room(move), *about_drawers(move)), MOST_QUESTIONS)


def _step(move: Move, asked: Asked) -> Step:
    question = asked.question
    return Step(
        text=question.text,
        picture=question.picture,
        choices=tuple(choice.text for choice in asked.choices),
        answer=_told(move, asked),
    )


def _told(move: Move, asked: Asked) -> str:
    return move.words.say(Joined((asked.letter, asked.question.right.text), ": "))


def _answers(move: Move, asked: tuple[Asked, ...]) -> Matrix:
    rows = ((str(n), _told(move, each), move.see(each.question.card)) for n, each in enumerate(asked, 1))
    return table("", move.words.each("move.answers", "number", "right", "card"), rows)
