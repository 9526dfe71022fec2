from __future__ import annotations

import re

import pytest
from practice_builder import at, build, hand, procedure, rest, washer
from simulated_day import histories, simulate_day

from kitdocs.planning.day.figures import MINUTES, day_figures
from kitdocs.planning.day.run import busy_days
from kitdocs.planning.plan import make_plan
from kitdocs.practice.message import message

PRACTICE = build(
    pouches={"bends": ("drawer", ["bender"]), "extra": ("add-on", ["holder"])},
    procedures={
        "visit": procedure(
            per_day=9.5, add_ons={"extra": "50%"}, needs={"mirror": "always", "bender": "30%", "holder": "50%"}
        )
    },
    drawers=({"bends": "auto"}, {"bends": 4}),
    stages={"pack": hand(), "wash": washer(machines=2), "cool": rest()},
)


@pytest.fixture(scope="module")
def run():
    return busy_days(PRACTICE, days=50, spares={"core": 2, "bends": 1})


@pytest.fixture(scope="module")
def figures(run):
    return {figure.id: figure for figure in day_figures(PRACTICE, run)}


def test_every_figure_has_its_own_id_a_reason_and_where_its_inputs_are_from(figures, run):
    assert len(figures) == len(day_figures(PRACTICE, run)) == 20
    for figure in figures.values():
        assert figure.section == "day"
        assert str(figure.why).endswith(".")
        assert {"busy days", "seed"} <= {str(given.name) for given in figure.inputs}


def test_a_set_says_peak_spares_and_their_sum(figures, run):
    figure = figures["stock.core"]
    needed = run.sets["core"].needed
    assert (figure.value, figure.unit) == (needed + 2, message("figures.unit.sets"))
    assert f"on 95 % of 50 busy days: {needed} (the day's peak" in str(figure.why)
    assert f"{needed} + 2 = {needed + 2}." in str(figure.why)
    assert "visits for 'visit' (100 % take one)" in {str(given.name) for given in figure.inputs}


def test_littles_law_can_be_checked_with_a_pencil(figures):
    """The words give a rate, a time away, a span and how many are out: 1 % is the rounding of the words."""
    found = re.search(
        r"([\d.]+) taken a day × (?:(\d+) h )?(\d+) min away ÷ (\d+) h (\d+) min .* = ([\d.]+) are out",
        str(figures["stock.core"].why),
    )
    assert found
    rate, hours, minutes, span_hours, span_minutes, out = (float(number or 0) for number in found.groups())
    assert out == pytest.approx(rate * (60 * hours + minutes) / (60 * span_hours + span_minutes), abs=0.06, rel=0.02)
    days = [histories(simulate_day(PRACTICE, day=number)[1]) for number in range(1, 51)]
    away = sum(item.back - item.out for day in days for item in day if item.kind.id == "core")
    assert out == pytest.approx(away / sum(max(i.back for i in day) - at("07:55") for day in days), abs=0.051)


def test_a_drawer_pouch_adds_up_drawers_those_on_their_way_and_spares(figures, run):
    figure = figures["pouches.bends"]
    numbers = re.search(r"The drawers hold (\d+) \+ 4 = (\d+); .* (\d+) \+ (\d+) \+ 1 = (\d+)\.", str(figure.why))
    assert numbers
    first, drawers, again, beyond, own = map(int, numbers.groups())
    assert first + 4 == drawers == again
    assert drawers + beyond + 1 == own == figure.value == run.pouch_stock["bends"]


def test_par_says_what_was_computed_and_what_is_written(figures, run):
    assert "chairs.yaml says auto" in str(figures["par.chair-1.bends"].why)
    assert figures["par.chair-1.bends"].value == run.pars["chair-1", "bends"].computed
    assert "chairs.yaml says 4, so the drawer gets 4" in str(figures["par.chair-2.bends"].why)
    assert f"50 busy days: {run.pars['chair-2', 'bends'].computed} between" in str(figures["par.chair-2.bends"].why)


def test_each_machine_has_its_loads_and_resting_has_no_work(figures, run):
    both = figures["loads-a-day.wash.1"].value + figures["loads-a-day.wash.2"].value
    assert both == pytest.approx(figures["loads-a-day.wash"].value, abs=0.11)
    assert figures["utilisation.wash"].value == pytest.approx(100 * run.stages["wash"].utilisation, abs=0.06)
    assert "utilisation.cool" not in figures


def test_the_parts_of_the_turnaround_add_up_in_its_words(figures):
    figure = figures["turnaround"]
    parts = [given.value for given in figure.inputs if given.unit == MINUTES]
    assert len(parts) == 8
    assert figure.value == pytest.approx(sum(parts), abs=0.05 * 9)


def test_times_of_day_are_written_as_people_read_them(figures):
    for id_ in ("day.ends", "day.ends.median", "restock.0730", "restock.1230"):
        assert re.fullmatch(r"\d\d:\d\d", str(figures[id_].value))
    assert figures["day.ends"].value.minutes >= figures["day.ends.median"].value.minutes


@pytest.mark.parametrize("days", [0, -1])
def test_a_plan_needs_a_day_at_least(days):
    with pytest.raises(ValueError, match="at least 1 day"):
        make_plan(PRACTICE, days=days)


@pytest.mark.parametrize(("chair", "written"), [("chair-1", "auto"), ("chair-2", 4)])
def test_a_drawer_s_number_names_the_restockings_what_is_written_and_the_service(figures, chair, written):
    given = [(str(each.name), str(each.value)) for each in figures[f"par.{chair}.bends"].inputs]
    assert given[:3] == [("restocking", "07:30"), ("restocking", "12:30"), ("in the drawer", str(written))]
    assert "service" in dict(given)
