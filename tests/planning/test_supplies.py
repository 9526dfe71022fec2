from decimal import Decimal

import pytest
from invented_practice import PROCEDURES, ROOM, practice

from kitdocs.planning.buying.supplies import supply_figures, supply_uses
from kitdocs.planning.day.turnaround import ImplantLoads

NO_IMPLANTS = ImplantLoads(per_day=0.0, days=0.0)
SUPPLIES = {
    "internal_indicator": {"pack": 250, "lead_time": "1 week"},
    "external_indicator": {"pack": 500, "lead_time": "1 week"},
    "spore_test": {"pack": 10, "lead_time": "2 weeks"},
    "tape": {"pack": 6, "lead_time": "1 week", "roll": "55 m", "strip": "15 cm"},
}


def uses(practice_=None, sets=20.0, pouches=2.0, visits=None, implants=NO_IMPLANTS):
    taken = {"core": sets, "bends": pouches}
    used = supply_uses(practice_ or practice(room={"supplies": SUPPLIES}), taken, visits or {}, implants)
    return {use.id: use for use in used}


def test_each_cassette_takes_a_sheet_and_each_pouch_a_pouch():
    used = uses()
    assert {id_: used[id_].per_day for id_ in ("sheet-18", "sheet-20", "small-pouch", "large-pouch")} == {
        "sheet-18": 20.0,
        "sheet-20": 0.0,
        "small-pouch": 2.0,
        "large-pouch": 0.0,
    }


def test_an_indicator_lies_in_every_pack_and_on_every_pack_that_hides_it():
    # SOURCES: CDC 2003, part VI.F; the tape's stripes are the outside one unless the practice says otherwise.
    used = uses()
    assert used["internal-indicator"].per_day == 22.0
    assert used["external-indicator"].per_day == 0.0
    assert str(used["external-indicator"].why_per_day) == "none: the indicator tape is the external indicator"
    taped = practice(room={"supplies": {**SUPPLIES, "outside_indicator": "tape"}})
    assert uses(taped)["external-indicator"].per_day == 0.0
    labelled = practice(room={"supplies": {**SUPPLIES, "outside_indicator": "label"}})
    assert uses(labelled)["external-indicator"].per_day == 20.0
    without_tape = {name: supply for name, supply in SUPPLIES.items() if name != "tape"}
    assert uses(practice(room={"supplies": without_tape}))["external-indicator"].per_day == 20.0


def test_two_sheets_a_cassette_take_twice_the_paper():
    ours = practice(room={"supplies": SUPPLIES, "wrap": {"sheets": 2}})
    (sheet,) = (use for use in uses(ours).values() if use.kind == "sheet" and use.per_day)
    assert sheet.per_day == 40.0


def test_every_vacuum_sterilizer_gets_an_air_removal_test_each_working_day():
    # SOURCES: CDC 2008, monitoring. Daily, for dynamic-air-removal sterilizers only.
    steam = {"type": "dynamic-air-removal", "temperature": "132 C", "exposure": "4 min", "drying": "30 min"}
    stage = ROOM["stages"]["sterilize"] | {"machines": 2, "steam": steam}
    supplies = {"air_removal_test": {"pack": 20, "lead_time": "1 week"}}
    two = practice(room={"supplies": supplies, "stages": {"vacuum": stage, "sterilize": ROOM["stages"]["sterilize"]}})
    assert uses(two)["air-removal-test"].per_day == 2.0
    gravity = ROOM["stages"]["sterilize"] | {"steam": steam | {"type": "gravity"}}
    assert uses(practice(room={"supplies": supplies, "stages": {"g": gravity}}))["air-removal-test"].per_day == 0.0


def test_every_load_with_an_implant_carries_a_spore_test_and_each_such_day_a_control():
    # SOURCES: CDC 2003, part VI.F. Weekly 1 sterilizer + 1 control over 5 days = 0.4; 1.5 loads on 80 % of days.
    spore = uses(implants=ImplantLoads(per_day=1.5, days=0.8))["spore-test"]
    assert spore.per_day == pytest.approx(0.4 + 1.5 + 0.8)
    assert "1.50 loads a day with implant-related packs, with a control on 80 % of days" in str(spore.why_per_day)


def test_a_single_use_instrument_is_used_up_by_the_visits_that_want_it():
    bur = {"name": "Bur", "drawing": "scaler", "length": "20 mm", "width": "3 mm", "single_use": {"pack": 10}}
    needing = {**PROCEDURES["wire-change"], "needs": {"weingart": "always", "bur": "25%"}}
    ours = practice(instruments={"bur": bur}, procedures={"wire-change": needing})
    used = uses(ours, visits={"wire-change": 20.0})["bur"]
    assert (used.kind, used.per_day, used.pack) == ("single-use", 5.0, 10)
    three = {**needing, "needs": {"weingart": "always", "bur": "3 at 25%"}}
    ours = practice(instruments={"bur": bur}, procedures={"wire-change": three})
    assert uses(ours, visits={"wire-change": 20.0})["bur"].per_day == 15.0


def test_the_reorder_point_is_the_poisson_quantile_of_the_lead_time():
    # 2 pouches a day × 7 days × 5/7 = 10; the published 95 % for a mean of 10 is 15 (SOURCES: Poisson table).
    assert (uses()["small-pouch"].in_lead_time, uses()["small-pouch"].reorder_at) == (10.0, 15)


def test_what_is_not_used_is_not_ordered_again():
    assert uses()["large-pouch"].reorder_at == 0


def test_tape_is_counted_in_strips_and_ordered_in_rolls():
    tape = uses()["tape"]
    # 55 m ÷ 0.15 m = 366 strips; 20 × 3 = 60 a day; 300 in the lead time, at most 329, which is one roll
    assert tape.per_day == pytest.approx(60 / 366)
    assert (tape.reorder_at, tape.unit) == (1, "rolls")


def test_every_sterilizer_is_tested_weekly_with_one_control():
    # At least weekly, with a control of the same lot (SOURCES: CDC 2003, VI.F)
    stage = ROOM["stages"]["sterilize"] | {"machines": 3}
    three = practice(room={"supplies": SUPPLIES, "stages": {"sterilize": stage}})
    spore = uses(three)["spore-test"]
    assert spore.per_day * 5 == pytest.approx(4.0)
    # 4 a week for 2 weeks is a mean of 8, at most 13 (SOURCES: Poisson table)
    assert (spore.in_lead_time, spore.reorder_at, spore.boxes_at_reorder) == (pytest.approx(8.0), 13, 2)


def test_a_supply_that_is_not_stated_is_not_counted():
    assert set(uses(practice())) == {"sheet-18", "sheet-20", "small-pouch", "large-pouch"}


def test_the_cost_of_a_day_is_its_share_of_the_pack():
    sheets = {"sheet-18": {"name": "Sheet", "side": "18 in", "pack": 100, "price": 34.0}}
    used = uses(practice(room={"sheets": sheets}))
    assert used["sheet-18"].cost_per_day == Decimal("6.80")
    assert used["small-pouch"].cost_per_day is None


def test_the_figures_can_be_followed_with_a_pencil():
    practice_ = practice(room={"supplies": SUPPLIES})
    figures = {figure.id: figure for figure in supply_figures(practice_, tuple(uses(practice_).values()))}
    assert figures["supplies.tape.per-day"].value == 0.16
    assert str(figures["supplies.pouch.small-pouch.reorder-at"].why) == (
        "2.0 pouches a day are of this size; until an order comes, 7 days × 5/7 working days × 2.00 a day = 10.0 on "
        "average, at most 15 in 95 % of times (Poisson)"
    )
