"""The same day in two models: ours, stage by stage, and simpy's, event by event."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import simpy_day
from hypothesis import event, given
from hypothesis import strategies as st
from practice_builder import build, hand, procedure, rest, washer
from simulated_day import histories, simulate_day

from kitdocs.planning.day.bookings import Diary
from kitdocs.planning.day.flow import Flow, NeverCaughtUpError
from kitdocs.planning.day.timeline import out_steps
from kitdocs.practice.room import Person
from kitdocs.practice.values import clock_text

INSTRUMENTS = ("mirror", "cutter", "bender")
SHARES = ("always", "70%", "40%", "15%")
MINUTES = st.sampled_from(("0 min", "30 s", "1 min", "2 min", "5 min", "10 min"))


def machines() -> st.SearchStrategy[dict[str, Any]]:
    return st.builds(
        lambda slim, large, pouch, **rest_of_it: washer(
            capacity={"slim": slim, "large": large, "small-pouch": pouch}, **rest_of_it
        ),
        slim=st.integers(1, 5),
        large=st.integers(1, 3),
        pouch=st.integers(1, 7),
        machines=st.integers(1, 3),
        cycle=st.sampled_from(("5 min", "12 min", "30 min")),
        wait=st.sampled_from(("0 min", "5 min", "20 min", "1 h")),
    )


def hands() -> st.SearchStrategy[dict[str, Any]]:
    return st.builds(hand, people=st.integers(1, 3), cassette=MINUTES, pouch=MINUTES)


@st.composite
def practices(draw: st.DrawFn) -> Any:
    some = st.lists(st.sampled_from(INSTRUMENTS), min_size=1, max_size=2, unique=True)
    pouches = {
        "addon-a": ("add-on", draw(some)),
        "addon-b": ("add-on", draw(some)),
        "drawer-a": ("drawer", draw(some)),
        "drawer-b": ("drawer", draw(some)),
    }
    shares = st.sampled_from(SHARES)
    procedures = {
        f"procedure-{n}": procedure(
            set=draw(st.sampled_from(("core", "other"))),
            add_ons=draw(st.dictionaries(st.sampled_from(("addon-a", "addon-b")), shares)),
            needs=draw(st.dictionaries(st.sampled_from(INSTRUMENTS), shares, min_size=1)),
        )
        for n in range(draw(st.integers(1, 3)))
    }
    drawers = st.dictionaries(st.sampled_from(("drawer-a", "drawer-b")), st.just("auto"))
    ways = draw(st.lists(machines() | hands() | st.builds(rest, MINUTES), min_size=1, max_size=4))
    stages = {f"stage-{n}": way | {"only_listed": draw(st.booleans())} for n, way in enumerate(ways)}
    some_stages = st.lists(st.sampled_from(sorted(stages)), max_size=2, unique=True)
    visits = st.tuples(
        st.just("Monday"),
        st.builds("{:02d}:{:02d}".format, st.integers(8, 10), st.sampled_from((0, 5, 10, 12, 30))),
        st.sampled_from(("chair-1", "chair-2")),
        st.sampled_from(sorted(procedures)),
        st.sampled_from(("5 min", "10 min", "25 min", "33 min")),
    )
    return build(
        procedures=procedures,
        sets={"core": ("slim", draw(some)), "other": ("large", draw(some))},
        pouches=pouches,
        drawers=(draw(drawers), draw(drawers)),
        instruments={name: {"skips": draw(some_stages), "also": draw(some_stages)} for name in INSTRUMENTS},
        stages=stages,
        setup=draw(MINUTES),
        carry=draw(MINUTES),
        schedule=draw(st.lists(visits, min_size=1, max_size=20)),
    )


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


@st.composite
def shared_rooms(draw: st.DrawFn) -> Any:
    """A drawn practice whose people have hours, share stages, have lunch or go home; or whose machines differ."""
    practice = draw(practices())
    room = practice.room
    by_hand = [id_ for id_, stage in room.stages.items() if stage.kind == "hand"]
    clocks = st.sampled_from(range(7 * 60 + 30, 9 * 60 + 30, 10))
    people: dict[str, Any] = {}
    for n in range(draw(st.integers(0, 3)) if by_hand else 0):
        start = draw(clocks)
        end = start + draw(st.sampled_from((40, 90, 150, 400)))
        lunch = draw(st.booleans()) and {"start": clock_text(start + 20), "end": clock_text(start + 35)}
        people[f"person-{n}"] = {
            "name": f"Technician {n}",
            "hours": {"start": clock_text(start), "end": clock_text(end)},
            "lunch": lunch or None,
            "stages": draw(st.lists(st.sampled_from(by_hand), max_size=3, unique=True)),
        }
    if people and (
        unserved := [s for s in by_hand if all(p["stages"] and s not in p["stages"] for p in people.values())]
    ):
        people["person-0"]["stages"] += unserved
    given_room = {
        "people": {id_: Person.model_validate(person) for id_, person in people.items()},
        "closes": draw(st.none() | st.sampled_from((9 * 60 + 30, 10 * 60 + 15, 11 * 60, 13 * 60 + 30))),
        "opens": draw(st.none() | st.sampled_from((7 * 60 + 15, 8 * 60 + 20))),
        "stages": {id_: draw(machines_differ(stage)) for id_, stage in room.stages.items()},
    }
    return replace(practice, room=room.model_copy(update=given_room))


@st.composite
def machines_differ(draw: st.DrawFn, stage: Any) -> Any:
    """The same stage; or, of machines, some that repeat loads."""
    if stage.kind != "machine":
        return stage
    return stage.model_copy(update={"repeats": draw(st.sampled_from((None, 0.3)))})


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
