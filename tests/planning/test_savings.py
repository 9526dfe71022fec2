from decimal import Decimal

import pytest
from invented_practice import practice

from kitdocs.planning.buying.savings import money_saved, savings, savings_figures

COUNTED = {
    "walks_per_day": 58.0,
    "glove_pairs_per_day": 214.0,
    "loose_instruments_per_day": 640.0,
    "technician_time_per_day": "8 h 30 min",
}


def saved(before, access="second-person"):
    settings = {"drawer_access": access, **({"before": before} if before else {})}
    practice_ = practice(settings=settings)
    after = savings(practice_, walks=5.5, drawer_openings=15.5, hand_minutes=420.0, packed=600.0)
    return practice_, {each.id: each for each in after}


def test_each_thing_that_was_counted_is_compared():
    _, each = saved(COUNTED)
    assert {id_: saving.saved for id_, saving in each.items()} == {
        "walks": 52.5,
        "gloves": 52.5,
        "loose": 640.0,
        "technician-time": 90.0,
    }
    assert each["gloves"].after == 161.5


@pytest.mark.parametrize("missing", COUNTED)
def test_what_nobody_counted_is_not_made_up(missing):
    _, each = saved({key: value for key, value in COUNTED.items() if key != missing})
    ids = {"walks_per_day": {"walks", "gloves"}, "glove_pairs_per_day": {"gloves"}}
    gone = ids.get(missing, {"loose"} if "loose" in missing else {"technician-time"})
    assert set(each) == {"walks", "gloves", "loose", "technician-time"} - gone


def test_without_any_count_nothing_is_said():
    assert saved(None)[1] == {}


def test_what_takes_longer_than_before_is_a_negative_saving():
    _, each = saved({"technician_time_per_day": "6 h"})
    assert each["technician-time"].saved == -60.0


def test_more_walks_cost_gloves():
    _, each = saved({"walks_per_day": 2.0, "glove_pairs_per_day": 100.0})
    assert (each["walks"].saved, each["gloves"].after) == (-3.5, 103.5)


def test_the_figures_subtract_after_from_before():
    practice_, each = saved(COUNTED)
    figures = {figure.id: figure for figure in savings_figures(practice_, tuple(each.values()))}
    assert figures["savings.walks"].value == 52.5
    assert str(figures["savings.walks"].why).startswith("58 before − 5.5 after; ")
    for id_, (before, after) in {"walks": (58.0, 5.5), "technician-time": (510.0, 420.0)}.items():
        counted, planned = figures[f"savings.{id_}"].inputs
        assert (counted.value, planned.value) == (before, after)
        assert figures[f"savings.{id_}"].value == round(before - after, 1)
        assert counted.unit == planned.unit == figures[f"savings.{id_}"].unit == each[id_].unit
        assert counted.source and not planned.source, "only what was counted stands in the folder"


@pytest.mark.parametrize(
    ("access", "pairs"), [("clean-hands", 15.5), ("overglove", 0.0), ("second-person", 0.0), ("cotton-plier", 0.0)]
)
def test_a_drawer_opened_with_clean_hands_costs_a_pair_and_another_way_costs_none(access, pairs):
    # Used gloves come off and a new pair goes on: common practice, no source. 52.5 fewer walks, 15.5 pouches opened.
    _, each = saved(COUNTED, access)
    assert each["gloves"].after == 214.0 - 52.5 + pairs
    assert "15.5 pouches a day are taken from drawers" in str(each["gloves"].why)


def test_clean_hands_are_taken_for_granted_where_nothing_is_stated():
    assert practice().settings.drawer_access == "clean-hands"


WORTH = {"walk": 0.55, "glove_pair": 0.14, "loose_instrument": 0.03, "technician_hour": 26}


def test_each_saving_has_its_money_and_what_takes_longer_costs():
    # By hand: 52.5 walks × 0.55 = 28.875, 52.5 pairs × 0.14 = 7.35, 640 × 0.03 = 19.20; 1 h 30 min × 26 = 39.00.
    practice_, each = saved({**COUNTED, "worth": WORTH})
    amounts = {id_: saving.money for id_, saving in each.items()}
    assert amounts == {
        "walks": Decimal("28.88"),
        "gloves": Decimal("7.35"),
        "loose": Decimal("19.20"),
        "technician-time": Decimal("39.00"),
    }
    assert money_saved(each.values()) == Decimal("94.43")
    figure = savings_figures(practice_, tuple(each.values()))[-1]
    assert (figure.id, figure.value, figure.unit) == ("savings.money", Decimal("94.43"), "USD")
    assert [stated.value for stated in figure.inputs] == [Decimal(str(worth)) for worth in WORTH.values()]
    assert all(stated.source for stated in figure.inputs)
    _, each = saved({"technician_time_per_day": "6 h", "worth": WORTH})
    assert each["technician-time"].money == Decimal("-26.00"), "7 h are an hour more than 6"


def test_what_has_no_price_is_not_said_in_money():
    practice_, each = saved({**COUNTED, "worth": {"walk": 0.55}})
    assert {id_ for id_, saving in each.items() if saving.money is not None} == {"walks"}
    assert money_saved(each.values()) == Decimal("28.88")
    practice_, each = saved(COUNTED)
    assert money_saved(each.values()) is None
    assert "savings.money" not in {figure.id for figure in savings_figures(practice_, tuple(each.values()))}
