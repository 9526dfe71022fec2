"""Days on which something is broken: small ones worked out with a pencil, and that simpy waits for the same ones."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
import simpy_day
from practice_builder import at, build, hand, person, procedure, washer

from kitdocs.planning.day.breaking import Breakdown, breakdowns
from kitdocs.planning.day.run import busy_days, drawn_days
from kitdocs.planning.day.tally import Tally

TWO = [
    ("Monday", "08:00", "chair-1", "visit", "20 min"),
    ("Monday", "08:00", "chair-2", "visit", "20 min"),
    ("Monday", "09:15", "chair-1", "visit", "20 min"),
    ("Monday", "09:15", "chair-2", "visit", "20 min"),
]
ONE_EACH = {"slim": 1, "small-pouch": 1}


def studied(practice: Any, days: int = 3) -> list[Breakdown]:
    return list(breakdowns(practice, busy_days(practice, days=days)))


def test_with_one_washer_of_two_the_second_set_is_back_too_late():
    """Two sets are received at 08:25 and washed at once in two washers, one each: back at 09:05, five minutes before
    two leave at 09:10. With one washer the second is back at 09:45: so one of two waits at 09:10, and two more sets are
    received at 09:40: washed 09:45 to 10:25 and 10:25 to 11:05."""
    stage = washer(machines=2, cycle="40 min", wait="0 min", capacity=ONE_EACH)
    machine, load = studied(build(stages={"wash": stage}, schedule=TWO))
    assert (machine.cause, machine.stage, machine.stops, machine.days) == ("machine", "wash", "", 3)
    usual, broken = machine.usual, machine.broken
    assert (usual.waits.mean, usual.first_wait, usual.sets, usual.days_with_waits) == (0, None, 2, 0)
    assert usual.ends is not None
    assert usual.ends.high == at("10:20")
    assert (broken.waits.mean, broken.first_wait, broken.days_with_waits) == (1, at("09:10"), 1)
    assert broken.waits_by_kind == {"core": 1.0}
    assert broken.ends is not None
    assert (broken.ends.high, broken.sets) == (at("11:05"), 3)
    # The middle of four loads is the third: it is washed from 09:40 to 11:00.
    assert (load.cause, load.broken.waits.mean) == ("load", 0)
    assert load.broken.ends is not None
    assert load.broken.ends.high == at("11:00")


def test_without_the_only_washer_nothing_comes_back():
    """Two are planned, and leave at 07:55; at 09:10 two more should."""
    stage = washer(cycle="20 min", wait="0 min", capacity={"slim": 2, "small-pouch": 2})
    machine = studied(build(stages={"wash": stage}, schedule=TWO))[0]
    assert (machine.stops, machine.broken.ends, machine.broken.sets) == ("wash", None, None)
    assert (machine.broken.waits.mean, machine.broken.first_wait) == (2, at("09:10"))
    assert machine.broken.left.mean == 4


def test_what_skips_a_stage_that_stops_is_not_stopped():
    practice = build(
        sets={"core": ("slim", ["mirror"]), "drive": ("slim", ["handpiece"])},
        procedures={"visit": procedure(), "other": procedure(set="drive", needs={"handpiece": "always"})},
        instruments={"mirror": {}, "handpiece": {"skips": ["wash"]}},
        stages={"wash": washer(), "pack": hand()},
        schedule=[TWO[0], ("Monday", "08:00", "chair-2", "other", "20 min")],
    )
    assert studied(practice)[0].broken.left.mean == 1


def test_the_last_that_does_a_stage_is_ill():
    people = {"a": person("07:30", "17:00", "receive"), "b": person("07:30", "17:00")}
    practice = build(
        stages={"receive": hand(cassette="5 min"), "pack": hand(cassette="5 min")}, people=people, schedule=TWO
    )
    a, b = studied(practice)
    assert (a.cause, a.person, a.stops) == ("person", "a", "")
    assert a.otherwise is not None
    assert (b.person, b.stops, b.broken.ends) == ("b", "pack", None)


def test_one_fewer_of_a_stages_own_people():
    """One person packs for half an hour each: from 08:25 to 09:25, and the next two from 09:40 to 10:40."""
    found = studied(build(stages={"pack": hand(people=2, cassette="30 min")}, schedule=TWO))
    (each,) = found
    assert (each.cause, each.stage, each.person) == ("person", "pack", "")
    assert each.broken.ends is not None
    assert each.broken.ends.high == at("10:40")


def test_simpy_has_the_same_waits_with_one_machine_less():
    """The waits counted from the times that simpy gives: out at once, at each time that a set leaves."""
    practice = build(
        procedures={"visit": procedure(per_day=26.0, minutes="20 min")},
        instruments={"mirror": {}},
        stages={"pack": hand(), "wash": washer(machines=2, cycle="50 min", capacity={"slim": 3, "small-pouch": 3})},
        drawers=({}, {}, {}),
    )
    ran = busy_days(practice, days=30)
    machine = breakdowns(practice, ran)[0]
    stages = practice.room.stages
    less = {**stages, "wash": stages["wash"].model_copy(update={"machines": 1})}
    broken = replace(practice, room=practice.room.model_copy(update={"stages": less}))
    waits = Tally()
    for bookings in drawn_days(practice, days=30)[1:]:
        items, _ = simpy_day.run(broken, bookings)
        away = [(item[2], item[5]) for item in items]
        planned = ran.sets["core"].needed
        late = 0
        for n, (out, _) in enumerate(sorted(away)):
            back = sum(other_back <= out for _, other_back in away)
            late += n - back >= planned
        waits.add([late])
    assert waits.mean == machine.broken.waits.mean
    assert machine.broken.waits.mean > machine.usual.waits.mean


def test_a_broken_day_begins_with_what_a_usual_evening_left():
    """A second washer that is never needed is missed by nobody: the day without it is the usual day, night and all."""
    people = {"a": person("08:30", "14:00"), "b": person("08:30", "15:00")}
    practice = build(
        procedures={"visit": procedure(per_day=12.0)},
        stages={"wash": washer(machines=2, cycle="1 min", wait="0 min"), "pack": hand(cassette="10 min")},
        people=people,
    )
    stays, machine, _, b, _ = studied(practice, days=10)
    assert stays.broken.left.mean == 0
    assert machine.usual.left.mean > 0
    assert machine.broken == machine.usual
    assert b.broken.left.mean > b.usual.left.mean


@pytest.mark.parametrize("closes", [None, "18:00"])
def test_a_load_run_again_never_ends_a_day_sooner_here(closes: str | None):
    hours: dict[str, Any] = {"closes": closes} if closes else {}
    practice = build(procedures={"visit": procedure(per_day=12.0)}, stages={"wash": washer(), "pack": hand()}, **hours)
    load = studied(practice, days=10)[-1]
    assert load.broken.ends is not None
    assert load.usual.ends is not None
    assert load.broken.ends.mean >= load.usual.ends.mean


def test_whoever_stays_until_everything_is_back_leaves_nothing_for_the_morning():
    """Two sets are received at 08:25 and packed until 08:45 and 09:05; two more come at 09:40: packed until 10:00 and
    10:20. Who goes at 09:50 leaves both for the morning, and has packed them at 08:40."""
    early = build(stages={"pack": hand(cassette="20 min")}, schedule=TWO, people={"a": person("08:00", "09:50")})
    stays = studied(early)[0]
    assert (stays.cause, stays.stage, stays.person) == ("stays", "", "")
    assert stays.usual.left.mean == 2
    assert stays.broken.ends is not None
    assert (stays.broken.left.mean, stays.broken.ends.high) == (0, at("10:20"))
    open_longer = build(
        stages={"pack": hand(cassette="20 min")}, schedule=TWO, people={"a": person("08:00", "09:50")}, closes="18:00"
    )
    stays = studied(open_longer)[0]  # it is the last one who stays, however long the room is open
    assert (stays.cause, stays.broken.left.mean) == ("stays", 0)
    late = build(stages={"pack": hand(cassette="20 min")}, schedule=TWO, people={"a": person("08:00", "18:00")})
    assert "stays" not in {each.cause for each in studied(late)}
