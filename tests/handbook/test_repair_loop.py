"""A dull instrument on its way: out of the set, tagged, a spare in its place, written down, counted, back."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest

from kitdocs.document.blocks import Cell, Fact, Facts, Matrix, Steps
from kitdocs.document.card import Card
from kitdocs.document.catalog import built_in_catalog
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.repair import repair
from kitdocs.handbook.cards.sets import refill_set, template
from kitdocs.handbook.cards.stock import stock_card
from kitdocs.handbook.forms import count_sheet
from kitdocs.handbook.labels import label_sheets
from kitdocs.planning.buying.placement import orders_for
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.report.buying import buying_card, spares_card
from kitdocs.report.tables import plan_tables


@pytest.fixture
def brief(example: Practice, example_plan: Plan) -> Brief:
    return Brief(practice=example, plan=example_plan, words=built_in_catalog("en"))


def table(card: Card, title: str) -> dict[str, tuple[Cell, ...]]:
    (found,) = (block for block in card.blocks if isinstance(block, Matrix) and block.title == title)
    return {row[0].text: row for row in found.rows}


def spare_fact(card: Card) -> Fact | None:
    facts = [fact for block in card.blocks if isinstance(block, Facts) for fact in block.facts]
    return next((fact for fact in facts if fact.label == "Spares"), None)


def steps(card: Card) -> str:
    return " ".join(step.text for block in card.blocks if isinstance(block, Steps) for step in block.steps)


def test_the_card_shows_each_spare_with_its_picture_its_number_and_where_it_goes(brief: Brief) -> None:
    listed = table(repair(brief), "The spares: Spares drawer (D3)")
    kept = {line.id: line for line in brief.plan.orders.lines if line.spares}
    assert list(listed) == [brief.instrument(id_) for id_ in kept]
    for id_, line in kept.items():
        name, count, into, _ = listed[brief.instrument(id_)]
        assert name.picture and count.text == str(line.spares)
        holders: list[Any] = [*brief.practice.sets.values(), *brief.practice.pouches.values()]
        assert into.text.split(", ") == [holder.code for holder in holders if id_ in holder.contents]


def test_the_spares_lie_in_their_drawer_or_in_a_box_at_the_bench(brief: Brief) -> None:
    assert "Spares drawer" in steps(repair(brief))
    room = brief.practice.room
    drawers = {id_: drawer for id_, drawer in room.drawers.items() if drawer.holds != "spares"}
    without = dataclasses.replace(brief.practice, room=room.model_copy(update={"drawers": drawers}))
    assert "box of spares at the packing table" in steps(repair(dataclasses.replace(brief, practice=without)))


def test_set_card_and_template_say_of_what_there_is_a_spare_and_where(brief: Brief) -> None:
    for card in (refill_set(brief, "core"), template(brief, "core")):
        fact = spare_fact(card)
        assert fact and fact.value.startswith("Spares drawer (D3): ")
        assert "Weingart plier" in fact.value and "Mouth mirror" not in fact.value
    assert spare_fact(template(brief, "exam")) is None, "nothing of the exam set goes away for repair"


@pytest.mark.parametrize("language", ["en", "es", "de", "fr"])
def test_the_card_names_the_boxes_as_they_stand_on_the_tag(
    example: Practice, example_plan: Plan, language: str
) -> None:
    brief = Brief(practice=example, plan=example_plan, words=built_in_catalog(language))
    card = repair(brief)
    (tags,) = (sheet for sheet in label_sheets(brief) if sheet.kind == "repair-tag")
    spare, no_spare = tags.labels[0].checks
    assert spare in steps(card)
    assert any(no_spare in getattr(block, "text", "") for block in card.blocks)


def test_what_is_in_repair_is_owned_but_absent_and_everybody_sees_it(brief: Brief) -> None:
    # example_practice/stock.csv: distal-cutter 17 on hand, 3 in repair; hard-wire-cutter 7 and 1; mirror 44 and none.
    lines = {line.id: line for line in brief.plan.orders.lines}
    assert (lines["distal-cutter"].owned, lines["distal-cutter"].in_repair) == (20, 3)
    assert lines["mirror"].in_repair == 0
    report = {
        row[0].text: row for block in buying_card(brief).blocks if isinstance(block, Matrix) for row in block.rows
    }
    owned = next(cell for cell in report["Distal end cutter"] if cell.text == "20")
    assert owned.detail == "3 of them in repair"
    (orders,) = (each for each in plan_tables(brief.practice, brief.plan).tables if each.name == "order-list")
    column = [column.name for column in orders.columns].index("Of these in repair")
    assert {row[0]: row[column] for row in orders.rows}["distal-cutter"] == 3


def test_the_stock_card_says_how_many_spares_there_should_be_and_no_count_changes_it(
    brief: Brief, example: Practice
) -> None:
    listed = table(stock_card(brief), "Spares")
    kept = {line.id: line.spares for line in brief.plan.orders.lines if line.spares}
    assert {name: row[1].text for name, row in listed.items()} == {
        brief.instrument(id_): str(spares) for id_, spares in kept.items()
    }
    counted = {id_: line.model_copy(update={"on_hand": 3, "in_repair": 2}) for id_, line in example.stock.items()}
    recounted = dataclasses.replace(example, stock=counted)
    plan = dataclasses.replace(brief.plan, orders=orders_for(recounted, brief.plan.days))
    assert stock_card(dataclasses.replace(brief, practice=recounted, plan=plan)) == stock_card(brief)
    assert count_sheet(dataclasses.replace(brief, practice=recounted, plan=plan)) == count_sheet(brief)


def test_the_report_says_when_more_is_away_than_there_are_spares(brief: Brief) -> None:
    card = spares_card(brief)
    assert card
    listed = table(card, "Away for repair, and spares for it")
    lines = {brief.instrument(line.id): line for line in brief.plan.orders.lines if line.kind == "instrument"}
    for name, row in listed.items():
        assert row[5].text == str(lines[name].spares)
        assert row[5].detail.startswith(f"{lines[name].in_repair} away today") == (lines[name].in_repair > 0)
        assert row[5].detail.endswith("more than the spares") == (lines[name].in_repair > lines[name].spares)
    # example_practice/stock.csv: one handpiece is away, and the plan has no spare of it.
    assert listed["Slow-speed handpiece"][5].detail == "1 away today, more than the spares"
