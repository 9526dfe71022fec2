"""The self-test asks what the practice's own cards answer, and every question has one right answer."""

from __future__ import annotations

import dataclasses
from collections import Counter
from collections.abc import Callable, Mapping
from itertools import pairwise
from random import Random
from typing import Any

import pytest
from varied_practice import varied

from kitdocs.document.blocks import Matrix, Steps
from kitdocs.document.card import Handbook
from kitdocs.document.catalog import built_in_catalog
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.move.move import Move
from kitdocs.handbook.move.question import LETTERS, Asked
from kitdocs.handbook.move.self_test import questions
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import PracticeError


def asked_in(practice: Practice, plan: Plan, language: str = "en") -> tuple[Asked, ...]:
    return questions(Move(brief=Brief(practice=practice, plan=plan, words=built_in_catalog(language)), cards={}))


def en(thing: Any) -> str:
    return str(thing.name.in_language("en"))


def right_words(practice: Practice, plan: Plan, question_id: str) -> set[str]:
    """Every answer that is right in this practice, worked out anew, by what is read: names may be given twice.

    A rule that holds everywhere (``wet``, ``dull``) has its answer in the words file: nothing is worked out for it.
    """
    kind, *about = question_id.split("/")
    worked_out = RIGHT.get(kind)
    return worked_out(practice, plan, *about) if worked_out else set()


def _set_of(practice: Practice, plan: Plan, procedure: str) -> set[str]:
    return {en(practice.sets[of.set]) for of in _so_called(practice.procedures, procedure).values()}


def _add_ons_of(practice: Practice, plan: Plan, procedure: str) -> set[str]:
    so_called = _so_called(practice.procedures, procedure).values()
    return {en(practice.pouches[p]) for of in so_called for p in of.add_ons}


def _drawer_pouch(practice: Practice, plan: Plan, procedure: str, instrument: str) -> set[str]:
    so_called = set(_so_called(practice.instruments, instrument))
    of = practice.procedures[procedure]
    at_hand = {*practice.sets[of.set].contents, *(i for p in of.add_ons for i in practice.pouches[p].contents)}
    assert not so_called & at_hand, "nobody opens a drawer for what lies on the tray"
    return {en(pouch) for pouch in practice.pouches.values() if so_called & set(pouch.contents)}


def _homes(practice: Practice, things: Mapping[str, Any], instrument: str) -> set[str]:
    drawings = {i: of.drawing for i, of in practice.instruments.items()}
    return {en(of) for of in things.values() if drawings[instrument] in {drawings[i] for i in of.contents}}


def _marks(practice: Practice, plan: Plan, set_id: str) -> set[str]:
    marks = {of.mark for of in _so_called(practice.sets, set_id).values()}
    return {built_in_catalog("en")(f"card.set-mark.{mark}").capitalize() for mark in marks}


def _drawer(practice: Practice, plan: Plan, chair: str) -> set[str]:
    return {" · ".join(en(practice.pouches[pouch]) for pouch in practice.chairs[chair].drawer)}


def _par(practice: Practice, plan: Plan, chair: str, pouch: str) -> set[str]:
    so_called = _so_called(practice.pouches, pouch)
    return {str(plan.par[chair, p]) for p in practice.chairs[chair].drawer if p in so_called}


def _load(practice: Practice, plan: Plan, stage: str, cassette: str) -> set[str]:
    stages, cassettes = _so_called(practice.room.stages, stage), _so_called(practice.cassettes, cassette)
    return {str(of.capacity[c]) for of in stages.values() for c in cassettes}


def _size(practice: Practice, plan: Plan, pouch: str) -> set[str]:
    return {en(practice.room.pouch_sizes[of.size]) for of in _so_called(practice.pouches, pouch).values()}


def _so_called(things: Mapping[str, Any], thing: str) -> dict[str, Any]:
    return {id_: of for id_, of in things.items() if en(of) == en(things[thing])}


RIGHT: Mapping[str, Callable[..., set[str]]] = {
    "set": _set_of,
    "pouch": _add_ons_of,
    "drawer-pouch": _drawer_pouch,
    "tip-pouch": lambda practice, plan, instrument: _homes(practice, practice.pouches, instrument),
    "tip-set": lambda practice, plan, instrument: _homes(practice, practice.sets, instrument),
    "mark": _marks,
    "drawer": _drawer,
    "par": _par,
    "strips": lambda practice, plan: {str(practice.room.wrap.strips)},
    "load": _load,
    "size": _size,
}


def check(practice: Practice, plan: Plan) -> tuple[Asked, ...]:
    asked = asked_in(practice, plan)
    for each in asked:
        read = [choice.text for choice in each.choices]
        assert len(set(read)) == len(read) in (3, 4), (each.question.id, read)
        right = right_words(practice, plan, each.question.id)
        assert each.question.right.text in read
        if right:
            same = [text for text in read if _same(text, right)]
            assert same == [each.question.right.text], (each.question.id, read, right)
    return asked


def _same(text: str, right: set[str]) -> bool:
    """Whether an answer is right, a drawer in whatever order its pouches are named."""
    return Counter(text.split(" · ")) in [Counter(one.split(" · ")) for one in right]


def test_every_question_of_the_example_has_one_right_answer(example: Practice, example_plan: Plan) -> None:
    asked = check(example, example_plan)
    kinds = [each.question.id.split("/")[0] for each in asked]
    assert len(asked) == 12
    assert {"set", "pouch", "drawer-pouch", "drawer", "mark", "tip-pouch", "strips", "wet"} <= set(kinds)


def test_a_small_practice_is_asked_ten_questions_at_least(small: Practice) -> None:
    assert 10 <= len(check(small, make_plan(small, days=5))) <= 14


@pytest.mark.whole
def test_whatever_a_practice_is_like_no_question_has_two_right_answers(example: Practice, small: Practice) -> None:
    kinds: set[str] = set()
    planned = 0
    for seed in range(60):
        practice = varied(example if seed % 2 else small, Random(seed))
        if can_be_planned(practice):  # what cannot work as described gets no handbook, and so no test
            planned += 1
            kinds |= {each.question.id.split("/")[0] for each in check(practice, make_plan(practice, days=1))}
    assert planned >= 40
    assert kinds >= set(RIGHT), "each kind of question was asked somewhere"


def can_be_planned(practice: Practice) -> bool:
    try:
        make_plan(practice, days=1)
    except PracticeError:
        return False
    return True


def test_another_practice_has_other_answers(example: Practice, example_plan: Plan, small: Practice) -> None:
    def answered(asked: tuple[Asked, ...]) -> set[tuple[str, str]]:
        return {(each.question.text, each.question.right.text) for each in asked}

    same = answered(asked_in(example, example_plan)) & answered(asked_in(small, make_plan(small, days=5)))
    said = built_in_catalog("en")
    rules = {said("rules.reject"), said("rules.drawer-clean-hands")}
    rules.add(f"{said('rules.internal-stop')} {said('rules.take-other')}")
    different = [right for _, right in same if right not in rules and not right.isdigit()]
    assert not different, "a wet pack is the same everywhere, and both close with three strips"


def test_the_right_letter_varies_and_no_letter_is_a_good_guess(example: Practice, example_plan: Plan) -> None:
    letters = [each.letter for each in asked_in(example, example_plan)]
    assert set(letters) == set(LETTERS)
    assert max(Counter(letters).values()) <= len(letters) / 3
    assert all(one != next_one for one, next_one in pairwise(letters))


def test_every_language_asks_the_same_with_the_same_letters(example: Practice, example_plan: Plan) -> None:
    one, other = (asked_in(example, example_plan, language) for language in ("en", "es"))
    assert [(a.question.id, a.letter) for a in one] == [(a.question.id, a.letter) for a in other]
    assert not {a.question.text for a in one} & {a.question.text for a in other}


def test_the_questions_sheet_keeps_the_answers_to_itself_on_paper(example_handbooks: tuple[Handbook, ...]) -> None:
    """The page has each answer behind a word; the sheet of answers has the same ones, and the card to look at."""
    for handbook in example_handbooks:
        (steps,) = (block for block in handbook.card("move/self-test").blocks if isinstance(block, Steps))
        (table,) = (block for block in handbook.card("move/self-test-answers").blocks if isinstance(block, Matrix))
        assert [step.answer for step in steps.steps] == [row[1].text for row in table.rows]
        for step, row in zip(steps.steps, table.rows, strict=True):
            letter, _, words = step.answer.partition(": ")
            assert step.choices[LETTERS.index(letter)] == words
            assert not row[2].link or handbook.card(row[2].link).title == row[2].text


def test_what_is_alike_is_not_asked(example: Practice, example_plan: Plan) -> None:
    """A bur drawn like the hard wire cutter: its tip no longer says which pouch it is from."""
    before = {each.question.id for each in asked_in(example, example_plan)}
    assert "tip-pouch/acrylic-bur" in before
    bur = example.instruments["acrylic-bur"].model_copy(update={"drawing": "hard-wire-cutter"})
    alike = dataclasses.replace(example, instruments={**example.instruments, "acrylic-bur": bur})
    assert "tip-pouch/acrylic-bur" not in {each.question.id for each in asked_in(alike, example_plan)}
