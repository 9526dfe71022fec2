"""The same day in two models: ours, stage by stage, and simpy's, event by event."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import simpy_day
from hypothesis import given
from hypothesis import strategies as st
from practice_builder import build, hand, procedure, rest, washer
from simulated_day import histories, simulate_day

from kitdocs.planning.day.timeline import out_steps

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
