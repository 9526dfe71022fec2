"""The cards of the move: what they count is what the plan has, and a small practice gets nothing empty."""

from __future__ import annotations

import dataclasses
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from decimal import Decimal
from itertools import pairwise
from types import MappingProxyType

import pytest

from kitdocs.document.blocks import Facts, FormGrid, Items, Matrix, Steps
from kitdocs.document.card import Card, Handbook
from kitdocs.handbook.brief import brief_for
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.handbook.move.build_move import move_cards
from kitdocs.handbook.move.go_live import supplies_weeks
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.needs import Need

pytestmark = pytest.mark.usefixtures("codes_alike")

MOVE = (
    "move/plan",
    "move/order",
    "move/mark",
    "move/start",
    "move/training/assistant",
    "move/training/technician",
    "move/training/temporary",
    "move/training/office",
    "move/self-test",
    "move/self-test-answers",
    "move/first-week",
)


def moved(practice: Practice, plan: Plan, of: Handbook) -> Mapping[str, Card]:
    """The cards of the move by id, beside the other cards of a handbook that is made already."""
    brief = brief_for(practice, plan, of.language)
    return {card.id: card for card in move_cards(brief, [card for card in of.cards if card.id not in MOVE])}


def tables(card: Card) -> dict[str, Matrix]:
    return {block.title: block for block in card.blocks if isinstance(block, Matrix)}


def grid(card: Card) -> FormGrid:
    (found,) = (block for block in card.blocks if isinstance(block, FormGrid))
    return found


def test_the_move_is_a_section_of_its_own_in_the_order_of_its_work(example_handbooks: tuple[Handbook, ...]) -> None:
    for handbook in example_handbooks:
        section = handbook.card("move/plan").section
        assert tuple(card.id for name, cards in handbook.sections if name == section for card in cards) == MOVE


def test_every_line_of_the_plan_has_a_role_a_time_and_a_box(english: Handbook) -> None:
    for table in tables(english.card("move/plan")).values():
        for what, who, when, done in table.rows:
            assert what.text and what.detail and who.text and when.text and done.tick


def days_before(when: str) -> int:
    number = int((re.findall(r"\d+", when) or ["1"])[0])
    return number * 7 if "week" in when else number


def test_the_plan_goes_on_in_time_whatever_takes_longest_to_come(
    english: Handbook, example: Practice, example_plan: Plan
) -> None:
    supplies = tuple(
        dataclasses.replace(use, lead_time=70.0) if use.kind == "tape" else use for use in example_plan.supplies
    )
    slow = dataclasses.replace(example_plan, supplies=supplies)
    for plan, first, weeks in ((example_plan, 70, 4), (slow, 84, 12)):
        before, *_ = tables(moved(example, plan, english)["move/plan"]).values()
        left = [days_before(row[2].text) for row in before.rows]
        assert left == sorted(left, reverse=True) and (left[0], left[-1]) == (first, 1)
        ordered = next(row for row in before.rows if row[0].text == "Order supplies")
        assert ordered[2].text == f"{weeks} weeks before"


def test_the_trial_day_is_at_a_chair_that_takes_the_set(
    english: Handbook, example: Practice, example_plan: Plan
) -> None:
    chairs = dict(reversed(list(example.chairs.items())))
    assert next(iter(chairs)) == "exam-room", "where no visit takes the busiest set, the core set"
    turned = dataclasses.replace(example, chairs=chairs)
    before, *_ = tables(moved(turned, example_plan, english)["move/plan"]).values()
    trial = next(row[0] for row in before.rows if row[0].text.startswith("Work one day"))
    assert trial.detail.startswith("Core set, Chair 6, ")


def test_supplies_are_ordered_so_that_the_slowest_is_there_two_weeks_before() -> None:
    # Four weeks, or the slowest delivery and two weeks to spare (common practice, no source).
    assert [supplies_weeks(days) for days in (0, 5, 14, 15, 21, 22)] == [4, 4, 4, 5, 5, 6]


def test_the_order_card_has_the_plans_lines_and_total(english: Handbook, example_plan: Plan) -> None:
    card = english.card("move/order")
    instruments, cassettes, supplies, uncounted = tables(card).values()
    rows = [*instruments.rows, *cassettes.rows]
    bought = {line.name.in_language("en"): str(line.buy) for line in example_plan.orders.to_buy}
    assert {row[0].text: row[1].text for row in rows} == bought
    assert sum(Decimal(row[2].text.replace(",", "")) for row in rows) == example_plan.orders.total
    (facts,) = (block for block in card.blocks if isinstance(block, Facts))
    assert facts.facts[0].value == f"USD {example_plan.orders.total:,.2f}"
    also = " · ".join(row[0].text for row in uncounted.rows)
    for thing in ("overgloves", "pre-cleaning foam", "lubricant", "distilled water", "utility gloves", "covered cont"):
        assert thing in also
    spent = sum(Decimal(row[3].text.replace(",", "")) for row in supplies.rows)
    assert facts.facts[1].value == f"USD {spent:,.2f}"


def test_there_are_as_many_marks_as_cassettes_of_a_set(
    english: Handbook, example: Practice, example_plan: Plan
) -> None:
    chairs, cassettes, _, _ = tables(english.card("move/mark")).values()
    assert [row[2].text for row in cassettes.rows] == [str(example_plan.days.stock[s]) for s in example.sets]
    assert [row[0].picture and row[0].picture.alt for row in cassettes.rows] == [
        row[1].text.split(";")[0] for row in cassettes.rows
    ]
    assert [row[0].text for row in chairs.rows] == [of.name.in_language("en") for of in example.chairs.values()]


def test_every_copy_that_hangs_is_counted_at_its_place(english: Handbook, example: Practice) -> None:
    *_, hung = tables(english.card("move/mark")).values()
    others = [card for card in english.cards if card.id not in MOVE and card.id != "current"]
    hanging = [card for card in others if card.place != "binder" and card.form != "page"]
    *places, binder = hung.rows
    # One of each card, but for the map, which hangs in two places, the sheet at every chair, and mishaps beside it.
    assert sum(int(row[2].text) for row in places) == len(hanging) + 1 + 2 * len(example.chairs) - 1
    at = {row[0].text: row[2].text for row in places}
    assert at["At every chair"] == str(len(example.chairs))
    assert at["At the packing table and in the staff room"] == "2"
    assert binder[2].text == "1", "one binder, however many cards"


def test_every_pouch_that_is_owned_lies_in_the_store_or_in_a_drawer(
    english: Handbook, example: Practice, example_plan: Plan
) -> None:
    sets, pouches, drawers = tables(english.card("move/start")).values()
    assert [int(row[2].text) for row in sets.rows] == list(example_plan.days.stock.values())
    in_store = {row[0].text: int(row[2].text) for row in pouches.rows}
    in_drawers: Counter[str] = Counter()
    for row in drawers.rows:
        named = [part.split("\u00a0× ") for part in row[1].text.split(" · ")]
        in_drawers.update({name: int(count) for count, name in named})
        assert int(row[2].text) == sum(int(count) for count, _ in named)
    for pouch, of in example.pouches.items():
        name = of.name.in_language("en")
        assert in_store[name] >= 0
        assert in_store[name] + in_drawers[name] == example_plan.days.pouch_stock[pouch]


def test_a_training_sheet_leaves_three_boxes_to_the_hand(example_handbooks: tuple[Handbook, ...]) -> None:
    """Trainee, trainer, date; who signs is known by initials that are written in, never by a printed name."""
    for handbook in example_handbooks:
        for card in (card for card in handbook.cards if card.kind == "training" and "training/" in card.id):
            form = grid(card)
            assert len(form.columns) == len(form.widths) == 5
            assert {len(row) for row in form.given} == {1, 2}
            for row in form.given:
                if len(row) == 2 and row[1].link:
                    shown = handbook.card(row[1].link)
                    # What is signed is an edition; the list of all cards, which is made last, and other papers of the
                    # move have none that is known here.
                    known = shown.id != "current" and not shown.id.startswith("move/")
                    assert row[1].text == (f"{shown.title} · {shown.edition}" if known else shown.title)


def test_the_technician_is_trained_on_every_set_and_machine(
    english: Handbook, example: Practice, example_plan: Plan
) -> None:
    links = [row[1].link for row in grid(english.card("move/training/technician")).given if len(row) == 2]
    assert {f"t/{set_id}" for set_id in example.sets} <= set(links)
    assert {f"load/{guide.stage}" for guide in example_plan.load_guides} <= set(links)
    assert {"repair", "wrap-guide", "pouch-guide", "spore-test", "storage-map", "stock", "forms/load-log"} <= set(links)


def test_the_watch_list_watches_where_the_plan_has_least_to_spare(
    english: Handbook, example: Practice, example_plan: Plan
) -> None:
    form = grid(english.card("move/first-week"))
    assert len(form.columns) == 2 + 5, "what, limit, five days"
    watched = {row[0].text: (row[0].detail, row[1].text) for row in form.given}
    days = example_plan.days
    margins = {s.id: round(s.own - s.peak.mean, 1) for s in days.sets.values()}
    least = {example.sets[id_].name.in_language("en") for id_, left in margins.items() if left == min(margins.values())}
    assert [name for name in least if f"{name}: fewest left in the store" in watched]
    busy = {stage.utilisation: stage for stage in days.stages.values() if stage.loads}[
        max(stage.utilisation for stage in days.stages.values() if stage.loads)
    ]
    assert busy.loads
    name = example.room.stages[busy.id].name.in_language("en")
    assert watched[f"{name}: loads"][1] == f"at most {busy.loads.high}"
    pouch = max(days.pars.values(), key=lambda par: par.opened_per_day)
    opened = f"{example.pouches[pouch.pouch].name.in_language('en')}, {example.chairs[pouch.chair].name}: opened"
    assert watched[f"{opened} between two rounds"][1] == f"at most {pouch.par}"
    assert example.settings.before
    assert "58 a day" in watched["Walks to the store during visits"][0]
    assert watched["Sets taken for one another"][0].endswith("EX–SB, CO–DR and FB–BA")


def test_what_is_watched_has_an_answer_when_its_limit_is_passed(example_handbooks: tuple[Handbook, ...]) -> None:
    for handbook in example_handbooks:
        card = handbook.card("move/first-week")
        (passed,) = tables(card).values()
        assert [row[0].text for row in passed.rows] == [row[0].text for row in grid(card).given]


def test_instruments_of_one_picture_are_watched(english: Handbook, example: Practice, example_plan: Plan) -> None:
    holder = example.instruments["tube-holder"].model_copy(update={"drawing": "bracket-holder"})
    alike = dataclasses.replace(example, instruments={**example.instruments, "tube-holder": holder})
    for practice, seen in ((example, False), (alike, True)):
        given = grid(moved(practice, example_plan, english)["move/first-week"]).given
        assert any("Bracket holder and Molar tube holder" in row[0].detail for row in given) is seen


def bare(practice: Practice) -> Practice:
    """One chair, one set, one procedure; no pouch, no drawer, no shelf, nothing in repair, nothing that is used up."""
    procedure = practice.procedures["check"].model_copy(
        update={"add_ons": MappingProxyType({}), "needs": MappingProxyType({"mirror": Need(1.0)}), "chairs": ()}
    )
    room = practice.room.model_copy(update={"shelves": {}, "drawers": {}})
    chair = practice.chairs["chair-1"].model_copy(update={"drawer": MappingProxyType({})})
    return dataclasses.replace(
        practice,
        chairs={"chair-1": chair},
        sets={"exam": practice.sets["exam"]},
        pouches={},
        procedures={"check": procedure},
        room=room,
        problems=(),
    )


def blocks_with_rows(handbook: Handbook) -> Iterator[tuple[str, int]]:
    for card in handbook.cards:
        if card.id in MOVE:
            for block in card.blocks:
                if isinstance(block, Matrix):
                    yield card.id, len(block.rows)
                elif isinstance(block, Items):
                    yield card.id, len(block.items)
                elif isinstance(block, Steps):
                    yield card.id, len(block.steps)
                elif isinstance(block, FormGrid):
                    yield card.id, len(block.given)


@pytest.mark.parametrize("language", ["en", "es", "de", "fr"])
def test_a_practice_with_next_to_nothing_gets_no_empty_table(small: Practice, language: str) -> None:
    for practice in (small, bare(small)):
        handbook = make_handbook(practice, make_plan(practice, days=3), language)
        assert all(rows for _, rows in blocks_with_rows(handbook))
        for card in (handbook.card(card_id) for card_id in MOVE if "training/" in card_id):
            given = grid(card).given
            heads = [len(row) == 1 for row in given]
            assert not heads[-1], card.id
            assert not any(one and other for one, other in pairwise(heads)), card.id


def test_one_of_a_thing_is_said_as_one(small: Practice) -> None:
    handbook = make_handbook(bare(small), make_plan(bare(small), days=3))
    said = " ".join(text for card in handbook.cards if card.id in MOVE for text in _texts(card.blocks))
    assert not re.search(r"(?<![\d.,])1 (instruments|cassettes|packs|strips|weeks|days|pouches|boxes)\b", said)


def _texts(thing: object) -> Iterator[str]:
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from _texts(part)
    elif dataclasses.is_dataclass(thing):
        for field in dataclasses.fields(thing):
            yield from _texts(getattr(thing, field.name))


def test_nothing_to_buy_is_said_and_not_listed(small: Practice) -> None:
    rich = dataclasses.replace(
        bare(small),
        stock={i: line.model_copy(update={"on_hand": 999}) for i, line in small.stock.items()},
        cassettes={c: of.model_copy(update={"on_hand": 99}) for c, of in small.cassettes.items()},
    )
    handbook = make_handbook(rich, make_plan(rich, days=3))
    assert not [title for title in tables(handbook.card("move/order")) if title in ("Instruments", "Cassettes")]
    assert any("owns what its sets" in text for text in _texts(handbook.card("move/order").blocks))
    before, *_ = tables(handbook.card("move/plan")).values()
    assert "Order instruments and cassettes" not in [row[0].text for row in before.rows]
