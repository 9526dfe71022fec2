"""The list for replacing cards: place by place, old against new."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import built_in_catalog
from kitdocs.document.history import Replacement
from kitdocs.revisions.replacement_list import MOST_CHANGES, ReplacementGroup, contents_line
from kitdocs.revisions.replacement_list import replacement_list as listed
from kitdocs.revisions.shared_leaves import BoundCard, leaf_exchanges

LABELS = {"r/teal": ("3",), "drawer/teal": ("4",), "pages/visits": ("4A",), "current": ("5", "6")}


def replacement_list(handbook: Handbook, due: list[Replacement], labels: Mapping[str, tuple[str, ...]], **more):
    """The list where each card has sheets of its own, but for those that `labels` put on the same."""
    bound: dict[str, BoundCard] = {}
    for id_, own in labels.items():
        shares = any(own[0] in other.labels for other in bound.values())
        bound[id_] = BoundCard(labels=own, pages=1, first=1 if shares else 0)
    return listed(handbook, due, leaf_exchanges(bound, due, handbook.sheets), **more)


def card(id_: str, title: str, **more: object) -> Card:
    return Card(id=id_, kind="page", form="sheet", title=title, section="All", front=(), **more)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def handbook() -> Handbook:
    return Handbook(
        practice="Tern & Juniper Orthodontics",
        language="en",
        words=built_in_catalog("en"),
        languages=("en",),
        site="",
        paper="letter",
        card_mm=(152.4, 101.6),
        text_mm=2.5,
        cards=(
            card("r/teal", "Refill: Chair 1", hangs="On the wall", place="wall"),
            card("drawer/teal", "Drawer: Chair 1", hangs="In the drawer: Chair 1", place="drawer"),
            card("pages/visits", "Visits", hangs="In the binder", place="binder"),
            card("current", "Current cards", hangs="In the binder", place="binder"),
        ),
        sheets={"r/teal": ("3",), "drawer/teal": ("4",), "current": ("5",), "pages/calls": ("7",)},
    )


def changed(id_: str, title: str, hangs: str, **more: object) -> Replacement:
    old = {"old_edition": "OLD22", "new_edition": "NEW33", "old_title": title, "old_hangs": hangs}
    return Replacement(card=id_, action="replace", title=title, hangs=hangs, **{**old, **more})  # type: ignore[arg-type]


def test_a_card_that_hangs_and_is_in_the_binder_is_exchanged_in_both_places(handbook):
    teal = changed("r/teal", "Refill: Chair 1", "On the wall", sheets=("3",), changes=("Bending pouch 1 → 2",))
    wall, binder = replacement_list(handbook, [teal], LABELS)
    assert (wall.place, binder.place) == ("On the wall of the reprocessing room", "In the binder")
    (line,) = wall.lines
    assert (line.taken.more, line.put.more) == ("edition OLD22", "edition NEW33")
    assert line.changes == ("Bending pouch 1 → 2",)
    (line,) = binder.lines
    assert (line.taken.more, line.put.more) == ("sheet 3 · edition OLD22", "sheet 3 · edition NEW33")
    assert line.changes == ("Same as the posted card.",)


def test_the_drawer_is_named_where_there_are_several(handbook):
    (drawer, _) = replacement_list(
        handbook, [changed("drawer/teal", "Drawer: Chair 1", "In the drawer: Chair 1")], LABELS
    )
    assert drawer.lines[0].put.more == "In the drawer: Chair 1 · edition NEW33"


def test_a_new_card_of_the_binder_is_put_in_and_nothing_comes_out(handbook):
    new = Replacement(card="pages/visits", action="add", title="Visits", hangs="In the binder", new_edition="NEW33")
    (binder,) = replacement_list(handbook, [new], LABELS)
    (line,) = binder.lines
    assert line.taken is None
    assert line.put.more == "sheet 4A · edition NEW33"
    assert line.changes == ("New card.",)


def test_a_withdrawn_card_comes_out_where_others_hang_and_from_the_binder(handbook):
    gone = Replacement(
        card="r/pink",
        action="take-out",
        title="Refill: Chair 2",
        hangs="On the wall",
        old_edition="OLD22",
        sheets=("8",),
    )
    wall, binder = replacement_list(handbook, [gone], LABELS)
    assert [line.put for line in (*wall.lines, *binder.lines)] == [None, None]
    assert binder.lines[0].taken.more == "sheet 8 · edition OLD22"
    assert binder.lines[0].changes == ("No longer used.",)


def test_a_withdrawn_card_whose_place_nobody_knows_is_still_on_the_list(handbook):
    gone = Replacement(card="r/pink", action="take-out", title="Refill", hangs="Behind the door", old_edition="OLD22")
    (elsewhere,) = replacement_list(handbook, [gone], LABELS)
    assert elsewhere.place == "Elsewhere"
    assert elsewhere.lines[0].taken.more == "Behind the door · edition OLD22"


def test_a_card_that_moves_comes_out_at_its_old_place(handbook):
    moved = changed("drawer/teal", "Drawer: Chair 1", "In the drawer: Chair 1", old_hangs="On the wall")
    wall, drawer, _ = replacement_list(handbook, [moved], LABELS)
    assert (wall.lines[0].put, drawer.lines[0].taken) == (None, None)
    assert (wall.lines[0].changes, drawer.lines[0].changes) == ((), ())
    recounted = replace(moved, changes=("Bending pouch 1 → 2",))
    assert [group.lines[0].changes for group in replacement_list(handbook, [recounted], LABELS)[:2]] == [
        ("Bending pouch 1 → 2",),
        ("Bending pouch 1 → 2",),
    ]


def test_a_new_card_that_hangs_says_so_where_it_is_put(handbook):
    new = Replacement(card="r/pink", action="add", title="Refill: Chair 2", hangs="On the wall", new_edition="NEW33")
    (wall,) = replacement_list(handbook, [new], LABELS)
    assert wall.lines[0].changes == ("New card.",)


def test_a_renamed_chair_keeps_its_drawer_on_one_line(handbook):
    renamed = changed(
        "drawer/teal", "Drawer: Chair 1", "In the drawer: Chair 1", old_title="Drawer: A", old_hangs="In the drawer: A"
    )
    drawer, _ = replacement_list(handbook, [renamed], LABELS)
    (line,) = drawer.lines
    assert (line.taken.title, line.put.title) == ("Drawer: A", "Drawer: Chair 1")


def test_a_recoloured_chair_comes_out_by_its_old_colour(handbook):
    teal = changed("r/teal", "Refill: Chair 1", "On the wall", subtitle="Sea green", old_subtitle="Teal")
    wall, _ = replacement_list(handbook, [teal], LABELS)
    (line,) = wall.lines
    assert (line.taken.more, line.put.more) == ("Teal · edition OLD22", "Sea green · edition NEW33")


def test_the_contents_are_exchanged_where_a_binder_was_printed_before(handbook):
    line = contents_line(handbook.words, there=True)
    assert (line.taken, line.put.title, line.changes) == (
        line.put,
        "Contents of the binder",
        ("Its list has changed.",),
    )
    assert contents_line(handbook.words, there=False).taken is None


def test_the_binder_is_in_the_order_of_its_sheets_and_its_contents_come_first(handbook):
    lines = [
        changed("current", "Current cards", "In the binder", sheets=("5",)),
        Replacement(card="pages/visits", action="add", title="Visits", hangs="In the binder", new_edition="NEW33"),
        changed("r/teal", "Refill: Chair 1", "On the wall", sheets=("3",)),
    ]
    contents = contents_line(handbook.words, there=True)
    binder = replacement_list(handbook, lines, LABELS, contents=contents)[-1]
    titles = [(line.put or line.taken).title for line in binder.lines]
    assert titles == ["Contents of the binder", "Refill: Chair 1", "Visits", "Current cards"]
    assert binder.lines[-1].taken.more == "sheet 5 · edition OLD22"
    assert binder.lines[-1].put.more == "sheets 5, 6 · edition NEW33"


SHARED = {"r/teal": ("3",), "drawer/teal": ("3",), "pages/visits": ("4",), "current": ("4",)}


def test_cards_that_share_a_sheet_are_one_line_which_says_what_changed_on_which(handbook):
    visits = changed("pages/visits", "Visits", "In the binder", sheets=("4",), changes=("Its words have changed.",))
    current = changed("current", "Current cards", "In the binder", sheets=("4",), changes=("Its list has changed.",))
    binder = replacement_list(replace(handbook, sheets=SHARED), [visits, current], SHARED)[-1]
    (line,) = binder.lines
    assert (line.taken.title, line.taken.more) == ("Visits + Current cards", "sheet 4")
    assert (line.put.title, line.put.more) == ("Visits + Current cards", "sheet 4")
    assert line.changes == ("Visits: Its words have changed.", "Current cards: Its list has changed.")


def test_a_card_that_stays_is_printed_again_with_the_one_beside_it(handbook):
    visits = changed("pages/visits", "Visits", "In the binder", sheets=("4",), changes=("Its words have changed.",))
    (binder,) = replacement_list(replace(handbook, sheets=SHARED), [visits], SHARED)
    (line,) = binder.lines
    assert (line.taken.title, line.put.title) == ("Visits + Current cards", "Visits + Current cards")
    assert line.changes == ("Visits: Its words have changed.",)


def test_all_sheets_of_the_card_beside_it_come_out_too(handbook):
    visits = changed("pages/visits", "Visits", "In the binder", sheets=("4",), changes=("Its words have changed.",))
    shared = {"pages/visits": ("4",), "current": ("4", "5")}
    (binder,) = replacement_list(replace(handbook, sheets=shared), [visits], shared)
    (line,) = binder.lines
    assert (line.taken.more, line.put.more) == ("sheets 4, 5", "sheets 4, 5")


def test_a_card_that_goes_leaves_its_sheet_to_the_one_beside_it(handbook):
    gone = Replacement(
        card="pages/calls", action="take-out", title="Calls", hangs="In the binder", old_edition="OLD22", sheets=("4",)
    )
    sheets = {"pages/calls": ("4",), "pages/visits": ("4",)}
    (binder,) = replacement_list(replace(handbook, sheets=sheets), [gone], {"pages/visits": ("4",)})
    (line,) = binder.lines
    assert (line.taken.title, line.put.title) == ("Visits + Calls", "Visits")
    assert (line.taken.more, line.put.more) == ("sheet 4", "sheet 4")
    assert line.changes == ("Calls: No longer used.",)


def test_two_cards_that_go_from_one_sheet_are_one_line(handbook):
    gone = [
        Replacement(card=id_, action="take-out", title=id_, hangs="In the binder", old_edition="OLD22", sheets=("8",))
        for id_ in ("pages/calls", "pages/keys")
    ]
    (binder,) = replacement_list(handbook, gone, LABELS)
    (line,) = binder.lines
    assert (line.taken.title, line.taken.more, line.put) == ("pages/calls + pages/keys", "sheet 8", None)


def test_an_old_sheet_of_a_card_that_came_to_share_another_is_taken_out_too(handbook):
    """The binder before cards shared sheets: the chair on 3, its drawer on 9."""
    before = {"r/teal": ("3",), "drawer/teal": ("9",)}
    teal = changed("r/teal", "Refill: Chair 1", "On the wall", sheets=("3",))
    binder: ReplacementGroup = replacement_list(replace(handbook, sheets=before), [teal], SHARED)[-1]
    (line,) = binder.lines
    assert (line.taken.more, line.put.more) == ("sheets 3, 9", "sheet 3")


def test_of_many_changes_the_first_are_told(handbook):
    many = tuple(f"Change {n}" for n in range(9))
    (binder,) = replacement_list(handbook, [changed("current", "Current cards", "In the binder", changes=many)], LABELS)
    assert binder.lines[0].changes == (*many[:MOST_CHANGES], "…")
