from decimal import Decimal

import pytest
from invented_practice import practice

from kitdocs.planning.buying.first_supplies import first_supplies, longest_lead_time, total_cost
from kitdocs.planning.buying.supplies import supply_uses
from kitdocs.planning.day.turnaround import ImplantLoads
from kitdocs.planning.measures.wrap import sheets_for_cassettes

SUPPLIES = {
    "internal_indicator": {"pack": 10, "lead_time": "1 week", "price": 4.0},
    "external_indicator": {"pack": 500, "lead_time": "1 week"},
    "spore_test": {"pack": 10, "lead_time": "2 weeks"},
    "tape": {"pack": 6, "lead_time": "1 week", "roll": "55 m", "strip": "15 cm"},
}


def first(sets=6, pouches=4):
    ours = practice(room={"supplies": SUPPLIES})
    uses = supply_uses(ours, {"core": 20.0, "bends": 2.0}, {}, ImplantLoads(per_day=0.0, days=0.0))
    chosen = {s: sheets_for_cassettes(ours)[of.cassette] for s, of in ours.sets.items()}
    found = first_supplies(ours, uses, sets={"core": sets}, pouches={"bends": pouches}, sheets=chosen)
    return ours, {supply.use.id: supply for supply in found}


def test_what_lies_ready_packs_everything_once_and_leaves_the_reorder_point():
    _, supplies = first()
    # 2 pouches a day × 7 days × 5/7 = 10 in the lead time; at most 15 (95 %, SOURCES: Poisson table).
    assert supplies["small-pouch"].first_packing == 4
    assert supplies["small-pouch"].needed == 4 + 15
    assert supplies["internal-indicator"].first_packing == 6 + 4
    assert "external-indicator" not in supplies  # the tape is one


def test_every_set_takes_the_sheet_that_was_chosen_for_its_cassette():
    ours, supplies = first(sets=6)
    taken = {id_: supply.first_packing for id_, supply in supplies.items() if id_ in ours.room.sheets}
    assert taken == {sheets_for_cassettes(ours)["large"].sheet: 6}


def test_tape_for_the_first_packing_is_counted_in_whole_rolls():
    # 55 m ÷ 0.15 m = 366 strips on a roll; three on a cassette: 122 cassettes to a roll.
    assert first(sets=122)[1]["tape"].first_packing == 1
    assert first(sets=123)[1]["tape"].first_packing == 2


def test_spore_tests_of_the_first_week_lie_ready():
    # One sterilizer and one control a week: SOURCES: CDC 2003, VI.F.
    assert first()[1]["spore-test"].first_packing == 2


def test_boxes_are_whole_and_what_has_no_price_costs_nothing_known():
    supplies = first()[1]
    indicators = supplies["internal-indicator"]
    assert indicators.boxes * 10 >= indicators.needed > (indicators.boxes - 1) * 10
    assert indicators.cost == Decimal("4.0") * indicators.boxes
    assert supplies["tape"].cost is None
    assert total_cost(list(supplies.values())) == indicators.cost


def test_what_nothing_takes_is_not_bought():
    assert "large-pouch" not in first()[1]


def test_the_slowest_delivery_counts():
    _, supplies = first()
    assert longest_lead_time(list(supplies.values())) == 14
    assert longest_lead_time([supplies["small-pouch"]]) == 7
    assert longest_lead_time([]) == pytest.approx(0)
