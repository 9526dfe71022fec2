from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from practice_builder import at, build, hand, procedure, rest, washer

from kitdocs.planning.day.figures import day_figures
from kitdocs.planning.day.run import busy_days
from kitdocs.practice.problems import PracticeError

ROOT = Path(__file__).parents[2]


def practice(**changes):
    usual = {
        "pouches": {"bends": ("drawer", ["bender"]), "extra": ("add-on", ["holder"])},
        "procedures": {
            "visit": procedure(
                per_day=9.5, add_ons={"extra": "50%"}, needs={"mirror": "always", "bender": "30%", "holder": "50%"}
            )
        },
        "drawers": ({"bends": "auto"}, {"bends": 2}),
        "stages": {"pack": hand(), "wash": washer(machines=2), "cool": rest()},
    }
    return build(**{**usual, **changes})


def test_one_seed_gives_the_same_figures_and_another_gives_others():
    assert busy_days(practice(), days=20, seed=5) == busy_days(practice(), days=20, seed=5)
    assert busy_days(practice(), days=20, seed=5).turnaround != busy_days(practice(), days=20, seed=6).turnaround


@pytest.mark.whole
def test_the_figures_do_not_hang_on_the_hash_seed():
    script = (
        "from test_day_run import *\n"
        "run = busy_days(practice(), days=20, seed=5)\n"
        "print(repr(run.pars), run.ends, run.turnaround, run.median_day, day_figures(practice(), run), sep='|')"
    )
    path = os.pathsep.join([str(ROOT), str(ROOT / "tests"), str(ROOT / "tests" / "planning")])
    answers = {
        subprocess.run(
            [sys.executable, "-c", script],
            env={**os.environ, "PYTHONPATH": path, "PYTHONHASHSEED": hash_seed},
            capture_output=True,
            check=True,
        ).stdout
        for hash_seed in ("1", "2")
    }
    assert len(answers) == 1
    assert answers.pop().count(b"|") >= 4


def test_more_days_do_not_change_the_days_before_them():
    """The 1 day that is run alone is day 1 of the longer run: it is the median day of itself."""
    alone = busy_days(practice(), days=1, seed=5).median_day
    assert alone.day == 1
    longer = busy_days(practice(), days=3, seed=5)
    assert longer.days == 3
    assert longer.median_day.day in {1, 2, 3}
    assert longer.median_day.day != 1 or longer.median_day == alone


def test_a_size_that_a_machine_does_not_name_is_an_error():
    with pytest.raises(PracticeError) as refused:
        busy_days(practice(stages={"pack": hand(), "wash": washer(capacity={"slim": 4})}), days=2)
    (problem,) = refused.value.problems
    assert (problem.rule, problem.path) == ("stage-never-finishes", "room.stages.wash.capacity")
    assert "'small-pouch'" in str(problem.message)
    assert "add 'small-pouch'" in str(problem.remedy)


def test_reprocessing_that_runs_into_the_next_day_names_its_bottleneck():
    """About 10 sets and 8 pouches through a washer for one thing, 3 h each: 50 h of work."""
    slow = washer(cycle="3 h", capacity={"slim": 1, "small-pouch": 1})
    run = busy_days(practice(stages={"pack": hand(), "wash": slow}), days=5)
    (problem,) = (problem for problem in run.problems if problem.severity == "error")
    assert (problem.rule, problem.path) == ("reprocessing-not-finished", "room.stages.wash")
    assert run.ends.median > at("08:00") + 24 * 3600
    assert "the bottleneck is 'wash'" in str(problem.message)
    assert "one machine more at 'wash'" in str(problem.remedy)


def test_a_slow_hand_is_a_bottleneck_too():
    run = busy_days(practice(stages={"pack": hand(cassette="2 h", pouch="1 h"), "wash": washer()}), days=5)
    assert "one person more at 'pack'" in str(run.problems[0].remedy)


def test_a_practice_without_visits_needs_nothing():
    run = busy_days(practice(procedures={"visit": procedure(per_day=0.0)}), days=3)
    assert (run.stock, run.ends.high, run.visits.mean) == ({"core": 0}, at("17:00"), 0)
    assert day_figures(practice(), run)


def test_a_schedule_is_run_as_it_is_written():
    """One visit a day, until 08:20 or 09:20. Carry 5, pack 3, the washer waits 10 and takes 30, cool 15: 63 min later
    it is back, at 09:23 or 10:23."""
    scheduled = practice(
        procedures={"visit": procedure()},
        schedule=[
            ("one", "08:00", "chair-1", "visit", "20 min"),
            ("two", "09:00", "chair-2", "visit", "20 min"),
        ],
    )
    run = busy_days(scheduled, days=10)
    assert (run.visits.mean, run.stock) == (1, {"core": 1})
    assert (run.ends.median, run.ends.high) == (at("09:23"), at("10:23"))
