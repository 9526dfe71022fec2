"""People with hours, rooms that close and machines that differ: small days worked out with a pencil, and what more of
anything may not do."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from practice_builder import at, build, hand, person, procedure, rest, washer
from simulated_day import histories

from kitdocs.planning.day.bookings import Diary
from kitdocs.planning.day.draws import uniform
from kitdocs.planning.day.flow import Flow
from kitdocs.planning.day.run import busy_days
from kitdocs.practice.problems import PracticeError

VISIT = [("Monday", "08:00", "chair-1", "visit", "20 min")]
DAY = 24 * 3600


def days_of(practice, count=2, seed=1):
    diary = Diary(practice)
    return [day for _, day in Flow(practice, seed).of_days([diary.day(seed, n) for n in range(count)])]


def test_work_that_would_run_over_lunch_is_begun_after_it():
    """Received at 08:25; packing takes 10 min, and lunch is from 08:30 to 08:45: packed 08:45 to 08:55."""
    room = build(
        stages={"pack": hand(cassette="10 min")},
        people={"a": person("07:30", "17:00", lunch=("08:30", "08:45"))},
        schedule=VISIT,
    )
    ((set_,), _) = map(histories, days_of(room))
    assert set_.stages == ((at("08:25"), at("08:45"), at("08:55")),)


def test_work_that_ends_as_lunch_begins_is_begun():
    room = build(
        stages={"pack": hand(cassette="5 min")},
        people={"a": person("07:30", "17:00", lunch=("08:30", "08:45"))},
        schedule=VISIT,
    )
    ((set_,), _) = map(histories, days_of(room))
    assert set_.back == at("08:30")


def test_one_person_takes_work_from_the_first_stage_that_has_some():
    """Two visits end at 08:20 and 08:25, so sets come at 08:25 and 08:30. Receiving and packing take 10 min each. Who
    packs first has the first set packed before the second is received; who receives first, the other way round."""
    two = [*VISIT, ("Monday", "08:05", "chair-2", "visit", "20 min")]
    for order, starts in (
        (("pack", "receive"), (("08:25", "08:35"), ("08:45", "08:55"))),
        (("receive", "pack"), (("08:25", "08:45"), ("08:35", "08:55"))),
    ):
        room = build(
            stages={"receive": hand(cassette="10 min"), "pack": hand(cassette="10 min")},
            people={"a": person("07:30", "17:00", *order)},
            schedule=two,
        )
        day, _ = days_of(room)
        assert tuple(tuple(stage[1] for stage in h.stages) for h in histories(day)) == tuple(
            tuple(map(at, times)) for times in starts
        )


def test_who_serves_fewest_stages_is_asked_first():
    """At 08:35 the first set is to be packed and the second received, 10 min each. Who only packs takes the first, so
    that whoever would rather pack, and comes before by id, receives the second: both are at work."""
    two = [*VISIT, ("Monday", "08:10", "chair-2", "visit", "20 min")]
    room = build(
        stages={"receive": hand(cassette="10 min"), "pack": hand(cassette="10 min")},
        people={"a": person("07:30", "17:00", "pack", "receive"), "b": person("07:30", "17:00", "pack")},
        schedule=two,
    )
    first, second = histories(days_of(room)[0])
    assert [stage[1] for stage in (*first.stages, *second.stages)] == list(
        map(at, ("08:25", "08:35", "08:35", "08:45"))
    )


def test_of_two_that_join_at_one_time_the_first_is_who_joined_the_stage_before_first():
    """The first visit's set is washed from 08:25 to 08:30. The second's skips the washer and is received at 08:30.
    Both come to the packing bench then; the first came to the washer earlier, and is packed first."""
    room = build(
        sets={"core": ("slim", ["mirror"]), "drive": ("slim", ["handpiece"])},
        procedures={"visit": procedure(), "other": procedure(set="drive", needs={"handpiece": "always"})},
        instruments={"mirror": {}, "handpiece": {"skips": ["wash"]}},
        stages={"wash": washer(cycle="5 min", wait="0 min"), "pack": hand(cassette="3 min")},
        schedule=[*VISIT, ("Monday", "08:05", "chair-2", "other", "20 min")],
        closes="17:00",
    )
    first, second = histories(days_of(room)[0])
    assert (first.back, second.back) == (at("08:33"), at("08:36"))


def test_what_is_out_when_the_room_closes_is_back_in_the_morning():
    """Received 08:25, washed for 30 min: 08:55 at the earliest. The room closes at 08:50, so that the load is not begun
    that day; it has waited long enough when the room opens at 08:00 the next day, and is back at 08:30."""
    room = build(stages={"wash": washer(wait="0 min")}, closes="08:50", schedule=VISIT)
    first, second = days_of(room)
    assert first.back == [DAY + at("08:30")]
    assert (first.left, first.ended(0)) == (1, 0)
    assert [(one.out, one.back) for one in second.overnight] == [(at("07:55") - DAY, at("08:30"))]
    assert second.ended(0) == at("08:30")
    run = busy_days(room, days=5)
    assert run.nights
    assert (run.nights.nights, run.nights.items.mean, run.nights.waiting_at) == (1.0, 1.0, {"wash": 1.0})
    assert run.nights.second == 0
    assert run.stock == {"core": 2}, "that of yesterday is back at 08:30, when today's has left at 07:55"


def test_a_part_load_is_started_at_the_last_moment_before_closing():
    """It would wait an hour, until 09:25; the room closes at 09:00, so it starts at 08:30."""
    room = build(stages={"wash": washer(wait="1 h")}, closes="09:00", schedule=VISIT)
    assert days_of(room)[0].back == [at("09:00")]


def test_what_rests_goes_on_at_night():
    """Closed at 09:00; cooling until 10:25 needs nobody, and what is behind it waits for the morning."""
    stages = {"cool": rest("2 h"), "put-away": hand(cassette="1 min")}
    assert days_of(build(stages=stages, closes="09:00", schedule=VISIT))[0].back == [DAY + at("08:01")]


def test_nobody_starts_a_load_at_lunch():
    people = {"a": person("07:30", "17:00", lunch=("08:20", "09:00"))}
    room = build(stages={"wash": washer(wait="0 min")}, people=people, schedule=VISIT)
    assert days_of(room)[0].back == [at("09:30")]


def test_the_first_machine_of_the_list_that_is_free_takes_the_load():
    """The first holds 1 slim and takes 30 min, the second 2 in 10 min; three sets come at 08:25."""
    machines = [
        {"cycle": "30 min", "capacity": {"slim": 1}},
        {"cycle": "10 min", "capacity": {"slim": 2, "small-pouch": 4}},
    ]
    stage = {key: value for key, value in washer(machines=machines).items() if key not in ("cycle", "capacity")}
    room = build(
        drawers=({}, {}, {}),
        stages={"wash": stage},
        schedule=[("Monday", "08:00", f"chair-{n}", "visit", "20 min") for n in (1, 2, 3)],
    )
    wash: Any = room.room.stages["wash"]
    assert (wash.cycle, wash.capacity) == (10, {"slim": 1, "small-pouch": 4})
    (day, _) = days_of(room)
    assert day.back == [at("08:55"), at("08:35"), at("08:35")]
    assert [(load.machine, load.done) for load in day.stays[0].loads] == [(0, at("08:55")), (1, at("08:35"))]
    assert busy_days(room, days=2).turnaround.parts[-1].seconds == pytest.approx(50 * 60 / 3)


def test_a_load_that_is_run_again_takes_two_cycles_and_counts_twice():
    room = build(stages={"wash": washer(wait="0 min", repeats="always")}, schedule=VISIT)
    assert days_of(room)[0].back == [at("09:25")]
    run = busy_days(room, days=3)
    assert run.stages["wash"].work_per_day == 3600
    loads = run.stages["wash"].loads
    assert loads is not None
    assert (loads.mean, loads.high) == (2, 2)
    assert run.turnaround.total.mean == sum(part.seconds for part in run.turnaround.parts)


def test_the_share_of_loads_is_run_again():
    """1,000 loads with 20 %: within four standard deviations of the binomial distribution, 4 × 12.6."""
    again = sum(uniform(7, "run again", "wash", day, load) < 0.2 for day in range(100) for load in range(10))
    assert abs(again - 200) < 51


def test_a_room_that_cannot_keep_up_names_the_stage():
    """Twenty visits a day, half an hour of packing each, and an hour's work a day."""
    room = build(
        procedures={"visit": procedure(per_day=20.0)},
        stages={"receive": hand(cassette="1 s"), "pack": hand(cassette="30 min")},
        people={"a": person("09:00", "10:00")},
    )
    with pytest.raises(PracticeError) as refused:
        busy_days(room, days=30)
    (problem,) = refused.value.problems
    assert (problem.rule, problem.path) == ("room-never-catches-up", "room.stages.pack")


def test_what_is_left_a_second_night_too_often_is_an_error():
    """Nine are packed a day. Of 24 on the first day 15 are left, and 7 again on the second, of three."""
    schedule = [
        *(("full", f"{8 + n // 4:02d}:{n % 4 * 15:02d}", "chair-1", "visit", "10 min") for n in range(24)),
        ("second", "08:00", "chair-1", "visit", "20 min"),
        ("third", "08:00", "chair-1", "visit", "20 min"),
    ]
    people = {"a": person("14:00", "18:30")}
    room = build(stages={"pack": hand(cassette="30 min")}, people=people, schedule=schedule)
    problems = busy_days(room, days=40).problems
    assert [problem.rule for problem in problems] == ["left-a-second-night"]


def shared(people: dict[str, Any], **changes: Any) -> Any:
    usual = {
        "pouches": {"bends": ("drawer", ["bender"]), "extra": ("add-on", ["holder"])},
        "procedures": {
            "visit": procedure(
                per_day=30.0, add_ons={"extra": "50%"}, needs={"mirror": "always", "bender": "30%", "holder": "50%"}
            )
        },
        "drawers": ({"bends": "auto"}, {"bends": 2}, {}),
        "stages": {
            "receive": hand(cassette="4 min"),
            "wash": washer(machines=2),
            "pack": hand(cassette="5 min"),
            "cool": rest(),
        },
    }
    return build(people=people, **{**usual, **changes})


def test_one_more_person_or_machine_never_ends_a_day_later_beyond_noise():
    """Same days on both sides. A person or machine more may reorder a queue, so each day by itself may be later; the
    mean may not."""
    alone = busy_days(shared({"a": person("07:30", "20:00")}), days=60)
    both = busy_days(shared({"a": person("07:30", "20:00"), "b": person("07:30", "20:00")}), days=60)
    assert both.ends.mean < alone.ends.mean
    assert both.turnaround.total.mean < alone.turnaround.total.mean
    stages = shared({}).room.stages
    more = {**stages, "wash": stages["wash"].model_copy(update={"machines": 3})}
    practice = shared({"a": person("07:30", "20:00")})
    third = busy_days(replace(practice, room=practice.room.model_copy(update={"stages": more})), days=60)
    assert third.ends.mean <= alone.ends.mean + 60


def test_no_order_of_the_people_moves_a_figure():
    people = {"a": person("07:30", "16:00"), "b": person("09:00", "18:30", lunch=("12:00", "13:00"))}
    one, other = shared(people), shared(dict(reversed(people.items())))
    left, right = busy_days(one, days=10), busy_days(other, days=10)
    assert (left.ends, left.turnaround, left.stock, left.people) == (
        right.ends,
        right.turnaround,
        right.stock,
        right.people,
    )


def test_the_hours_at_work_are_those_of_the_stages():
    run = busy_days(shared({"a": person("07:30", "16:00"), "b": person("09:00", "20:00")}), days=10)
    by_stage = sum(stage.work_per_day for stage in run.stages.values() if stage.kind == "hand")
    assert sum(one.work.mean for one in run.people.values()) == pytest.approx(by_stage)
    assert run.people["a"].there == 8.5 * 3600
    assert run.turnaround.total.mean == pytest.approx(sum(part.seconds for part in run.turnaround.parts))


def test_where_nobody_goes_home_no_day_knows_of_another_whether_loads_are_run_again_or_not():
    """Twelve sets of three hours each, one at a time, are done after the next morning: it begins with a free machine.

    Machines that may run a load again are counted in another way than those that never do, and must agree with them.
    """
    twelve = [("Monday", "08:00", "chair-1", "visit", "5 min")] * 12
    for repeats in ({}, {"repeats": "0.000001%"}):
        room = build(
            stages={"wash": washer(cycle="3 h", capacity={"slim": 1, "large": 1, "small-pouch": 1}, **repeats)},
            schedule=twelve,
        )
        for day in days_of(room):
            first, last = histories(day)[0], histories(day)[-1]
            assert first.stages == ((at("08:10"), at("08:10"), at("11:10")),)
            assert last.back == at("08:10") + 36 * 3600
