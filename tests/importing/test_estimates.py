"""Figures of an appointment book against a book that was drawn from known ones, with numpy; quantiles against scipy."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
import pytest
from scipy.stats import t

from kitdocs.importing.booking_times import LEAST_DAYS, WorkingHours
from kitdocs.importing.estimates import BookFigures, figures_of
from kitdocs.importing.evidence import Estimate, t_of
from kitdocs.importing.visits import BookedVisit, busiest_day, open_days

MONDAY = date(2026, 3, 2)
HOURS = WorkingHours(opens=480, noon=720, after_noon=780, closes=1020)
#: Half of the hours before the break, half after it.
MORNING = 0.5


@dataclass(frozen=True)
class Truth:
    """What a procedure's visits are drawn from."""

    per_day: float
    minutes: int
    absent: float = 0.0
    over: float = 0.0
    median: float = 8.0
    most: float = 25.0
    morning: float = 0.0


TRUTHS = {
    "wire-change": Truth(22.4, 30, absent=0.06, over=0.3),
    "bonding": Truth(3.5, 75, absent=0.06, over=0.3, morning=0.9),
    "check": Truth(11.7, 15, absent=0.15, over=0.3),
    "deband": Truth(2.0, 60, absent=0.06, over=0.6, median=15, most=40),
}


def drawn(
    seed: int, weeks: int, *, rounded: bool = False, weekdays: Sequence[float] = (1, 1, 1, 1, 0.4)
) -> list[BookedVisit]:
    """The visits of some weeks; `weekdays` says how full each is. A fraction is one visit more on some days."""
    draw = np.random.default_rng(seed)
    found = []
    for week in range(weeks):
        for weekday, full in enumerate(weekdays):
            day = MONDAY + timedelta(days=7 * week + weekday)
            for id_, truth in TRUTHS.items():
                each = truth.per_day * full
                for _ in range(int(each) + int(draw.random() < each % 1)):
                    in_morning = draw.random() < (1.0 if draw.random() < truth.morning else MORNING)
                    over = 0.0
                    if draw.random() < truth.over:
                        spread = np.log(truth.most / truth.median) / 1.6448536269514722
                        over = truth.median * float(np.exp(spread * draw.standard_normal()))
                    took = truth.minutes + over
                    absent = draw.random() < truth.absent
                    found.append(
                        BookedVisit(
                            day=day,
                            start=float(draw.uniform(480, 700) if in_morning else draw.uniform(780, 1000)),
                            booked=truth.minutes,
                            took=None if absent else round(took) if rounded else took,
                            chair="chair-1",
                            procedure=id_,
                            standing="absent" if absent else "kept",
                        )
                    )
    return found


def figures(visits: list[BookedVisit]) -> BookFigures:
    return figures_of(visits, open_days(visits), HOURS)


@pytest.mark.parametrize("freedom", [5, 7, 12, 30, 200])
def test_students_quantile_is_that_of_scipy(freedom: int) -> None:
    assert t_of(freedom) == pytest.approx(t.ppf(0.975, freedom), abs=0.01)


def covered(estimates: Iterable[Estimate | None], truth: float) -> float:
    found = [estimate.low <= truth <= estimate.high for estimate in estimates if estimate]
    assert len(found) >= 190
    return sum(found) / len(found)


def test_intervals_hold_the_truth_in_about_95_of_100_books() -> None:
    """Of 200 books of twelve weeks; between 90 and 99 % of so many is what chance leaves of 95 %."""
    books = [figures(drawn(seed, 12)) for seed in range(200)]
    of = {id_: [book.procedures[id_] for book in books] for id_ in TRUTHS}
    for name in ("wire-change", "bonding", "check"):
        assert 0.9 <= covered([each.per_day for each in of[name]], TRUTHS[name].per_day) <= 0.99, name
    assert {each.per_day.value for each in of["deband"] if each.per_day} == {2.0}
    late = [each.overrun for each in of["deband"]]
    assert 0.9 <= covered([each.share for each in late if each], 0.6) <= 0.99
    assert 0.9 <= covered([each.median for each in late if each], 15) <= 0.99
    assert 0.9 <= covered([each.when.share for each in of["bonding"] if each.when], 0.9) <= 0.99
    assert 0.9 <= covered([book.no_shows for book in books], shares(lambda truth: truth.absent)) <= 0.99
    assert 0.9 <= covered([each.no_shows for each in of["check"]], 0.15) <= 0.99


def shares(of: object) -> float:
    """The mean over all visits."""
    assert callable(of)
    visits = sum(truth.per_day for truth in TRUTHS.values())
    return float(sum(of(truth) * truth.per_day for truth in TRUTHS.values()) / visits)


def test_a_procedure_has_a_figure_of_its_own_only_where_it_differs() -> None:
    """At 6 %, others differ seldom: in no more than about one book of 20 by chance, were 6 % that of all."""
    books = [figures(drawn(seed, 8)) for seed in range(40)]
    own = [{id_ for id_, each in book.procedures.items() if each.overrun} for book in books]
    assert all("deband" in each for each in own)
    assert sum("check" in each for each in own) <= 12
    assert all(figure.procedures["check"].when is None for figure in books)
    assert all(figure.procedures["bonding"].when for figure in books)


def test_times_kept_to_the_minute_change_little() -> None:
    exact, rounded = (figures(drawn(3, 12, rounded=to)) for to in (False, True))
    assert exact.overrun and rounded.overrun
    assert rounded.overrun.share.value == pytest.approx(exact.overrun.share.value, abs=0.01)
    assert rounded.overrun.median.value == pytest.approx(exact.overrun.median.value, rel=0.03)
    assert rounded.overrun.most == pytest.approx(exact.overrun.most, rel=0.05)


def test_the_largest_of_20_overruns_is_recovered() -> None:
    most = [book.procedures["deband"].overrun for book in (figures(drawn(seed, 12)) for seed in range(20))]
    assert np.mean([each.most for each in most if each]) == pytest.approx(40, rel=0.05)


def test_minutes_are_those_booked_most_in_the_middle() -> None:
    visits = drawn(1, 2)
    some = [replace(visit, booked=40) if n % 3 == 0 else visit for n, visit in enumerate(visits)]
    found = figures(some).procedures["check"].minutes
    assert found and (found.value, found.low, found.high) == (15, 15, 40)


def test_too_few_days_state_nothing_that_rests_on_days() -> None:
    week = drawn(1, 1)
    found = figures(week)
    assert (found.no_shows, found.overrun) == (None, None)
    assert all((each.per_day, each.when) == (None, None) for each in found.procedures.values())
    assert found.procedures["wire-change"].minutes
    assert len(open_days(week).busy) == 4 < LEAST_DAYS
    assert len(open_days(drawn(1, 2)).busy) == LEAST_DAYS


def test_busy_are_the_weekdays_with_about_as_many_visits_as_the_busiest() -> None:
    visits = drawn(7, 4)
    days = open_days(visits)
    assert days.busy_weekdays == (0, 1, 2, 3)
    assert (len(days.busy), len(days.quiet)) == (16, 4)
    assert open_days(drawn(7, 4, weekdays=(1, 1, 1, 1, 0.65))).busy_weekdays == (0, 1, 2, 3)
    assert open_days(drawn(7, 4, weekdays=(1, 1, 1, 1, 0.9))).busy_weekdays == (0, 1, 2, 3, 4)
    half_day = [visit for visit in visits if visit.day != MONDAY or visit.start < 560]
    assert MONDAY in open_days(half_day).quiet
    assert MONDAY not in {*open_days(visits, [MONDAY]).busy, *open_days(visits, [MONDAY]).quiet}
    top = busiest_day(visits, days)
    counts = {day: sum(visit.day == day for visit in visits) for day in days.busy}
    assert top and counts[top] == max(counts.values())


def test_days_to_come_are_left_out() -> None:
    """Where others have an outcome: their book is still filling."""
    visits = drawn(7, 4)
    later = MONDAY + timedelta(days=21)
    ahead = [replace(visit, standing="booked") if visit.day >= later else visit for visit in visits]
    days = open_days(ahead)
    assert (len(days.busy), len(days.to_come)) == (12, 5)
    assert open_days([replace(visit, standing="booked") for visit in visits]).to_come == ()


def test_cancelled_visits_count_for_nothing() -> None:
    visits = drawn(7, 4)
    more = [*visits, *(replace(visit, standing="cancelled", start=481) for visit in visits[::3])]
    assert figures(more) == figures(visits)
