from collections import Counter
from decimal import Decimal
from pathlib import Path
from typing import Any, cast

import pytest
from invented_practice import CHAIRS, INSTRUMENTS, PROCEDURES, SETS, practice
from scipy.stats import t

from kitdocs.planning.buying.placement import (
    TIMES_THE_PLAN,
    PlacementStudy,
    Placing,
    days_per_run,
    orders_for,
    placement_figures,
    placement_study,
    studied_instruments,
    walks_per_day,
)
from kitdocs.planning.buying.placements import WHERE, placed
from kitdocs.planning.day.run import busy_days, drawn_days
from kitdocs.planning.plan import make_plan
from kitdocs.practice.reading.reader import read_practice

EXAMPLE = Path(__file__).parents[2] / "example_practice"


def with_drawers(**other):
    """The small practice, its bird-beak plier in a drawer pouch at both chairs, with room for it in the set."""
    chairs = {c: chair | {"drawer": {"bends": "auto"}} for c, chair in CHAIRS.items()}
    sets = {"core": SETS["core"] | {"contents": ["mirror", "explorer", "weingart"]}}
    return practice(**({"chairs": chairs, "sets": sets} | other))


def days(practice_, number=40):
    return busy_days(practice_, days=number, seed=3)


def uncovered(practice_):
    """Needs that neither set, add-on nor drawer meets, for every procedure and chair."""
    for p, procedure in practice_.procedures.items():
        for chair in practice_.chairs_for(p):
            pouches = [*procedure.add_ons, *practice_.chairs[chair].drawer]
            there = Counter(practice_.sets[procedure.set].contents)
            there.update(i for pouch in pouches for i in practice_.pouches[pouch].contents)
            again = {i: need for i, need in procedure.needs.items() if not practice_.instruments[i].single_use}
            yield from ((p, chair, i) for i, need in again.items() if there[i] < need.count)


@pytest.fixture(scope="module")
def example():
    return read_practice(EXAMPLE)


@pytest.mark.parametrize("where", WHERE)
def test_a_place_holds_as_many_as_a_visit_needs(where):
    """By a brute-force multiset (`uncovered`); a chair where one is enough needs no second."""
    visit = PROCEDURES["wire-change"]
    one = visit | {"needs": {"weingart": "always", "bird-beak": "9%"}}
    two = visit | {"needs": {"weingart": "always", "bird-beak": 2}, "name": "Bend", "chairs": ["chair-1"]}
    slender = {"bird-beak": INSTRUMENTS["bird-beak"] | {"width": "12 mm"}}
    ours = with_drawers(procedures={"wire-change": one, "bend": two}, instruments=slender)
    otherwise = placed(ours, "bird-beak", where)
    assert otherwise is not None and list(uncovered(otherwise)) == []
    new = [pouch.contents for id_, pouch in otherwise.pouches.items() if id_ not in ("bends",)]
    assert new == ([] if where == "set" else [("bird-beak", "bird-beak")])
    if where == "set":
        assert otherwise.sets["core"].contents.count("bird-beak") == 2
    if where == "drawer":
        assert [*otherwise.chairs["chair-2"].drawer] == ["bends"]


def test_a_study_shares_twice_the_plans_days_between_its_runs():
    # The practice as it is and two other places are 3 runs: of 60 days, twice 60 ÷ 3 = 40 days each.
    (study,) = placement_study(with_drawers(), days(with_drawers(), 60), instruments=("bird-beak",))
    assert (len(WHERE), TIMES_THE_PLAN, study.days) == (3, 2, 40)
    # Of 150 days, with four more places that the cutter and the mirror may have beside their own.
    three = placement_study(with_drawers(), days(with_drawers(), 150), instruments=("bird-beak", "cutter", "mirror"))
    others = {p.money for each in three for p in each.places.values() if p is not None and p is not each.now}
    assert others
    runs = 1 + sum(p is not None and p is not each.now for each in three for p in each.places.values())
    assert {each.days for each in three} == {max(40, 300 // runs)}


@pytest.mark.parametrize("where", WHERE)
def test_every_visit_still_gets_what_it_needs_wherever_an_instrument_is_placed(example, where):
    assert list(uncovered(example)) == []
    for instrument in studied_instruments(example):
        otherwise = placed(example, instrument, where)
        # 72 mm more than what is in the full bonding set is wider than the two rails of the largest cassette; a
        # handpiece must not be washed, and the set is.
        if where == "set" and instrument in ("cheek-retractor", "handpiece"):
            assert otherwise is None
            continue
        assert otherwise is not None
        assert list(uncovered(otherwise)) == []


def test_an_instrument_lies_in_one_kind_of_place_after_it_was_placed(example):
    in_set = placed(example, "three-prong", "set")
    assert in_set is not None
    assert not any("three-prong" in pouch.contents for pouch in in_set.pouches.values())
    in_drawer = placed(example, "weingart", "drawer")
    assert in_drawer is not None
    holding = [p for p in in_drawer.pouches.values() if "weingart" in p.contents]
    assert [pouch.kind for pouch in holding] == ["drawer"]
    assert not any("weingart" in kit.contents for kit in in_drawer.sets.values())


def test_a_pouch_that_becomes_empty_is_taken_away_everywhere():
    otherwise = placed(with_drawers(), "bird-beak", "set")
    assert otherwise is not None
    assert dict(otherwise.pouches) == {}
    assert all(dict(chair.drawer) == {} for chair in otherwise.chairs.values())


def test_a_set_that_outgrows_its_cassette_moves_to_the_smallest_that_holds_it():
    slim = SETS["core"] | {"cassette": "slim", "contents": ["mirror", "explorer"]}
    needs = {"mirror": "always", "bird-beak": "10%"}
    procedure = PROCEDURES["wire-change"] | {"needs": needs}
    otherwise = placed(with_drawers(sets={"core": slim}, procedures={"wire-change": procedure}), "bird-beak", "set")
    assert otherwise is not None
    assert otherwise.sets["core"].cassette == "large"


def test_without_a_cassette_or_pouch_that_holds_it_there_is_no_such_place():
    wide = {"name": "Retractor", "drawing": "cheek-retractor", "length": "250 mm", "width": "300 mm"}
    procedure = PROCEDURES["wire-change"] | {"needs": {"weingart": "always", "wide": "10%"}}
    practice_ = practice(instruments={"wide": wide}, procedures={"wire-change": procedure})
    assert [placed(practice_, "wide", where) for where in WHERE] == [None, None, None]


def test_only_what_some_but_not_all_visits_want_is_studied():
    # The Weingart plier is always wanted, the bird-beak plier in a tenth of visits, the rest never.
    assert studied_instruments(with_drawers()) == ("bird-beak",)


def study_of(practice_, number=40):
    (study,) = placement_study(practice_, days(practice_, number))
    return study


def test_the_place_that_is_now_costs_what_the_plan_says_to_the_cent():
    """Though the study runs fewer days than the plan."""
    practice_ = with_drawers()
    plan = make_plan(practice_, days=90)
    (study,) = placement_study(practice_, plan.days)
    assert study.days == 60
    assert study.is_now == "drawer"
    assert study.now is study.places["drawer"]
    assert study.now.money == plan.orders.total
    assert study.now.loads_per_day == pytest.approx(plan.days.loads_per_day)
    line = next(line for line in plan.orders.lines if line.id == "bird-beak")
    assert (study.now.own, study.now.buy) == (line.need, line.buy)


def test_another_place_differs_as_a_practice_written_that_way_would_on_the_same_days():
    # The same practice written by hand with the plier in the set.
    written_so = practice(
        sets={"core": SETS["core"] | {"contents": ["mirror", "explorer", "weingart", "bird-beak"]}}, pouches={}
    )
    plan = make_plan(with_drawers(), days=90)
    bookings = drawn_days(with_drawers(), days=60)
    so, now = (busy_days(of, bookings=bookings) for of in (written_so, with_drawers()))
    (study,) = placement_study(with_drawers(), plan.days)
    in_set = study.places["set"]
    assert in_set is not None
    more = orders_for(written_so, so).total - orders_for(with_drawers(), now).total
    assert in_set.money == plan.orders.total + more
    line = next(line for line in plan.orders.lines if line.id == "bird-beak")
    assert in_set.own == line.need + so.stock["core"] - now.pouch_stock["bends"]
    assert in_set.loads_per_day == pytest.approx(plan.days.loads_per_day + so.loads_per_day - now.loads_per_day)


def placing(money, *resampled, piece="1"):
    """A place that costs so much, with what it costs on days drawn again."""
    return Placing(
        own=1,
        buy=1,
        money=Decimal(money),
        smallest_cassettes={},
        loads_per_day=1.0,
        walks_per_day=0.0,
        glove_pairs_per_day=0.0,
        resampled=tuple(map(Decimal, resampled)),
        piece=Decimal(piece),
    )


def studied(**places: Any) -> PlacementStudy:
    now = places["set"]
    return PlacementStudy(instrument="bird-beak", wanted=0.1, days=40, now=now, places=cast("Any", places))


def test_the_noise_of_a_difference_is_students_t_of_the_days_drawn_again():
    """By hand: 1, 1, 1, 3, 3, 3 have a standard deviation of √1.2; t for five degrees of freedom is 2.57."""
    one, other = placing(2, 11, 11, 11, 13, 13, 13), placing(0, 10, 10, 10, 10, 10, 10)
    assert float(one.noise(other)) == pytest.approx(t.ppf(0.975, 5) * 1.2**0.5, abs=0.005)
    assert one.noise(other) == other.noise(one)
    assert one.noise(one) == 0
    assert placing(2, 11, 11, 11, 13, 13, 13, piece="40").noise(other) == 40, "so few days tell no piece from none"


def test_a_place_is_called_cheapest_only_when_it_is_by_more_than_the_noise():
    sure = (10,) * 6
    now, dearer, alike = placing(100, *sure), placing(120, *sure), placing(101, *sure)
    assert studied(set=now, drawer=dearer).cheapest is now
    assert studied(set=now, drawer=alike).cheapest is None, "one piece more or less"
    cheaper = placing(50, *sure)
    assert studied(set=now, drawer=dearer, **{"add-on": cheaper}).cheapest is cheaper
    unsure = placing(50, 0, 100, 0, 100, 0, 100)
    assert studied(set=now, drawer=unsure).cheapest is None
    assert studied(set=now, drawer=None).cheapest is None, "there is no other"


@pytest.mark.whole
def test_a_place_that_is_called_cheapest_is_so_on_many_more_days(example):
    """What a short study is sure of, on other days and over three times as many of them."""
    instruments = ("three-prong", "howe", "scissors", "bird-beak")
    short = placement_study(example, busy_days(example, days=100), instruments=instruments)
    bookings = drawn_days(example, days=300, seed=9)
    for study in short:
        if study.cheapest is not None:
            totals = {}
            for where in WHERE:
                otherwise = placed(example, study.instrument, where)
                if otherwise is not None:
                    ran = busy_days(otherwise, bookings=bookings)
                    totals[where] = orders_for(otherwise, ran).total
            where = next(w for w, placing in study.places.items() if placing is study.cheapest)
            assert totals[where] == min(totals.values()), study.instrument
    assert sum(study.cheapest is not None for study in short) >= 2


def test_an_add_on_for_a_tenth_of_twenty_visits_costs_two_walks_and_set_or_drawer_none():
    study = study_of(with_drawers())
    walks = {where: placing and placing.walks_per_day for where, placing in study.places.items()}
    assert walks == {"set": 0.0, "add-on": pytest.approx(2.0), "drawer": 0.0}
    assert study.wanted == pytest.approx(0.1)


def test_a_walk_costs_a_pair_of_gloves_and_so_does_a_drawer_that_is_opened_with_clean_hands():
    places = study_of(with_drawers()).places
    pairs = {where: placing and round(placing.glove_pairs_per_day, 1) for where, placing in places.items()}
    assert pairs["set"] == 0.0 and pairs["add-on"] == pytest.approx(2.0)
    assert pairs["drawer"] == pytest.approx(2.0, abs=0.5)  # as often as it is drawn in so few days
    over = study_of(with_drawers(settings={"drawer_access": "overglove"})).places["drawer"]
    assert over is not None and over.glove_pairs_per_day == 0.0


def test_what_must_not_be_washed_is_studied_in_no_set_that_is():
    plier = INSTRUMENTS["bird-beak"] | {"skips": ["sterilize"]}
    places = study_of(with_drawers(instruments={"bird-beak": plier})).places
    assert places["set"] is None and places["drawer"] is not None


def test_an_add_on_that_every_visit_takes_costs_no_walk():
    procedure = PROCEDURES["wire-change"] | {"add_ons": {"always-there": "always"}}
    pouch = {"name": "Pouch", "code": "AT", "kind": "add-on", "size": "small-pouch", "contents": ["cutter"]}
    practice_ = practice(procedures={"wire-change": procedure}, pouches={"always-there": pouch})
    assert walks_per_day(practice_, {"wire-change": 20.0}) == 0.0


def test_without_the_rare_instrument_a_smaller_cassette_holds_the_set():
    # 22 + 8 of mirror and explorer fit the slim cassette's 75 mm, with 50 more and 6 of gaps they do not.
    kit = SETS["core"] | {"contents": ["mirror", "explorer", "bird-beak"]}
    procedure = PROCEDURES["wire-change"] | {"needs": {"mirror": "always", "bird-beak": "10%"}}
    study = study_of(practice(sets={"core": kit}, procedures={"wire-change": procedure}, pouches={}))
    assert study.is_now == "set"
    smallest = {where: placing and placing.smallest_cassettes["core"] for where, placing in study.places.items()}
    assert smallest == {"set": "large", "add-on": "slim", "drawer": "slim"}


def test_visits_are_those_that_the_practice_states():
    """20.5 a day, a tenth of which fetches the add-on."""
    half = PROCEDURES["wire-change"] | {"per_day": 20.5}
    practice_ = with_drawers(procedures={"wire-change": half})
    in_add_on = placement_study(practice_, days(practice_))[0].places["add-on"]
    assert in_add_on is not None
    assert in_add_on.walks_per_day == pytest.approx(0.1 * 20.5)


@pytest.mark.parametrize(("plan_days", "runs"), [(1000, 10), (1000, 50), (400, 20), (1000, 2)])
def test_all_runs_together_take_at_most_twice_the_days_of_the_plan(plan_days, runs):
    each = days_per_run(plan_days, runs)
    assert each <= plan_days
    assert each * runs <= TIMES_THE_PLAN * plan_days


def test_the_figures_say_what_else_each_place_comes_to():
    practice_ = with_drawers()
    figures = {figure.id: figure for figure in placement_figures(practice_, [study_of(practice_)])}
    assert set(figures) == {f"placement.bird-beak.{where}" for where in WHERE}
    assert "40 of the same busy days run again" in str(figures["placement.bird-beak.add-on"].why)
    assert "2.0 walks to the store during visits a day (0.0 now)" in str(figures["placement.bird-beak.add-on"].why)


def test_the_share_that_wants_an_instrument_is_of_the_visits_with_its_sets_only():
    """10 visits a day with the core set, half of which want the plier; 10 with a set that it is not in do not count."""
    sets = {
        "core": SETS["core"] | {"contents": ["mirror", "explorer", "weingart"]},
        "exam": SETS["core"] | {"name": "Exam set", "code": "EX", "mark": "two-bars", "contents": ["mirror"]},
    }
    procedures = {
        "wire-change": PROCEDURES["wire-change"]
        | {"per_day": 10.0, "minutes": "15 min", "needs": {"weingart": "always", "bird-beak": "50%"}},
        "check": PROCEDURES["wire-change"]
        | {"per_day": 10.0, "minutes": "15 min", "set": "exam", "needs": {"mirror": "always"}},
    }
    (study,) = placement_study(practice_ := with_drawers(sets=sets, procedures=procedures), days(practice_))
    assert study.instrument == "bird-beak"
    assert study.wanted == pytest.approx(0.5)
