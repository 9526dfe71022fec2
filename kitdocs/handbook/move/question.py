"""A question of the self-test: one right answer, some wrong ones, and the card where the right one stands."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from kitdocs.document.blocks import Picture
from kitdocs.handbook.move.move import Move
from kitdocs.handbook.rules.quote import RULES, rule_text
from kitdocs.practice.message import Value

#: Where the right answer stands, question by question, counted from 0: no letter twice in a row, and none more often
#: than others by more than one. The same for everybody who takes the test.
PLACES = (1, 3, 0, 2, 1, 0, 3, 2, 0, 1, 2, 3, 1, 0)

LETTERS = "ABCD"

#: Wrong answers that a question has at least and at most.
FEWEST_WRONG, MOST_WRONG = 2, 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """`id` is what the answer stands for, the same in every language: a pouch, a number, a word of move.yaml."""

    id: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """`id` is its kind and what it is about: ``pouch/repositioning``. `rank`: the lower, the sooner it is asked.

    `card` is the id of the card that has the answer, if there is one.
    """

    id: str
    text: str
    right: Choice
    wrong: tuple[Choice, ...]
    card: str = ""
    picture: Picture | None = None
    rank: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question with its answers in the order in which they are read."""

    question: Question
    choices: tuple[Choice, ...]

    @property
    def letter(self) -> str:
        return LETTERS[self.choices.index(self.question.right)]


def question(
    id_: str,
    text: str,
    right: Choice,
    wrong: Iterable[Choice],
    *,
    card: str = "",
    picture: Picture | None = None,
    rank: int = 1,
) -> Question | None:
    """Return the question with at most `MOST_WRONG` wrong answers; None when too few differ from the right one.

    Answers that read the same are one answer: a wrong one that reads like the right one would be right.
    """
    different = {choice.text: choice for choice in wrong if choice.text != right.text and choice.id != right.id}
    chosen = tuple(different.values())[:MOST_WRONG]
    if len(chosen) < FEWEST_WRONG:
        return None
    return Question(id=id_, text=text, right=right, wrong=chosen, card=card, picture=picture, rank=rank)


def in_turn(questions: Iterable[Question | None], most: int) -> tuple[Asked, ...]:
    """Return at most `most` of the questions, those of low rank, in the order in which they were given."""
    possible = [question for question in questions if question is not None]
    kept = sorted(range(len(possible)), key=lambda n: (possible[n].rank, n))[:most]
    return tuple(_asked(possible[n], turn) for turn, n in enumerate(sorted(kept)))


def once(things: Iterable[str], named: Callable[[str], str]) -> list[str]:
    """Return the things whose name no other one has, in order: about the others a question would have two meanings."""
    names = {thing: named(thing) for thing in things}
    many = Counter(names.values())
    return [thing for thing, name in names.items() if many[name] == 1]


def after(things: Iterable[str], thing: str) -> tuple[str, ...]:
    """Return the others, beginning after `thing`, so that different questions have different wrong answers."""
    all_ = list(things)
    at = all_.index(thing)
    return (*all_[at + 1 :], *all_[:at])


def number(n: int) -> Choice:
    """Return a number as an answer."""
    return Choice(id=str(n), text=str(n))


def numbers_near(n: int) -> Iterator[Choice]:
    """Yield numbers that `n` may be taken for, none of them `n` and none below 1."""
    return (number(other) for other in (n + 1, n - 1, n + 2, n + 3, 2 * n + 2) if other > 0)


def _asked(question: Question, turn: int) -> Asked:
    place = PLACES[turn % len(PLACES)] % (len(question.wrong) + 1)
    return Asked(question=question, choices=(*question.wrong[:place], question.right, *question.wrong[place:]))


def asked_rule(
    move: Move, key: str, rules: tuple[str, ...], wrong: tuple[str, ...], card: str, *, rank: int = 2, **values: Value
) -> Question | None:
    """Return the question `key`, answered by those of `rules` that apply to the practice."""
    first = next(rule for rule in rules if RULES[rule].applies(move.brief.practice))
    right = Choice(id=first, text=rule_text(move.brief, *rules))
    choices = (Choice(id=answer, text=move.words(f"move.ask.{key}-answer.{answer}")) for answer in wrong)
    return question(key, move.words(f"move.ask.{key}", **values), right, choices, card=card, rank=rank)
