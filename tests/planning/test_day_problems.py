"""Problems of a busy day, word for word, with numbers that a person can work out."""

from __future__ import annotations

import pytest
from practice_builder import build, hand, procedure, washer

from kitdocs.planning.day.run import busy_days
from kitdocs.practice.problems import PracticeError


def test_visits_that_do_not_fit_are_reported_with_the_number_of_days() -> None:
    """20 visits of 60 min are 1,200 min; two chairs of twice 4 h have 960 min. The day before counts too."""
    full = build(procedures={"visit": procedure(per_day=20.0, minutes="60 min")})
    with pytest.raises(PracticeError) as refused:
        busy_days(full, days=7)
    (problem,) = refused.value.problems
    assert (problem.rule, problem.path) == ("day-cannot-be-booked", "procedures.visit.per_day")
    assert str(problem.message) == (
        "on 8 of 8 busy days the visits do not fit the chairs: on the fullest, 1,200 chair-minutes are booked, 960 "
        "are available, and a visit for 'Visit' finds no chair with 60 minutes left before the break or closing"
    )
    assert str(problem.remedy) == "plan fewer or shorter visits, or let more chairs do 'visit'"


def test_only_the_days_that_do_not_fit_are_counted() -> None:
    """15 or 16 visits of 60 min in 2 × 8 h: 16 fit, and with 16.5 a day half of the days have 17."""
    tight = build(procedures={"visit": procedure(per_day=16.5, minutes="60 min")})
    with pytest.raises(PracticeError) as refused:
        busy_days(tight, days=40)
    (problem,) = refused.value.problems
    counted, of_days = (int(word) for word in str(problem.message).split()[1:4:2])
    assert of_days == 41, "40, and the day before"
    assert 8 <= counted <= 33, "about half of them"
    assert "1,020 chair-minutes are booked, 960 are available" in str(problem.message)


def test_a_day_that_ends_after_the_next_opening_says_when_and_where() -> None:
    """One set a day: 08:00 + 30 + carry 5 + 3 min by hand = 08:38 at the washer; 25 h and 10 min of waiting later."""
    once = [("one", "08:00", "chair-1", "visit", "30 min")]
    slow = build(
        procedures={"visit": procedure()},
        stages={"pack": hand(), "wash": washer(cycle="25 h", wait="10 min", capacity={"slim": 2})},
        schedule=once,
    )
    run = busy_days(slow, days=2)
    (problem,) = (problem for problem in run.problems if problem.severity == "error")
    assert str(problem.message) == (
        "on a busy day reprocessing ends at 09:48 next day (not later on 95% of days), after the practice opens again "
        "at 08:00 next day; the bottleneck is 'wash', which works 25 h a day for each machine"
    )
    assert str(problem.remedy) == "one machine more at 'wash', a shorter way through it, or fewer visits"


def test_a_day_that_ends_just_at_the_next_opening_is_no_problem() -> None:
    """As above, but 23 h 12 min of washing: 08:38 + 10 min + 23 h 12 min = 08:00."""
    once = [("one", "08:00", "chair-1", "visit", "30 min")]

    def problems(cycle: str) -> list[str]:
        stages = {"pack": hand(), "wash": washer(cycle=cycle, wait="10 min", capacity={"slim": 2})}
        run = busy_days(build(procedures={"visit": procedure()}, stages=stages, schedule=once), days=2)
        return [problem.rule for problem in run.problems if problem.severity == "error"]

    assert problems("1392 min") == []
    assert problems("1393 min") == ["reprocessing-not-finished"]
