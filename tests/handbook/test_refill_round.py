"""The round: what is fetched in the order of the store, on the page and on the sheet."""

from __future__ import annotations

import dataclasses

import pytest

from kitdocs.document.blocks import FormGrid, Items
from kitdocs.document.card import Card, Handbook
from kitdocs.handbook.brief import Brief, brief_for
from kitdocs.handbook.forms import forms
from kitdocs.handbook.refill_round import in_store_order, round_page
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice


@pytest.fixture(scope="module")
def brief(example: Practice, example_plan: Plan) -> Brief:
    return brief_for(example, example_plan)


def sheet(brief: Brief) -> Card:
    (card,) = (card for card in forms(brief) if card.id == "forms/round")
    return card


def grids(brief: Brief) -> list[FormGrid]:
    return [block for block in sheet(brief).blocks if isinstance(block, FormGrid)]


def test_what_is_fetched_stands_in_the_order_in_which_the_store_is_walked(brief: Brief, example_plan: Plan) -> None:
    stored = [one.id for one in example_plan.store if one.kind == "pack"]
    order = dict(in_store_order(brief))
    assert set(order) == {pouch for chair in brief.practice.chairs.values() for pouch in chair.drawer}
    assert list(order) == sorted(order, key=stored.index)
    codes = example_plan.places
    assert all(list(where) == list(codes[pouch]) for pouch, where in order.items())


def test_where_no_shelves_are_stated_the_order_is_that_of_the_pouches(example: Practice, example_plan: Plan) -> None:
    nowhere = [dataclasses.replace(one, place=None, position=0) for one in example_plan.store]
    plan = dataclasses.replace(example_plan, store=tuple(nowhere))
    order = dict(in_store_order(brief_for(example, plan)))
    assert list(order) == [pouch for pouch in example.pouches if pouch in order]
    assert not any(order.values())


def test_a_pouch_that_is_kept_in_a_drawer_of_the_store_is_fetched_from_there(example: Practice) -> None:
    in_drawer = example.pouches["bends"].model_copy(update={"place": "D5"})
    practice = dataclasses.replace(example, pouches={**example.pouches, "bends": in_drawer})
    found = dict(in_store_order(brief_for(practice, make_plan(practice, days=1))))
    assert list(found)[-1] == "bends", "drawers come after the shelves"
    assert found["bends"] == {"D5": practice.room.drawers["screw-drawer"].name.in_language("en")}


def test_a_practice_without_drawers_has_no_round(example: Practice, example_plan: Plan) -> None:
    chairs = {id_: chair.model_copy(update={"drawer": {}}) for id_, chair in example.chairs.items()}
    brief = brief_for(dataclasses.replace(example, chairs=chairs), example_plan)
    assert list(round_page(brief)) == []
    assert "forms/round" not in [card.id for card in forms(brief)]


def test_the_page_lists_what_the_refill_cards_ask_for(example_handbooks: tuple[Handbook, ...]) -> None:
    for book in example_handbooks:
        (fetched,) = book.card("round").front
        assert isinstance(fetched, Items)
        asked = {
            item.id
            for card in book.cards
            if card.kind == "refill-chair"
            for block in card.front
            if isinstance(block, Items)
            for item in block.items
        }
        assert {item.id for item in fetched.items} == asked


def test_the_sheet_has_a_box_for_every_pouch_of_every_chair_in_walking_order(brief: Brief) -> None:
    (grid,) = grids(brief)
    practice = brief.practice
    assert grid.columns == ("Pouch", *map(brief.chair, practice.chairs), "Sum")
    fetched = [pouch for pouch, _ in in_store_order(brief)]
    assert [row[0].text for row in grid.given] == [brief.pouch(pouch) for pouch in fetched], "every place is stated"
    assert [row[0].detail.split(" · at ") for row in grid.given] == [
        [brief.code(pouch), *brief.stands(pouch)] for pouch in fetched
    ]
    for pouch, row in zip(fetched, grid.given, strict=True):
        for chair, cell in zip(practice.chairs, row[1:], strict=True):
            par = brief.plan.par.get((chair, pouch))
            assert cell.text == (f"({par})" if par is not None else "–")
        assert len(row) == len(grid.columns) - 1, "the sum is left to the hand"


def test_a_place_that_is_worked_out_neither_stands_on_the_sheet_nor_orders_its_rows(brief: Brief) -> None:
    """As on the refill cards: it moves with the counts, and the sheet would have to be printed anew."""
    practice = brief.practice
    unstated = practice.pouches["trim"].model_copy(update={"place": None})
    other = dataclasses.replace(
        brief, practice=dataclasses.replace(practice, pouches={**practice.pouches, "trim": unstated})
    )
    (before,), (after,) = grids(brief), grids(other)
    assert [row[0].text for row in before.given].index("Trimming pouch") == 0
    assert [row[0].text for row in after.given].index("Trimming pouch") == len(after.given) - 1
    assert after.given[-1][0].detail == "TR"
    moved = dataclasses.replace(brief.plan, store=tuple(reversed(brief.plan.store)))
    assert grids(dataclasses.replace(other, plan=moved))[0].given[-1] == after.given[-1]


def test_one_table_of_all_chairs_is_on_the_sheet_for_every_round_it_has_room_for(brief: Brief) -> None:
    (grid,) = grids(brief)
    assert grid.repeated and grid.fields == ("Date", "Time", "Who")
    assert "One table is one round" in str(sheet(brief).blocks[0])


def with_chairs(brief: Brief, count: int) -> Brief:
    """The practice with so many chairs, each as its first one."""
    one, *_ = brief.practice.chairs.values()
    chairs = {f"chair-{n}": one for n in range(count)}
    pars = {(new, of): par for new in chairs for (_, of), par in brief.plan.days.pars.items() if of in one.drawer}
    plan = dataclasses.replace(brief.plan, days=dataclasses.replace(brief.plan.days, pars=pars))
    return brief_for(dataclasses.replace(brief.practice, chairs=chairs), plan)


def test_many_chairs_stand_in_two_tables_that_are_summed_together(brief: Brief) -> None:
    many = with_chairs(brief, 11)
    found = grids(many)
    assert [len(grid.columns) for grid in found] == [1 + 6 + 1, 1 + 5 + 2]
    assert [grid.columns[-1] for grid in found] == ["Sum", "Sum of all"]
    assert not any(grid.repeated for grid in found) and [bool(grid.fields) for grid in found] == [True, False]
    assert "One table is one round" not in str(sheet(many).blocks[0])


@pytest.mark.parametrize("count", [9, 12, 25, 40])
def test_tables_of_many_chairs_are_about_as_wide_as_each_other(brief: Brief, count: int) -> None:
    """Of 25 chairs three tables had seven and the last had four."""
    found = grids(with_chairs(brief, count))
    columns = [len(grid.columns) - 2 for grid in found[:-1]] + [len(found[-1].columns) - 3]
    assert sum(columns) == count and max(columns) <= 8
    assert max(columns) - min(columns) <= 1
