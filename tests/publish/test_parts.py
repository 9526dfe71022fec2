"""Cards cut into parts: each is there once, in its order, and no sheet of wall cards is torn."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_handbook import chair_card, pouch_items

from kitdocs.document.card import Card
from kitdocs.publish.print import parts as parts_module
from kitdocs.publish.print.parts import CARDS_IN_PART, in_parts, wall_sheets

TEAL = chair_card("r/teal", name="Chair 1", word="teal", colour="#00766c", items=pouch_items(1))


def cards(count: int) -> list[Card]:
    return [replace(TEAL, id=f"r/{number}") for number in range(count)]


@pytest.mark.parametrize("count", [1, CARDS_IN_PART, CARDS_IN_PART + 1, 3 * CARDS_IN_PART])
def test_parts_are_all_cards_in_their_order(count: int) -> None:
    parts = in_parts(cards(count))
    assert [card for part in parts for card in part] == cards(count)
    assert all(1 <= len(part) <= CARDS_IN_PART for part in parts)


def test_a_document_without_a_card_is_one_part() -> None:
    assert in_parts([]) == [[]]
    (part,) = wall_sheets([], {})
    assert (part.cards, part.before, part.total, part.skipped) == ((), 0, 0, 0)


@given(cut=st.lists(st.integers(1, 5), min_size=1, max_size=12), on_sheet=st.integers(1, 9))
def test_each_side_that_is_cut_is_on_one_sheet_in_its_order(cut: list[int], on_sheet: int) -> None:
    """A model: the template deals what the cards of a part make, without what is skipped, to at most so many sheets."""
    every = cards(len(cut))
    answers = {card.id: {"cut": times, "per_sheet": on_sheet} for card, times in zip(every, cut, strict=True)}
    parts = list(wall_sheets(every, answers))
    faces = [(card.id, number) for card in every for number in range(answers[card.id]["cut"])]
    dealt = []
    for part in parts:
        own = [(card.id, number) for card in part.cards for number in range(answers[card.id]["cut"])][part.skipped :]
        assert part.skipped < answers[part.cards[0].id]["cut"]
        assert part.before * on_sheet == len(dealt), "a part begins a sheet"
        dealt += own[: part.count * on_sheet]
    assert dealt == faces
    assert {part.total for part in parts} == {-(-len(faces) // on_sheet)}
    assert all(len(part.cards) <= max(CARDS_IN_PART, on_sheet) for part in parts)


def test_a_card_that_is_changed_is_in_the_part_that_it_was_in(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parts_module, "CARDS_IN_PART", 2)
    every, answers = cards(6), {f"r/{number}": {"cut": 1, "per_sheet": 2} for number in range(6)}
    other = [replace(card, title="Other") if card.id == "r/3" else card for card in every]
    before, after = list(wall_sheets(every, answers)), list(wall_sheets(other, answers))
    assert [old == new for old, new in zip(before, after, strict=True)] == [True, False, True]
