"""Do the intervals hold? 300 sets of days of one small practice, each with its intervals, against 30,000 other days.

Of 300 intervals that miss the truth in 5 % of cases, 15 do, give or take 3.8; three standard errors are allowed.
"""

from __future__ import annotations

from collections import Counter

import pytest
from practice_builder import build, hand, procedure, washer

from kitdocs.planning.day.promise import on_other_days
from kitdocs.planning.day.run import BusyDays, busy_days
from kitdocs.planning.day.tally import Spread
from kitdocs.practice.model import Practice

SETS, DAYS, TRUTH = 300, 100, 30_000
ENOUGH = SETS * (0.95 - 3 * (0.95 * 0.05 / SETS) ** 0.5)


def crowded() -> Practice:
    """Four kinds of visit that take what is dear and what is cheap, one washer, and pouches in two drawers."""
    drawer = {"bends": "auto", "ties": "auto"}
    needs = {"mirror": "always", "plier": "30%", "cutter": "20%"}
    return build(
        sets={"core": ("slim", ["mirror"]), "bonding": ("large", ["mirror", "holder"])},
        pouches={
            "bends": ("drawer", ["plier"]),
            "ties": ("drawer", ["cutter"]),
            "photo": ("add-on", ["retractor"]),
        },
        instruments={
            "mirror": {"price": 12.0},
            "holder": {"price": 90.0},
            "plier": {"price": 60.0},
            "cutter": {"price": 75.0},
            "retractor": {"price": 9.0},
        },
        drawers=(drawer, drawer),
        procedures={
            "change": procedure(per_day=7.5, needs=needs),
            "repair": procedure(per_day=2.3, minutes="20 min", needs=needs, chairs=["chair-1"]),
            "bonding": procedure(
                per_day=1.7, minutes="75 min", set="bonding", needs={"holder": "always"}, add_ons={"photo": "60%"}
            ),
            "check": procedure(per_day=3.0, minutes="15 min"),
        },
        stages={"wash": washer(wait="25 min"), "pack": hand(cassette="4 min")},
        service="90%",
    )


def spreads(run: BusyDays) -> dict[str, Spread]:
    return {
        "turnaround": run.turnaround.total,
        "wait before the washer": run.stages["wash"].wait,
        "wait before packing": run.stages["pack"].wait,
        "core away": run.sets["core"].away,
        "bonding away": run.sets["bonding"].away,
        "day's end": run.ends,
    }


@pytest.mark.whole
def test_what_is_said_of_busy_days_holds_on_other_days() -> None:
    practice = crowded()
    truth = busy_days(practice, days=TRUTH, seed=0, bands=False)
    true_of = spreads(truth)
    found: Counter[str] = Counter()
    for seed in range(1, SETS + 1):
        run = busy_days(practice, days=DAYS, seed=seed, bands=False)
        for name, spread in spreads(run).items():
            found[f"{name}, mean"] += abs(spread.mean - true_of[name].mean) <= spread.mean_within
            low, high = spread.high_between
            found[f"{name}, 95 %"] += low <= true_of[name].high <= high
        kept = {
            "sets": truth.chosen_sets.needs.kept_days(run.chosen_sets.counts),
            "drawers": truth.chosen_drawers.needs.kept_days(run.chosen_drawers.counts),
        }
        kept["all"] = kept["sets"] & kept["drawers"]
        for name, other in on_other_days(run.chosen_sets, run.chosen_drawers).items():
            here, truly = getattr(run.promises, name).kept, kept[name].bit_count() / TRUTH
            found[f"{name}, as the report says it"] += min(here.low, other.low) <= truly <= max(here.high, other.high)
    assert {name: n / SETS for name, n in found.items() if n < ENOUGH} == {}
