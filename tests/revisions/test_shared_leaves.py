"""Cards that share leaves: which, on which labels, and that nothing moves that was printed.

Loose-leaf practice (common practice, no source).
"""

from __future__ import annotations

from itertools import chain

from hypothesis import example, given
from hypothesis import strategies as st

from kitdocs.document.card import Card
from kitdocs.revisions.loose_leaf import SheetLabels, kept_labels, sheet_label
from kitdocs.revisions.shared_leaves import BoundCard, bound_cards, bundles


def card(id_: str, back_of: str = "", *, pairs: bool = False, section: str = "All") -> Card:
    return Card(id=id_, kind="page", title=id_, section=section, front=(), back_of=back_of, pairs=pairs)


def bound(cards: list[Card], pages: dict[str, int], recorded: SheetLabels | None = None) -> dict[str, BoundCard]:
    return bound_cards(bundles(cards, pages, recorded or {}), pages, recorded or {})


def labels(found: dict[str, BoundCard]) -> dict[str, tuple[str, ...]]:
    return {id_: own.labels for id_, own in found.items()}


def test_a_card_goes_on_on_the_back_of_its_leader():
    found = bound([card("chair"), card("map"), card("drawer", "chair")], {"chair": 1, "map": 1, "drawer": 1})
    assert [*found] == ["chair", "drawer", "map"], "in the order of the binder"
    assert labels(found) == {"chair": ("1",), "drawer": ("1",), "map": ("2",)}
    assert (found["chair"].from_back, found["drawer"].from_back, found["chair"].last) == (False, True, False)


def test_a_template_of_two_pages_begins_behind_its_set_and_ends_on_a_sheet_of_its_own():
    found = bound([card("set"), card("template", "set"), card("next")], {"set": 1, "template": 2, "next": 1})
    assert labels(found) == {"set": ("1",), "template": ("1", "2"), "next": ("3",)}


def test_cards_of_a_section_that_may_pair_do_so_in_twos():
    cards = [card(id_, pairs=True) for id_ in "abcde"]
    assert labels(bound(cards, dict.fromkeys("abcde", 1))) == {
        **{"a": ("1",), "b": ("1",)},
        **{"c": ("2",), "d": ("2",), "e": ("3",)},
    }


def test_no_pair_crosses_a_section_and_none_begins_behind_a_full_back():
    two = [card("a", pairs=True), card("b", pairs=True, section="Other")]
    assert bundles(two, {"a": 1, "b": 1}, {}) == [("a",), ("b",)]
    assert bundles([card("a", pairs=True), card("b", pairs=True)], {"a": 2, "b": 1}, {}) == [("a",), ("b",)]


def test_two_sets_whose_templates_leave_a_back_empty_share_sheets_and_those_that_leave_none_do_not():
    cards = [card("s1", pairs=True), card("t1", "s1"), card("s2", pairs=True), card("t2", "s2")]
    odd = {"s1": 1, "t1": 2, "s2": 1, "t2": 2}
    assert bundles(cards, odd, {}) == [("s1", "t1", "s2", "t2")]
    assert labels(bound(cards, odd)) == {"s1": ("1",), "t1": ("1", "2"), "s2": ("2",), "t2": ("3",)}
    assert bundles(cards, {**odd, "t1": 3}, {}) == [("s1", "t1"), ("s2", "t2")]
    assert bundles(cards, odd, {"t1": ("1", "2"), "s2": ("3",)}) == [("s1", "t1"), ("s2", "t2")], "printed apart"


def test_a_new_card_between_two_pairs_parts_none_of_them():
    recorded = {"a": ("1",), "b": ("1",), "c": ("2",), "d": ("2",)}
    cards = [card(id_, pairs=True) for id_ in "axbcdy"]
    assert labels(bound(cards, dict.fromkeys("axbcdy", 1), recorded)) == {
        **recorded,
        **{"x": ("1A",), "y": ("1A",)},
    }


def test_a_card_whose_mate_went_stays_where_it_is_until_a_new_one_joins_it():
    recorded = {"a": ("1",), "b": ("1",), "c": ("2",), "d": ("2",)}
    left = [card("b", pairs=True), card("c", pairs=True)]
    assert labels(bound(left, {"b": 1, "c": 1}, recorded)) == {"b": ("1",), "c": ("2",)}
    joined = bound([*left, card("new", pairs=True)], {"b": 1, "c": 1, "new": 1}, recorded)
    assert labels(joined) == {"b": ("1",), "new": ("1",), "c": ("2",)}


def test_a_binder_that_was_printed_with_a_sheet_for_each_card_keeps_the_first_of_them():
    """The list before cards shared sheets: chair on 1 and 2, their drawers on 8 and 9."""
    recorded = {"chair-1": ("1",), "chair-2": ("2",), "drawer-1": ("8",), "drawer-2": ("9",)}
    cards = [card("chair-1"), card("chair-2"), card("drawer-1", "chair-1"), card("drawer-2", "chair-2"), card("new")]
    assert labels(bound(cards, {card.id: 1 for card in cards}, recorded)) == {
        **{"chair-1": ("1",), "drawer-1": ("1",), "chair-2": ("2",), "drawer-2": ("2",)},
        "new": ("2A",),
    }


LIVES = st.fixed_dictionaries(
    {name: st.lists(st.integers(0, 3), min_size=4, max_size=4).map(tuple) for name in "abcdefgh"}
)


@example(
    list("cbadefgh"),
    {**dict.fromkeys("abcdefgh", (0, 0, 0, 0)), "b": (1, 1, 1, 0), "c": (1, 0, 1, 0), "f": (0, 0, 1, 0)},
    {"f": "c"},
)
@example(
    list("abcdefgh"),
    {**dict.fromkeys("abch", (0, 0, 0, 0)), "d": (0, 0, 1, 1), "e": (0, 1, 1, 1), "f": (0, 1, 0, 1), "g": (0, 1, 1, 1)},
    {"e": "d", "g": "d"},
)
@given(st.permutations("abcdefgh"), LIVES, st.dictionaries(st.sampled_from("efgh"), st.sampled_from("abcd")))
def test_over_the_years_no_leaf_holds_more_than_its_two_sides_and_bundles_stay_on_theirs(order, lives, behind):
    ever: dict[str, tuple[str, ...]] = {}
    last: dict[str, tuple[str, ...]] = {}
    recorded: dict[str, tuple[str, ...]] = {}
    before: list[tuple[tuple[str, ...], list[int]]] = []
    for year in range(4):
        pages = {name: life[year] for name, life in lives.items() if life[year]}
        cards = [card(name, behind.get(name, ""), pairs=name in "abc") for name in order if name in pages]
        which = bundles(cards, pages, recorded)
        found = bound_cards(which, pages, recorded)
        assert sorted(chain.from_iterable(which)) == sorted(pages)
        sides = [(own.first + n) % 2 for own in found.values() for n in range(own.pages)]
        held = [own.labels[(own.first % 2 + n) // 2] for own in found.values() for n in range(own.pages)]
        assert len(set(zip(held, sides, strict=True))) == sum(pages.values()), "each side holds one page"
        assert held == [label.text for label in sorted(map(sheet_label, held))], (
            "the leaves of a bundle follow each other"
        )
        for bundle in which:
            assert len({label for name in bundle for label in found[name].labels}) == -(
                -sum(pages[name] for name in bundle) // 2
            )
        same = [(bundle, [pages[name] for name in bundle]) for bundle in which]
        for bundle in (bundle for bundle, now in same if (bundle, now) in before):
            assert all(found[name].labels == last[name] for name in bundle), "what stays as it is stays where it is"
        before = same
        last |= labels(found)
        ever |= {name: tuple(dict.fromkeys((*ever.get(name, ()), *own))) for name, own in labels(found).items()}
        recorded = kept_labels(ever, last, pages)
        again = bundles(cards, pages, recorded)
        assert labels(bound_cards(again, pages, recorded)) == labels(found), "printed again it is the same"
