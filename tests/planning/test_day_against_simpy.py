"""The same day in two models: ours, stage by stage, and simpy's, event by event."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import plain_diary
import simpy_day
from drawn_practices import drawn, practices, shared_rooms
from hypothesis import event, given
from hypothesis import strategies as st
from simulated_day import histories, simulate_day

from kitdocs.planning.day.book import OverbookedError
from kitdocs.planning.day.bookings import Diary
from kitdocs.planning.day.flow import Flow, NeverCaughtUpError
from kitdocs.planning.day.timeline import out_steps


@given(practices(), st.integers(0, 10**6))
def test_simpy_agrees_item_for_item(practice: Any, seed: int) -> None:
    bookings, day = simulate_day(practice, seed=seed)
    theirs, loads = simpy_day.run(practice, bookings)
    ours = [(h.kind.id, h.visit, h.out, h.received, h.stages, h.back) for h in histories(day)]
    assert ours == theirs
    our_loads = [
        [(load.machine, load.start, tuple(stay.queue[load.first : load.end])) for load in stay.loads]
        for stay in day.stays
    ]
    assert our_loads == loads


@given(drawn(), st.integers(0, 10**6))
def test_simpy_agrees_however_the_book_is_filled_and_kept(practice: Any, seed: int) -> None:
    try:
        bookings, day = simulate_day(practice, seed=seed)
    except OverbookedError:
        event("does not fit")
        return
    event(f"late: {any(booking.late for booking in bookings)}")
    theirs, _ = simpy_day.run(practice, bookings)
    assert [(h.kind.id, h.visit, h.out, h.received, h.stages, h.back) for h in histories(day)] == theirs


@given(drawn(), st.integers(0, 10**6), st.integers(0, 40))
def test_simpys_chairs_keep_the_same_visits(practice: Any, seed: int, day: int) -> None:
    """A chair is a resource that a visit asks for at its booked time. Of drawn visits, none lies over another."""
    practice = replace(practice, schedule=())
    booked = plain_diary.booked_on(practice, seed, day)
    if booked is None:
        event("does not fit")
        return
    ours = [tuple(booking)[:4] for booking in Diary(practice).day(seed, day)]
    assert sorted(ours) == sorted(simpy_day.kept(booked))


@given(shared_rooms(), st.integers(0, 10**6))
def test_simpy_agrees_where_people_share_stages_and_go_home(practice: Any, seed: int) -> None:
    diary = Diary(practice)
    bookings = [diary.day(seed, day) for day in range(4)]
    try:
        days = [day for _, day in Flow(practice, seed).of_days(bookings)]
    except NeverCaughtUpError:
        event("never catches up")
        return
    assert len(days) == 4
    event(f"left overnight: {any(day.left for day in days)}")
    theirs = simpy_day.run_days(practice, bookings, seed)
    carried: list[tuple[int, int]] = []
    for number, (day, (histories_of_day, loads)) in enumerate(zip(days, theirs, strict=True)):
        ours = [(h.kind.id, h.visit, h.out, h.received, h.stages, h.back) for h in histories(day)]
        assert ours == histories_of_day
        own = len(day.items.kind)
        names = [*((number, n) for n in range(own)), *carried]
        our_loads = [
            [
                (load.machine, load.start, tuple(names[n] for n in stay.loaded[load.first : load.end]), load.done)
                for load in stay.loads
            ]
            for stay in day.stays
        ]
        assert our_loads == loads
        assert [one.back - one.out for one in day.overnight] == [
            theirs[of][0][n][5] - theirs[of][0][n][2] for of, n in carried
        ]
        carried = [names[one.item] for one in days[number + 1].before.waiting] if number < 3 else []


@given(practices(), st.integers(0, 10**6))
def test_no_load_takes_more_than_the_machine_holds(practice: Any, seed: int) -> None:
    _, day = simulate_day(practice, seed=seed)
    for stage, stay in zip(practice.room.stages.values(), day.stays, strict=True):
        loaded = [item for load in stay.loads for item in stay.queue[load.first : load.end]]
        assert loaded == (stay.queue if stage.kind == "machine" else [])
        for load in stay.loads:
            sizes = [day.kinds[day.items.kind[item]].size for item in stay.queue[load.first : load.end]]
            assert sizes
            assert sum(Fraction(1, stage.capacity[size]) for size in sizes) <= 1


@given(practices(), st.integers(0, 10**6))
def test_littles_law_holds_on_every_run(practice: Any, seed: int) -> None:
    """Mean number out = rate × mean time away, an identity over a whole run.

    Source: J. D. C. Little, Little's Law as Viewed on Its 50th Anniversary, Oper. Res. 59(3) 536-549, 2011.
    """
    bookings, day = simulate_day(practice, seed=seed)
    theirs, _ = simpy_day.run(practice, bookings)
    start, end = min(h[2] for h in theirs), max(h[5] for h in theirs)
    steps = out_steps(day.items.out, day.back)
    until = [time for time, _ in steps[1:]] + [end]
    integral = sum(count * (to - time) for (time, count), to in zip(steps, until, strict=True))
    mean_out = Fraction(integral, end - start)
    rate = Fraction(len(theirs), end - start)
    time_away = Fraction(sum(h[5] - h[2] for h in theirs), len(theirs))
    assert mean_out == rate * time_away
