"""The shape of the day: when visits are booked, a packed book, visits that run over and that are not kept."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from math import exp, log
from typing import Any

import pytest
from drawn_practices import drawn
from hypothesis import given
from hypothesis import strategies as st
from practice_builder import at, build, hand, procedure, washer
from scipy import stats
from test_day_bookings import MIXED, mixed

from kitdocs.planning.buying.supplies import supply_uses
from kitdocs.planning.day.book import OverbookedError
from kitdocs.planning.day.bookings import Diary
from kitdocs.planning.day.draws import DAYS
from kitdocs.planning.day.half_day import Times, fit, order, starts
from kitdocs.planning.day.kept_visits import visits_per_day
from kitdocs.planning.day.late import Fates, as_kept
from kitdocs.planning.day.run import BusyDays, busy_days, drawn_days
from kitdocs.planning.day.turnaround import ImplantLoads
from kitdocs.planning.day.visit import Booked, Booking
from kitdocs.practice.book import window
from kitdocs.practice.model import Practice, Visit
from kitdocs.practice.problems import PracticeError

OVERRUN = {"share": "30%", "median": "8 min", "most": "25 min"}


def with_settings(practice: Practice, **settings: Any) -> Practice:
    written = {key: value for key, value in settings.items() if value is not None}
    own = build(settings=written).settings
    changed = {key: getattr(own, key) for key in written}
    return replace(practice, settings=practice.settings.model_copy(update=changed))


def days(practice: Practice, count: int = 40, seed: int = 1) -> list[tuple[Booking, ...]]:
    diary = Diary(practice)
    return [diary.day(seed, number) for number in range(count)]


# Without any of it ---------------------------------------------------------------------------------------


def test_without_any_of_it_a_day_is_what_it_was() -> None:
    """The digest was worked out before there was any of it."""
    told = repr([[tuple(booking)[:5] for booking in day] for day in days(mixed())])
    assert hashlib.sha256(told.encode()).hexdigest() == (
        "5d7af936a45c951453ae79b972b676d46d66cbe8d95fa9cfbc671106e5251a2b"
    )


@given(drawn(), st.sampled_from(("0:00-23:59", "8:00-17:00")), st.integers(0, 10**6))
def test_the_whole_day_is_any_time(practice: Practice, when: str, seed: int) -> None:
    anyhow, always = (
        replace(
            practice,
            procedures={id_: record.model_copy(update={"when": asked}) for id_, record in practice.procedures.items()},
        )
        for asked in (None, window(when))
    )
    assert told_of(anyhow, seed) == told_of(always, seed)


def told_of(practice: Practice, seed: int) -> tuple[Booking, ...] | None:
    try:
        return Diary(practice).day(seed, 1)
    except OverbookedError:
        return None


@given(drawn(), st.integers(0, 10**6))
def test_nothing_runs_over_where_what_runs_over_takes_no_time(practice: Practice, seed: int) -> None:
    """Visits that run over by less than half a second, all of them, and a share of no-shows that no number is below."""
    none = {"overrun": None, "no_shows": None}
    plain = replace(
        with_settings(practice),
        settings=practice.settings.model_copy(update=none),
        procedures={id_: record.model_copy(update=none) for id_, record in practice.procedures.items()},
    )
    hardly = with_settings(plain, overrun={"share": "always", "median": "0.006 s", "most": "0.012 s"})
    hardly = replace(hardly, settings=hardly.settings.model_copy(update={"no_shows": 1e-12}))
    assert told_of(plain, seed) == told_of(hardly, seed)


# When a visit is booked ----------------------------------------------------------------------------------


WHENS: Mapping[str, tuple[Any, Mapping[tuple[str, str], float]]] = {
    "morning": ("morning", {("08:00", "12:00"): 1.0}),
    "afternoon": ("afternoon", {("13:00", "17:00"): 1.0}),
    "hours": ("9:10-10:00", {("09:10", "10:00"): 1.0}),
    "over the break": ("11:00-14:00", {("11:00", "14:00"): 1.0}),
    "shares": ({"9:00-11:00": "60%", "afternoon": "40%"}, {("09:00", "11:00"): 0.6, ("13:00", "17:00"): 0.4}),
}


@pytest.mark.parametrize("book", ["spread", "packed"])
@pytest.mark.parametrize("name", WHENS)
def test_visits_begin_when_they_are_booked(name: str, book: str) -> None:
    """And in the shares that are stated: of 4 visits on 100 days, by 4 standard deviations of a binomial share."""
    when, spans = WHENS[name]
    practice = with_settings(
        replace(
            mixed(), procedures=build(procedures={**MIXED, "booked": procedure(per_day=4.0, when=when)}).procedures
        ),
        book=book,
    )
    starts = [visit.start for day in days(practice, 100) for visit in day if visit.procedure == "booked"]
    assert len(starts) == 400
    seen = {(a, b): sum(at(a) <= start < at(b) for start in starts) for a, b in spans}
    assert sum(seen.values()) == 400
    for span, share in spans.items():
        assert abs(seen[span] / 400 - share) <= 4 * (share * (1 - share) / 400) ** 0.5
    assert all(start % 300 == 0 for start in starts)


def test_what_is_in_no_share_begins_at_any_time() -> None:
    booked = procedure(per_day=8.0, minutes="20 min", when={"8:00-9:00": "50%"})
    starts = [v.start for day in days(build(procedures={"visit": booked}, drawers=({},) * 4), 100) for v in day]
    early = sum(start < at("09:00") for start in starts)
    # Half, and of the other half somewhat more than 1 of 8 h × 60 min; 4 standard deviations of 800 visits are 56.
    assert 400 - 56 < early < 400 + 50 + 56
    assert {start // 3600 for start in starts} == {8, 9, 10, 11, 13, 14, 15, 16}


def test_without_a_break_the_morning_ends_at_noon() -> None:
    day = {"opens": "08:00", "closes": "17:00"}
    for when, first, last in (("morning", "08:00", "12:00"), ("afternoon", "12:00", "17:00")):
        practice = build(procedures={"visit": procedure(per_day=5.0, when=when)}, day=day)
        starts = [visit.start for day in days(practice) for visit in day]
        assert at(first) <= min(starts) <= max(starts) < at(last)
        if when == "morning":
            assert max(visit.end for day in days(practice) for visit in day) > at("12:00"), "it may end after noon"


def test_when_one_procedure_is_booked_moves_no_number_of_another() -> None:
    when = {**MIXED, "short": {**MIXED["short"], "when": "morning"}}
    before, after = (days(replace(mixed(), procedures=build(procedures=p).procedures)) for p in (MIXED, when))
    for one, other in zip(before, after, strict=True):
        assert Counter((v.procedure, v.luck) for v in one) == Counter((v.procedure, v.luck) for v in other)


def test_a_time_that_is_too_short_for_its_visits_is_told_with_a_remedy() -> None:
    """Two chairs, an hour: four visits of half an hour fit, five do not; nor does it help that the rest is free."""
    fits, too_many = (
        build(procedures={"visit": procedure(per_day=n, when="9:00-9:35"), "other": procedure(per_day=3.0)})
        for n in (4.0, 5.0)
    )
    assert all(len(day) == 7 for day in days(fits))
    with pytest.raises(PracticeError) as refused:
        busy_days(too_many, days=3)
    (problem,) = refused.value.problems
    assert (problem.rule, problem.path) == ("day-cannot-be-booked", "procedures.visit.when")
    assert "at the time at which it is booked" in str(problem.message)


def test_visits_fit_one_after_another_the_one_that_must_be_over_first_goes_first() -> None:
    """By hand: a half-day of 12 steps. A visit of 4 that begins at 2 or 3, and two of 3 at any time."""
    booked, three = Times(2, 3, 4), Times(0, 9, 3)
    assert fit([three, booked, three]), "3 from 0 on, the booked one at 3, 3 from 7 on"
    assert not fit([Times(0, 8, 4), booked, Times(0, 8, 4)]), "none of 4 fits before it, and after it there are 6"
    assert not fit([booked, Times(3, 3, 1), Times(2, 2, 1)])
    assert order([three, booked, three]) == [0, 1, 2]
    assert starts([three, booked, three], [0, 0, 0]) == [0, 3, 7]
    half = 2**31
    # Soonest 0, 3, 7; last 0, 3, 9: only the third can move, by half of 3 steps, rounded down.
    assert starts([three, booked, three], [half, half, half]) == [0, 3, 8]


# A packed book -------------------------------------------------------------------------------------------


def test_a_packed_day_has_long_visits_first_and_short_ones_up_to_closing() -> None:
    """One chair, 4 h and 4 h: the two long ones from opening on, four short ones up to closing, 50 min on average."""
    practice = build(
        procedures={
            "long": procedure(minutes="90 min", per_day=2.0),
            "short": procedure(minutes="30 min", per_day=4.0),
        },
        drawers=({},),
        settings={"book": "packed"},
    )
    for day in days(practice):
        assert [(v.procedure, v.start) for v in day] == [
            *(("long", at(clock)) for clock in ("08:00", "09:30")),
            *(("short", at(clock)) for clock in ("15:00", "15:30", "16:00", "16:30")),
        ]


def test_what_does_not_fit_at_the_end_of_a_packed_day_goes_up_to_the_break() -> None:
    practice = build(
        procedures={"short": procedure(minutes="40 min", per_day=8.0)}, drawers=({},), settings={"book": "packed"}
    )
    starts = ["10:40", "11:20", *(f"{13 + n * 40 // 60}:{n * 40 % 60:02d}" for n in range(6))]
    for day in days(practice):
        assert [visit.start for visit in day] == [at(start) for start in starts]


def sets_needed(practice: Practice, count: int = 200) -> tuple[float, int]:
    run = busy_days(practice, days=count)
    return sum(stock.peak.mean for stock in run.sets.values()), sum(run.stock.values())


@pytest.mark.parametrize("minutes", [("20 min", "75 min"), ("30 min", "40 min"), ("15 min", "120 min")])
@pytest.mark.parametrize("per_day", [(12.0, 2.0), (6.0, 6.0)])
def test_a_packed_book_never_needs_fewer_sets(minutes: tuple[str, str], per_day: tuple[float, float]) -> None:
    """More are out at once, on average and by the count; free time in between is what keeps sets apart."""
    procedures = {
        f"visit-{n}": procedure(minutes=m, per_day=p) for n, (m, p) in enumerate(zip(minutes, per_day, strict=True))
    }
    spread = build(procedures=procedures, drawers=({}, {}, {}), stages={"receive": hand(), "wash": washer(machines=2)})
    before, after = sets_needed(spread), sets_needed(with_settings(spread, book="packed"))
    assert after[0] >= before[0]
    assert after[1] >= before[1]


@pytest.mark.whole
def test_a_packed_book_needs_what_the_same_visits_need_when_they_are_packed_by_hand(example: Practice) -> None:
    """60 spread days, packed again chair by chair as an office would by that rule, and read as schedule.csv: the long
    visits of a chair one after another from opening on, its short ones up to closing. The same sets but for a few."""
    packed = busy_days(with_settings(example, book="packed"), days=60)
    spread = drawn_days(example, days=60)[1:]
    rows = tuple(visit for number, day in enumerate(spread, 1) for visit in packed_by_hand(example, number, day))
    by_hand = busy_days(replace(example, schedule=rows), days=60)
    drawn = busy_days(example, days=60)
    of_packed, of_hand, of_drawn = (sum(run.stock.values()) for run in (packed, by_hand, drawn))
    assert abs(of_packed - of_hand) <= 3
    assert of_hand > of_drawn + 10
    assert abs(packed.ends.median - by_hand.ends.median) <= 30 * 60


def packed_by_hand(practice: Practice, number: int, day: Sequence[Booking]) -> Iterator[Visit]:
    hours, average = practice.settings.day, sum(visit.end - visit.start for visit in day) / len(day)
    assert hours.pause
    for chair in sorted({visit.chair for visit in day}):
        mine = sorted((v for v in day if v.chair == chair), key=lambda v: v.start - v.end)
        free = [[hours.opens, hours.pause.start], [hours.pause.end, hours.closes]]
        for visit in mine:
            minutes = (visit.end - visit.start) // 60
            grid = -(-minutes // 5) * 5
            if visit.end - visit.start > average:
                half = next(half for half in free if half[1] - half[0] >= grid)
                start, half[0] = half[0], half[0] + grid
            else:
                half = next(half for half in reversed(free) if half[1] - half[0] >= grid)
                start = half[1] = half[1] - grid
            clock = f"{start // 60:02d}:{start % 60:02d}"
            row = {"day": f"{number:03d}", "start": clock, "chair": chair, "minutes": f"{minutes} min"}
            yield Visit.model_validate({**row, "procedure": visit.procedure})


# Late and absent -----------------------------------------------------------------------------------------


def booked(*visits: tuple[str, str, str]) -> list[Booked]:
    return [
        (at(start), n, "visit", n, Booking(at(start), at(end), chair, "visit", (0.5,)))
        for n, (start, end, chair) in enumerate(visits)
    ]


def test_who_comes_next_begins_late_by_what_free_time_does_not_take_up() -> None:
    """By hand. Chair 1: 10 min over, 5 of them taken up; then 20 more over into the break; a visit that is not kept
    takes up its 30 min; the last runs past closing. Chair 2 knows nothing of it."""
    visits = booked(
        ("11:00", "11:20", "chair-1"),
        ("11:00", "11:30", "chair-2"),
        ("11:25", "12:00", "chair-1"),
        ("13:00", "13:30", "chair-1"),
        ("13:30", "14:00", "chair-1"),
        ("14:00", "17:00", "chair-1"),
    )
    minutes = [10, 0, 90, None, 40, 15]
    fates = [None if over is None else 60 * over for over in minutes]
    kept = [row[-1] for row in as_kept(zip(visits, fates, strict=True))]
    assert [(v.start, v.end, v.late // 60) for v in kept] == [
        (at("11:00"), at("11:30"), 0),
        (at("11:00"), at("11:30"), 0),
        (at("11:30"), at("13:35"), 5),
        (at("13:35"), at("14:45"), 5),
        (at("14:45"), at("18:00"), 45),
    ]


def test_what_runs_over_is_lognormal() -> None:
    """Against scipy: the sizes by Kolmogorov and Smirnov, at seconds; the share of visits by the binomial."""
    practice = build(settings={"overrun": OVERRUN})
    drawn = [fate for block in range(40) for fate in Fates(practice, "visit").drawn(1, block, 8)]
    over = [fate for fate in drawn if fate]
    assert len(drawn) == 40 * 8 * DAYS
    assert stats.binomtest(len(over), len(drawn), 0.3).pvalue > 0.01
    spread = log(25 / 8) / stats.norm.ppf(0.95)
    assert stats.lognorm(spread, scale=8 * 60).ppf(0.95) == pytest.approx(25 * 60)
    assert stats.kstest(over, stats.lognorm(spread, scale=8 * 60).cdf).pvalue > 0.01
    mean = 8 * 60 * exp(spread**2 / 2)
    assert sum(over) / len(over) == pytest.approx(mean, rel=0.05)


@pytest.mark.parametrize(("share", "seed"), [("5%", 1), ("25%", 2), ("90%", 3)])
def test_how_many_are_not_kept_is_binomial(share: str, seed: int) -> None:
    practice = with_settings(build(procedures={"visit": procedure(per_day=10.0)}), no_shows=share)
    counts = [len(day) for day in days(practice, 1000, seed)]
    kept = 1 - float(share[:-1]) / 100
    assert stats.binomtest(sum(counts), 10_000, kept).pvalue > 0.01
    expected = [1000 * stats.binom(10, kept).pmf(n) for n in range(11)]
    few = [n for n in range(11) if expected[n] < 5]
    seen = [counts.count(n) for n in range(11)]
    merged = [[row[n] for n in range(11) if n not in few] + [sum(row[n] for n in few)] for row in (seen, expected)]
    assert stats.chisquare(*merged).pvalue > 0.01


@given(drawn(), st.integers(0, 10**6))
def test_more_that_are_not_kept_are_the_same_visits_and_more(practice: Practice, seed: int) -> None:
    """Without overruns those that are kept go as they were booked; with them, none begins sooner than booked."""
    procedures = {id_: p.model_copy(update={"no_shows": None}) for id_, p in practice.procedures.items()}
    practice = replace(practice, procedures=procedures)
    all_kept, some, fewer = (
        replace(practice, settings=practice.settings.model_copy(update={"no_shows": share}))
        for share in (None, 0.2, 0.5)
    )
    told = [told_of(p, seed) for p in (all_kept, some, fewer)]
    if told[0] is None:
        assert told == [None, None, None]
        return
    luck = [Counter((visit.procedure, visit.chair, visit.luck) for visit in day or ()) for day in told]
    assert luck[2] <= luck[1] <= luck[0]
    for day in told:
        assert day is not None and all(visit.late >= 0 and visit.end > visit.start for visit in day)


def test_everything_that_counts_visits_counts_those_that_are_kept(example: Practice) -> None:
    practice = build(
        procedures={"visit": procedure(per_day=10.0), "other": procedure(per_day=2.0, no_shows="50%")},
        settings={"no_shows": "20%"},
    )
    assert visits_per_day(practice) == pytest.approx({"visit": 8.0, "other": 1.0})
    run = busy_days(practice, days=400)
    # 10 × 20 % × 80 % + 2 × 50 % × 50 % is the variance of a day; 4 standard errors of 400.
    assert abs(run.visits.mean - 9) < 4 * (2.1 / 400) ** 0.5
    assert run.kept.booked == 12
    assert run.sets["core"].taken_per_day == run.visits.mean
    of_all, of_kept = (
        {
            use.id: use.per_day
            for use in supply_uses(p, {}, visits_per_day(p), ImplantLoads(per_day=0.0, days=0.0))
            if use.kind == "single-use"
        }
        for p in (example, with_settings(example, no_shows="20%"))
    )
    assert of_kept == pytest.approx({id_: 0.8 * used for id_, used in of_all.items()})
    assert of_all


def test_one_procedure_may_be_kept_always_where_others_are_not() -> None:
    practice = build(
        procedures={"visit": procedure(per_day=10.0), "always": procedure(per_day=2.0, no_shows="0%")},
        settings={"no_shows": "90%"},
    )
    assert visits_per_day(practice) == pytest.approx({"visit": 1.0, "always": 2.0})
    for day in drawn_days(practice, days=20):
        assert sum(booking.procedure == "always" for booking in day) == 2


def test_days_of_a_schedule_are_kept_or_not_too() -> None:
    schedule = [("Monday", f"{8 + n:02d}:00", "chair-1", "visit", "60 min") for n in range(4)]
    practice = build(schedule=schedule, settings={"no_shows": "25%", "overrun": {**OVERRUN, "share": "always"}})
    counts = Counter(len(day) for day in days(practice, 400))
    assert stats.binomtest(sum(n * seen for n, seen in counts.items()), 1600, 0.75).pvalue > 0.01
    assert visits_per_day(practice) == {"visit": 3.0}
    for day in days(practice):
        assert all(a.end <= b.start for a, b in pairwise(day)), "one chair"
        assert any(visit.late for visit in day[1:]) or len(day) < 3


def late_and_absent(**settings: Any) -> BusyDays:
    return busy_days(with_settings(mixed(stages={"receive": hand(), "wash": washer(machines=2)}), **settings), days=300)


def test_what_the_run_says_of_late_visits_can_be_counted_again() -> None:
    practice = with_settings(mixed(), overrun=OVERRUN, no_shows="10%")
    kept, run = days(practice, 301)[1:], busy_days(practice, days=300)
    visits = [visit for day in kept for visit in day]
    late = sorted(visit.late for visit in visits if visit.late)
    assert run.kept.late == pytest.approx(len(late) / len(visits))
    assert run.kept.late_by.median == late[-(-len(late) // 2) - 1]
    assert run.kept.last.high == sorted(max(v.end for v in day) for day in kept)[284]
    assert run.visits.mean == pytest.approx(len(visits) / 300)
    plain = late_and_absent()
    assert (plain.kept.late, plain.kept.late_by.high) == (0, 0)


def test_visits_that_are_not_kept_never_need_more_and_visits_that_run_over_never_end_sooner() -> None:
    plain, absent, over = late_and_absent(), late_and_absent(no_shows="30%"), late_and_absent(overrun=OVERRUN)
    assert sum(absent.stock.values()) < sum(plain.stock.values())
    assert absent.loads_per_day < plain.loads_per_day
    assert over.kept.last.mean > plain.kept.last.mean
    assert over.ends.mean > plain.ends.mean
    assert over.visits == plain.visits
