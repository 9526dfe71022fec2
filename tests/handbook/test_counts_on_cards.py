"""How many of an instrument there are stands beside its name, on every card that lists it."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitdocs.document.blocks import FormGrid, Item, Items
from kitdocs.document.card import Card, Handbook
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.handbook.survey.build_survey import make_survey
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.reading.reader import read_practice

EXAMPLE = Path(__file__).parents[2] / "example_practice"
CHANGES = {
    "sets.exam.contents": "[mirror: 2, explorer, probe, cotton-plier]",
    "sets.exam.cassette": "medium",
    "pouches.trim.contents": "[acrylic-bur: 2, scissors]",
    "pouches.trim.size": "medium-pouch",
    "procedures.records.needs": "[all of the set, cheek-retractor: 2, occlusal-mirror, buccal-mirror]",
    "procedures.debonding.needs.finishing-bur": "3 at 60%",
    "procedures.delivery.needs.acrylic-bur": "2 at 20%",
}


@pytest.fixture(scope="module")
def practice() -> Practice:
    return read_practice(EXAMPLE, CHANGES)


@pytest.fixture(scope="module")
def plan(practice: Practice) -> Plan:
    return make_plan(practice, days=40)


@pytest.fixture(scope="module")
def book(practice: Practice, plan: Plan) -> Handbook:
    return make_handbook(practice, plan, "en")


def items(card: Card) -> list[Item]:
    return [item for block in card.blocks if isinstance(block, Items) for item in block.items]


def test_the_refill_card_has_one_row_with_the_count(book: Handbook) -> None:
    rows = {item.id: item.count for item in items(book.card("s/exam"))}
    assert rows == {"mirror": 2, "explorer": 1, "probe": 1, "cotton-plier": 1}


def test_the_template_has_a_place_for_each_piece(book: Handbook, plan: Plan) -> None:
    mirrors = [item.number for item in items(book.card("t/exam")) if item.name == "Mouth mirror"]
    assert mirrors == [1, 2]
    assert [laid.instrument for laid in plan.fits["exam"].layout][:3] == ["mirror", "mirror", "explorer"]
    (where,) = (item.detail for item in items(book.card("i/mirror")) if item.id == "exam")
    assert where == "EX · places 1 and 2"


def test_a_pouch_in_a_drawer_names_the_count(book: Handbook) -> None:
    row = next(item for item in items(book.card("r/exam-room")) if item.id == "trim")
    assert row.detail == "TR · Acrylic bur × 2 · Scissors"


def test_what_is_used_once_is_listed_as_many_times_as_it_is_needed(book: Handbook) -> None:
    row = next(item for item in items(book.card("d/debonding")) if item.id == "finishing-bur")
    assert row.name.endswith(" × 3") and row.note == "At 60\N{NO-BREAK SPACE}% of visits."


def test_a_piece_more_in_each_set_is_a_piece_more_to_buy(practice: Practice, plan: Plan) -> None:
    needed = {line.id: line.need for line in plan.orders.lines}
    mirrors = sum(plan.days.stock[s] * practice.sets[s].contents.count("mirror") for s in practice.sets)
    assert practice.instruments["mirror"].repair is None
    assert needed["mirror"] == mirrors > sum(plan.days.stock[s] for s in practice.sets)


def test_the_sheets_of_a_visit_say_how_many(practice: Practice) -> None:
    (card,) = (card for card in make_survey(practice).cards if card.id == "survey/uses-2")
    (grid,) = (block for block in card.blocks if isinstance(block, FormGrid))
    first = list(practice.procedures).index("records") - 14
    rows = {row[0].text: [cell.text for cell in row[1:]] for row in grid.given}
    assert rows["Mouth mirror"][first] == "2 ×" and rows["Explorer"][first] == "×"
