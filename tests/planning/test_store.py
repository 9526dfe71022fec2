"""The order of the store, against what a person would read off the shelves and drawers."""

from __future__ import annotations

from itertools import groupby

from invented_practice import practice

from kitdocs import Plan, Practice
from kitdocs.planning.measures.standing import standings
from kitdocs.planning.measures.store import in_store
from kitdocs.practice.store_places import shelf_letters, store_places

LOW = {"name": "Low", "length": "30 cm", "depth": "30 cm", "from_floor": "25 cm", "from_ceiling": "2 m"}
NEAR = {"name": "Near", "length": "25 cm", "depth": "30 cm", "from_floor": "1 m", "from_ceiling": "1 m"}
DRAWERS = {
    "wraps": {"name": "Wraps", "holds": "sheets", "width": "600 mm", "depth": "600 mm"},
    "tape": {"name": "Tape", "holds": "supplies", "width": "300 mm", "depth": "400 mm"},
    "more": {"name": "More tape", "holds": "supplies", "width": "300 mm", "depth": "400 mm"},
}
SUPPLIES = [("tape", "tape"), ("sheet", "sheet-18"), ("pouch", "small-pouch")]


def test_who_fetches_in_this_order_walks_along_the_shelves_once_and_then_along_the_drawers() -> None:
    """By hand: a core set is 44 mm thick, a pouch 12 mm, and what is taken most stands within reach."""
    described = practice(room={"shelves": {"low": LOW, "near": NEAR}, "drawers": DRAWERS})
    found = in_store(described, {"core": 14, "bends": 5}, {"core": 9.0, "bends": 2.0}, {"mirror": 2}, SUPPLIES)
    assert [(one.code, one.kind, one.id, one.count) for one in found] == [
        ("A1", "pack", "core", 6),
        ("A2", "pack", "bends", 3),
        ("B1", "pack", "core", 5),
        ("B2", "pack", "bends", 2),
        ("D1", "supply", "sheet-18", None),
        ("D2", "supply", "tape", None),
        ("", "pack", "core", 3),
        ("", "spare", "mirror", 2),
        ("", "supply", "small-pouch", None),
    ]


def test_a_code_names_one_place_and_is_not_read_as_another() -> None:
    """No I or O beside 1 and 0; D and H stand for drawers and hooks."""
    described = practice(room={"shelves": {f"shelf-{n}": LOW for n in range(60)}, "drawers": DRAWERS})
    codes = [place.code for place in store_places(described.room)]
    assert len(set(codes)) == 63 and codes[:4] == ["A", "B", "C", "E"] and codes[-3:] == ["D1", "D2", "D3"]
    assert not any(set(code) & set("IOH") for code in codes)
    assert not any("D" in code for code in codes[:-3])


def test_the_plan_of_the_example_keeps_every_pack_spare_and_supply(example: Practice, example_plan: Plan) -> None:
    days, store = example_plan.days, example_plan.store
    counted = {
        id_: sum(one.count or 0 for one in here)
        for id_, here in groupby(sorted((o for o in store if o.kind == "pack"), key=lambda o: o.id), lambda o: o.id)
    }
    assert counted == {id_: number for id_, number in {**days.stock, **days.pouch_stock}.items() if number}
    assert {one.id: one.count for one in store if one.kind == "spare"} == example_plan.orders.spares
    assert {one.id for one in store if one.kind == "supply"} == {use.id for use in example_plan.supplies}
    assert set(example_plan.places) == set(counted)


def test_the_places_on_a_shelf_are_counted_from_its_left_end(example: Practice, example_plan: Plan) -> None:
    days, letters = example_plan.days, shelf_letters(example.room)
    taken = {id_: kind.taken_per_day for id_, kind in {**days.sets, **days.add_ons}.items()}
    taken |= {id_: pouch.opened_per_day for id_, pouch in days.drawer_pouches.items()}
    by_left_end = sorted(
        standings(example, {**days.stock, **days.pouch_stock}, taken), key=lambda one: (one.shelf, one.start_mm)
    )
    for shelf, here in groupby(by_left_end, key=lambda one: one.shelf):
        for n, one in enumerate(here, 1):
            assert f"{letters[shelf]}{n}" in example_plan.places[one.pack]
