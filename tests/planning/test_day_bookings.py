from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from practice_builder import at, build, procedure

from kitdocs.planning.day.book import OverbookedError
from kitdocs.planning.day.bookings import Diary
from kitdocs.planning.day.run import busy_days
from kitdocs.practice.problems import PracticeError

MIXED = {
    "short": procedure(minutes="15 min", per_day=9.0),
    "long": procedure(minutes="72 min", per_day=2.5, chairs=["chair-2", "chair-3"]),
    "one-chair": procedure(minutes="40 min", per_day=3.0, chairs=["chair-1"], needs={"mirror": "30%", "x": "5%"}),
}


def mixed(**changes):
    return build(procedures=MIXED, drawers=({}, {}, {}), **changes)


def days(practice, count=40, seed=1):
    diary = Diary(practice)
    return [diary.day(seed, number) for number in range(1, count + 1)]


def test_no_visit_crosses_the_break_or_closing():
    for day in days(mixed()):
        for visit in day:
            morning = at("08:00") <= visit.start and visit.end <= at("12:00")
            afternoon = at("13:00") <= visit.start and visit.end <= at("17:00")
            assert morning or afternoon


def test_no_two_visits_share_a_chair():
    for day in days(mixed()):
        for chair in ("chair-1", "chair-2", "chair-3"):
            visits = [visit for visit in day if visit.chair == chair]
            assert all(a.end <= b.start for a, b in pairwise(visits))


def test_visits_start_on_the_five_minute_grid_and_last_their_minutes():
    for day in days(mixed()):
        assert all((visit.start - at("08:00")) % 300 == 0 for visit in day)
        assert all(visit.end - visit.start == 72 * 60 for visit in day if visit.procedure == "long")


def test_every_procedure_gets_its_visits_and_only_its_chairs():
    for day in days(mixed()):
        count = {p: sum(visit.procedure == p for visit in day) for p in MIXED}
        assert (count["short"], count["one-chair"]) == (9, 3)
        assert count["long"] in {2, 3}
        assert {v.chair for v in day if v.procedure == "one-chair"} == {"chair-1"}
        assert "chair-1" not in {v.chair for v in day if v.procedure == "long"}


def test_a_fraction_of_a_visit_is_one_more_on_that_share_of_days():
    """2.5 a day: the extra visit is a coin. 4 standard deviations of 400 coins are 40."""
    extra = sum(sum(v.procedure == "long" for v in day) - 2 for day in days(mixed(), 400))
    assert 160 <= extra <= 240


def test_visits_are_spread_over_chairs_and_the_whole_day():
    """16 h 20 min of visits in 24 h of chairs, balanced: no half-day is left empty, none is always full."""
    starts = [visit.start for day in days(mixed(), 200) for visit in day]
    assert {start // 3600 for start in starts} == {8, 9, 10, 11, 13, 14, 15, 16}
    for day in days(mixed()):
        halves = {(visit.chair, visit.start > at("12:30")) for visit in day}
        assert len(halves) == 6


def test_luck_has_a_number_for_each_occasional_need_and_two_more():
    day = days(mixed(), 1)[0]
    assert {v.procedure: len(v.luck) for v in day} == {"short": 2, "long": 2, "one-chair": 4}
    assert all(0 <= number < 1 for visit in day for number in visit.luck)


def test_a_day_is_in_order_of_start_and_at_one_time_by_turns():
    """As often one chair comes first as another: on 800 days, more than 100 times both come at one time."""
    first = Counter()
    for day in days(mixed(), 800):
        assert [visit.start for visit in day] == sorted(visit.start for visit in day)
        first.update((a.chair, b.chair) for a, b in pairwise(day) if a.start == b.start)
    for one, other in (("chair-1", "chair-2"), ("chair-1", "chair-3"), ("chair-2", "chair-3")):
        there, back = first[one, other], first[other, one]
        assert there + back > 100
        assert abs(there - back) < 4 * (there + back) ** 0.5, "4 standard deviations of so many coins"


def test_without_a_break_a_visit_may_lie_across_noon():
    practice = build(
        procedures={"visit": procedure(minutes="8 h", per_day=2.0)}, day={"opens": "08:00", "closes": "17:00"}
    )
    assert {visit.chair for visit in Diary(practice).day(seed=1, number=1)} == {"chair-1", "chair-2"}


def test_a_full_day_is_booked_longest_first_when_chance_does_not_manage():
    """Each half-day of 4 h holds a visit of 150 min and three of 30 min, and nothing else does: 16 h in 4 halves."""
    full = build(
        procedures={
            "small": procedure(minutes="30 min", per_day=12.0),
            "large": procedure(minutes="150 min", per_day=4.0),
        }
    )
    for day in days(full, 20):
        assert len(day) == 16


def test_a_day_that_does_not_fit_says_how_much_is_booked_and_available():
    practice = build(procedures={"visit": procedure(minutes="50 min", per_day=17.0)})
    with pytest.raises(OverbookedError) as caught:
        Diary(practice).day(seed=1, number=1)
    assert (caught.value.booked, caught.value.available) == (850, 960)  # 4 halves take 4 visits each
    with pytest.raises(PracticeError) as refused:
        busy_days(practice, days=3)
    (problem,) = refused.value.problems
    assert problem.rule == "day-cannot-be-booked"
    assert problem.path == "procedures.visit.per_day"
    # Three days, and the day before them, which fills the drawers: 17 × 50 min in 2 chairs × (4 h + 4 h).
    assert str(problem.message) == (
        "on 4 of 4 busy days the visits do not fit the chairs: on the fullest, 850 chair-minutes are booked, 960 are "
        "available, and a visit for 'Visit' finds no chair with 50 minutes left before the break or closing"
    )


def test_a_visit_longer_than_the_half_day_cannot_be_booked():
    practice = build(procedures={"visit": procedure(minutes="5 h", per_day=1.0)})
    with pytest.raises(OverbookedError):
        Diary(practice).day(seed=1, number=1)


def test_a_schedule_replaces_the_draw_and_its_days_take_turns():
    practice = mixed(
        schedule=[
            ("Tuesday", "09:07", "chair-2", "long", "61 min"),
            ("Monday", "08:30", "chair-3", "short", "10 min"),
            ("Tuesday", "08:00", "chair-1", "one-chair", "40 min"),
        ]
    )
    seen = [[visit[:4] for visit in day] for day in days(practice, 3)]
    tuesday = [
        (at("08:00"), at("08:40"), "chair-1", "one-chair"),
        (at("09:07"), at("10:08"), "chair-2", "long"),
    ]
    monday = [(at("08:30"), at("08:40"), "chair-3", "short")]
    assert seen == [monday, tuesday, monday], "by name"
    assert days(practice, 1)[0][0].luck != days(practice, 3)[2][0].luck


@given(st.integers(0, 2**40), st.integers(0, 10**6))
def test_a_day_depends_on_the_seed_and_its_number_only(seed, number):
    assert Diary(mixed()).day(seed, number) == Diary(mixed()).day(seed, number)
    assert Diary(mixed()).day(seed, number) != Diary(mixed()).day(seed + 1, number)
    assert Diary(mixed()).day(seed, number) != Diary(mixed()).day(seed, number + 1)


def test_the_same_visits_are_drawn_whatever_the_sets_and_pouches_are():
    other = mixed(
        sets={"core": ("large", ["explorer"])}, pouches={"x": ("drawer", ["mirror"])}, stages=None, setup="9 min"
    )
    assert days(other, 5) == days(mixed(), 5)
