"""Labels of the binder's sheets: as loose-leaf manuals do it (common practice, no source)."""

from __future__ import annotations

from itertools import chain

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitdocs.revisions.loose_leaf import binder_order, sheet_label, sheet_labels, strays

NAMES = "abcdefgh"


@st.composite
def handbooks_in_time(draw: st.DrawFn) -> list[list[tuple[str, int]]]:
    """A handbook again and again: cards come, grow, shrink and go, and those that stay keep their order."""
    kinds = st.sampled_from([(1,), (2, 1), (0, 1, 2), (1, 0), (0, 0, 1), (1, 3, 1, 2), (0, 2, 3, 0)])
    lives = {card: draw(kinds) for card in NAMES}
    order = draw(st.permutations(NAMES))
    return [
        [(card, life[min(time, len(life) - 1)]) for card in order if (life := lives[card])[min(time, len(life) - 1)]]
        for time in range(4)
    ]


def test_the_first_printing_counts_from_1():
    assert sheet_labels([("first", 1), ("map", 2), ("teal", 1)], {}) == {
        "first": ("1",),
        "map": ("2", "3"),
        "teal": ("4",),
    }


def test_a_card_between_sheets_4_and_5_is_4a_and_the_next_one_4b():
    recorded = {"four": ("4",), "five": ("5",)}
    cards = [("four", 1), ("new", 1), ("newer", 1), ("five", 1)]
    assert sheet_labels(cards, recorded) == {**recorded, "new": ("4A",), "newer": ("4B",)}


def test_a_card_that_grows_gets_a_letter_for_its_second_sheet():
    assert sheet_labels([("four", 2), ("five", 1)], {"four": ("4",), "five": ("5",)})["four"] == ("4", "4A")


def test_a_card_that_shrinks_keeps_its_first_label():
    assert sheet_labels([("four", 1)], {"four": ("4", "5")})["four"] == ("4",)


def test_a_card_at_the_end_gets_the_next_number():
    assert sheet_labels([("four", 1), ("new", 1)], {"four": ("4",)})["new"] == ("5",)


def test_a_card_before_the_first_one_still_finds_a_place():
    labels = sheet_labels([("new", 1), ("one", 1)], {"one": ("1",)})
    assert labels["new"] == ("0A",)


def test_the_label_of_a_withdrawn_card_is_not_given_again():
    labels = sheet_labels([("four", 1), ("new", 1)], {"four": ("4",), "gone": ("5",)})
    assert labels["new"] == ("4A",)


def test_a_label_that_two_people_gave_at_once_stays_with_the_first_card():
    labels = sheet_labels([("one", 1), ("two", 1)], {"one": ("4A",), "two": ("4A",), "five": ("5",)})
    assert labels == {"one": ("4A",), "two": ("4B",)}


def test_what_is_no_label_counts_as_none():
    assert sheet_labels([("one", 1)], {"one": ("4a b",)}) == {"one": ("1",)}


def test_between_4_and_4a_there_is_always_room():
    recorded = {"four": ("4",), "letter": ("4A",)}
    labels = sheet_labels([("four", 1), ("new", 1), ("letter", 1)], recorded)
    assert labels["new"] == ("4-A",)
    newer = sheet_labels([("four", 1), ("newest", 1), ("new", 1), ("letter", 1)], labels)
    assert newer["newest"] == ("4--A",)


def test_labels_are_ordered_as_a_binder_is():
    texts = ["10", "4B", "5", "4", "4AA", "4A", "4-A"]
    assert [label.text for label in sorted(map(sheet_label, texts))] == ["4", "4-A", "4A", "4AA", "4B", "5", "10"]


def test_a_card_that_returns_takes_its_old_place_again():
    recorded = {"three": ("3",), "back": ("4",), "new": ("3A",)}
    labels = sheet_labels([("three", 1), ("back", 1), ("new", 1)], recorded)
    assert labels == recorded
    assert binder_order(labels) == ["three", "new", "back"]


def test_after_26_sheets_between_two_the_letters_go_on():
    cards = [("four", 1), *((f"new{n}", 1) for n in range(28)), ("five", 1)]
    labels = sheet_labels(cards, {"four": ("4",), "five": ("5",)})
    assert labels["new25"] == ("4Z",)
    assert labels["new26"] == ("4ZA",)


@pytest.mark.parametrize("text", ["", "A", "4a", "4A1", "4-", "4 A"])
def test_what_is_not_a_label_is_refused(text):
    with pytest.raises(ValueError, match="is not the label of a sheet"):
        sheet_label(text)


@given(handbooks_in_time())
def test_over_the_years_labels_are_unique_in_order_and_never_change(times):
    recorded: dict[str, tuple[str, ...]] = {}
    for cards in times:
        labels = sheet_labels(cards, recorded)
        flat = list(chain.from_iterable(labels[card] for card, _ in cards))
        assert len(set(flat)) == len(flat)
        assert flat == [label.text for label in sorted(map(sheet_label, flat))]
        assert binder_order(labels) == [card for card, _ in cards]
        assert all(len(labels[card]) == sheets for card, sheets in cards)
        for card, sheets in cards:
            kept = recorded.get(card, ())[:sheets]
            assert labels[card][: len(kept)] == kept
        assert sheet_labels(cards, labels) == labels
        # A withdrawn card's labels stay on record, and so does what a card had before it shrank.
        recorded |= {card: max(own, recorded.get(card, ()), key=len) for card, own in labels.items()}


@given(
    st.lists(st.sampled_from(NAMES), unique=True),
    st.dictionaries(st.sampled_from(NAMES), st.tuples(st.sampled_from(["1", "2", "2A", "3"]))),
)
def test_any_record_leaves_every_label_unique(cards, recorded):
    labels = sheet_labels([(card, 2) for card in cards], recorded)
    flat = list(chain.from_iterable(labels.values()))
    assert len(set(flat)) == len(flat) == 2 * len(cards)


def test_only_a_run_of_cards_that_all_changed_their_section_has_strayed():
    labels = {card: (str(number),) for number, card in enumerate("abcd", 1)}
    now = {"a": "A", "b": "B", "c": "B", "d": "A"}
    assert strays(labels, now, {**now, "b": "A"}) == frozenset(), "c was there before, b has come to it"
    assert strays(labels, now, {**now, "b": "A", "c": "A"}) == {"b", "c"}


def test_of_two_runs_of_a_new_section_the_first_stays():
    labels = {card: (str(number),) for number, card in enumerate("abcd", 1)}
    now = {"a": "A", "b": "B", "c": "B", "d": "A"}
    assert strays(labels, now, {**now, "a": "C", "d": "C"}) == {"d"}
