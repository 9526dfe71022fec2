"""The same practice gives the same figures: in whatever order it is written, with whatever no visit uses."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields, replace
from math import sqrt
from random import Random
from typing import Any

import plain_diary
import pytest
from drawn_practices import drawn
from hypothesis import given
from hypothesis import strategies as st
from practice_builder import build, hand, procedure, washer
from reordered import reordered

from kitdocs.planning.buying.placement import placement_figures, placement_study
from kitdocs.planning.day.book import OverbookedError
from kitdocs.planning.day.bookings import Diary
from kitdocs.planning.day.par import BEYOND
from kitdocs.planning.day.run import BusyDays, busy_days
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Chair, Instrument, InstrumentSet, Page, Practice, Procedure

DAYS = 6
RANDOM = st.randoms(use_true_random=False)


def bookings(practice: Practice, seed: int, day: int) -> list[tuple[Any, ...]] | None:
    try:
        return [tuple(booking) for booking in Diary(practice).day(seed, day)]
    except OverbookedError:
        return None


@given(drawn(), st.integers(-5, 10**6), st.integers(0, 200))
def test_the_plain_diary_books_the_same_visits(practice: Practice, seed: int, day: int) -> None:
    assert bookings(practice, seed, day) == plain_diary.day_of(practice, seed, day)


def test_a_day_that_is_tight_is_booked_as_in_the_plain_diary() -> None:
    """16 h in four half-days of 4 h: the first try never fits."""
    short, long = (procedure(minutes=f"{m} min", per_day=n) for m, n in ((30, 12.0), (150, 4.0)))
    full = build(procedures={"short": short, "long": {**long, "chairs": ["chair-1", "chair-2"]}})
    for day in range(8):
        assert bookings(full, 1, day) == plain_diary.day_of(full, 1, day)


@pytest.mark.parametrize("book", ["spread", "packed"])
def test_a_morning_that_is_tight_is_booked_as_in_the_plain_diary(book: str) -> None:
    """8 h of visits and more for the 8 h of two chairs, at times of their own: the second and third try decide."""
    practice = build(
        procedures={
            "fill": procedure(minutes="30 min", per_day=6.0),
            "long": procedure(minutes="120 min", per_day=3.0, chairs=["chair-1"]),
            "booked": procedure(minutes="60 min", per_day=5.0, when="morning"),
        },
        settings={"book": book},
    )
    days = [bookings(practice, 1, day) for day in range(32)]
    assert days == [plain_diary.day_of(practice, 1, day) for day in range(32)]
    assert 5 < days.count(None) < 27


def figures(run: BusyDays) -> dict[str, Any]:
    """Everything that a run says, its problems by their words."""
    told = {field.name: getattr(run, field.name) for field in fields(run)}
    for name in ("chosen_sets", "chosen_drawers"):
        chosen = told[name]
        told[name] = {
            kind: (chosen.counts[kind], chosen.computed[kind], chosen.needs.kinds[kind]) for kind in chosen.counts
        }
    return told | {"problems": sorted(map(str, run.problems))}


def ran(practice: Practice) -> dict[str, Any] | None:
    bookable = all(bookings(practice, 1, day) is not None for day in range(DAYS + 1))
    return figures(busy_days(practice, days=DAYS)) if bookable else None


@given(drawn(), RANDOM)
def test_no_order_in_the_folder_moves_a_figure(practice: Practice, random: Random) -> None:
    assert ran(reordered(practice, random)) == ran(practice)


def with_chair(practice: Practice, drawer: Mapping[str, str]) -> Practice:
    """The practice with a chair in front where nothing is done; what is done anywhere names today's chairs."""
    spare = Chair.model_validate({"name": "Spare", "colour": "navy", "mark": "triangle", "drawer": drawer})
    named = {
        id_: record.model_copy(update={"chairs": practice.chairs_for(id_)})
        for id_, record in practice.procedures.items()
    }
    return replace(practice, chairs={"a-spare": spare, **practice.chairs}, procedures=named)


@given(drawn(), st.sampled_from(({}, {"drawer-a": "auto"}, {"drawer-a": "auto", "drawer-b": "auto"})))
def test_a_chair_where_nothing_is_done_moves_no_figure_but_its_own_drawer(
    practice: Practice, drawer: Mapping[str, str]
) -> None:
    before, after = ran(practice), ran(with_chair(practice, drawer))
    assert (before is None) == (after is None)
    if before is None or after is None:
        return
    own = {("a-spare", pouch) for pouch in drawer}
    assert {place for place in after["pars"] if place[0] == "a-spare"} == own
    assert all(after["pars"][place].par == 1 for place in own), "a drawer is never empty"
    beyond = {(BEYOND, pouch) for pouch in drawer if pouch not in before["drawer_pouches"]}
    assert all(after["chosen_drawers"][place][0] == 0 for place in beyond), "nothing of it is ever opened"
    for name in ("pars", "chosen_drawers"):
        after[name] = {place: each for place, each in after[name].items() if place not in own | beyond}
    for pouch, figure in after["drawer_pouches"].items():
        there = ("a-spare", pouch) in own
        if pouch in before["drawer_pouches"]:
            assert replace(figure, par=figure.par - there) == before["drawer_pouches"][pouch]
        else:
            assert (figure.par, figure.opened_per_day, figure.behind.high) == (there, 0, 0)
    assert {**after, "drawer_pouches": 0} == {**before, "drawer_pouches": 0}


def with_what_nobody_books(practice: Practice) -> Practice:
    """A procedure without visits, with a set, needs and an instrument of its own, all first; and a page."""
    mirror = {"name": "X", "drawing": "scaler", "length": "100 mm", "width": "9 mm"}
    kit = {"name": "A", "code": "A", "cassette": "tiny", "mark": "one-bar", "contents": ["a-mirror", "mirror"]}
    needs = {"a-mirror": "30%", "cutter": "always"}
    never = procedure(per_day=0.0, set="a-set", needs=needs, add_ons={"addon-a": "5%"})
    stages = {
        id_: stage.model_copy(update={"capacity": {"tiny": 60, **stage.capacity}}) if stage.kind == "machine" else stage
        for id_, stage in practice.room.stages.items()
    }
    return replace(
        practice,
        instruments={"a-mirror": Instrument.model_validate(mirror), **practice.instruments},
        sets={"a-set": InstrumentSet.model_validate(kit), **practice.sets},
        procedures={"a-visit": Procedure.model_validate(never), **practice.procedures},
        room=practice.room.model_copy(update={"stages": stages}),
        pages=(*practice.pages, Page(id="news", text={"": "# News"})),
    )


@given(drawn())
def test_a_procedure_that_nobody_books_moves_no_figure(practice: Practice) -> None:
    before, after = ran(practice), ran(with_what_nobody_books(practice))
    assert (before is None) == (after is None)
    if before is None or after is None:
        return
    assert all(count == 0 for id_, (count, _, _) in after["chosen_sets"].items() if id_ not in before["chosen_sets"])
    for name in ("sets", "add_ons", "bands", "chosen_sets"):
        more = set(after[name]) - set(before[name])
        assert more <= {"a-set", "addon-a"}
        assert all(not getattr(after[name][id_], "own", 0) for id_ in more)
        after[name] = {id_: each for id_, each in after[name].items() if id_ not in more}
    after["median_day"].out.pop("a-set")
    assert after == before


@given(drawn(), st.sampled_from(("name", "colour")))
def test_names_and_colours_move_no_figure(practice: Practice, what: str) -> None:
    chairs = {
        id_: chair.model_copy(update={"name": f"Another {id_}"} if what == "name" else {"colour": "lime"})
        for id_, chair in practice.chairs.items()
    }
    procedures = {id_: p.model_copy(update={"name": f"Another {id_}"}) for id_, p in practice.procedures.items()}
    before, after = ran(practice), ran(replace(practice, chairs=chairs, procedures=procedures))
    if before and after:
        after["problems"] = before["problems"] = []  # they say the names
    assert after == before


# Other ids: other numbers of the same chances ------------------------------------------------------

RENAMED: Mapping[str, Callable[[str], str]] = {
    "later in the alphabet": lambda id_: f"zz-{id_}",
    "backwards": lambda id_: f"i{id_[::-1]}",
}


def two_procedures(name: Callable[[str], str]) -> Practice:
    """Two pouches alike in each drawer, so that it matters which is opened; every id written by `name`."""
    bends = {name(f"bends-{n}"): "auto" for n in (1, 2)}
    plain = build(
        sets={name("core"): ("slim", [name("mirror")])},
        pouches={pouch: ("drawer", [name("bender")]) for pouch in bends},
        drawers=(bends, bends, bends),
        procedures={
            name("short"): procedure(minutes="20 min", per_day=10.5, set=name("core"), needs={name("bender"): "40%"}),
            name("long"): procedure(minutes="70 min", per_day=6.0, set=name("core"), needs={name("bender"): "60%"}),
        },
        stages={"pack": hand(), "wash": washer(machines=2)},
    )
    return replace(plain, chairs={name(id_): chair for id_, chair in plain.chairs.items()})


@pytest.mark.parametrize("how", RENAMED)
def test_other_ids_move_the_figures_by_no_more_than_chance(how: str) -> None:
    """Means of 600 days, apart by less than 4 standard errors of their difference."""
    days, name = 600, RENAMED[how]
    before, after = (busy_days(two_procedures(n), days=days) for n in (str, name))

    def close(one: float, other: float, deviation: float) -> None:
        assert abs(one - other) < 4 * deviation * sqrt(2 / days)

    close(before.visits.mean, after.visits.mean, 0.5)
    close(before.sets["core"].peak.mean, after.sets[name("core")].peak.mean, 1.5)
    loads = (before.stages["wash"].loads, after.stages["wash"].loads)
    assert loads[0] and loads[1]
    close(loads[0].mean, loads[1].mean, 1.5)
    for n in (1, 2):
        opened = (before.drawer_pouches[f"bends-{n}"], after.drawer_pouches[name(f"bends-{n}")])
        assert opened[0].opened_per_day == pytest.approx(3.9, abs=0.3), "half of 10.5 × 40 % + 6 × 60 %"
        close(opened[0].opened_per_day, opened[1].opened_per_day, 2.0)
    assert before.turnaround.total.mean != after.turnaround.total.mean, "they were drawn anew"


# The example, with everything that is worked out from it ---------------------------------------------


def told(plan: Plan) -> dict[str, tuple[Any, str]]:
    return {figure.id: (figure.value, str(figure.why)) for figure in plan.figures}


def values(plan: Plan) -> dict[str, Any]:
    return {id_: value for id_, (value, _) in told(plan).items()}


@pytest.fixture(scope="module")
def example_as_it_is(example: Practice) -> Plan:
    return make_plan(example, days=25)


@pytest.mark.whole
@pytest.mark.parametrize("seed", range(3))
def test_no_order_moves_a_figure_of_the_example(example: Practice, example_as_it_is: Plan, seed: int) -> None:
    mixed = reordered(example, Random(seed))
    plan = make_plan(mixed, days=25)
    assert values(plan) == values(example_as_it_is)
    assert plan.orders.total == example_as_it_is.orders.total
    before, after = (
        {figure.id: figure.value for figure in placement_figures(p, placement_study(p, of.days))}
        for p, of in ((example, example_as_it_is), (mixed, plan))
    )
    assert after == before


@pytest.mark.whole
def test_an_idle_chair_and_a_procedure_that_nobody_books_move_no_figure_of_the_example(
    example: Practice, example_as_it_is: Plan
) -> None:
    never = Procedure.model_validate(
        procedure(name="Never", set="exam", needs={"mirror": "always"}, per_day=0.0, add_ons={"photo": "always"})
    )
    more = with_chair(example, {})
    more = replace(more, procedures={"a-never": never, **more.procedures})
    before, after = values(example_as_it_is), values(make_plan(more, days=25))
    assert {id_: after[id_] for id_ in before if "colour" not in id_} == {
        id_: value for id_, value in before.items() if "colour" not in id_
    }
