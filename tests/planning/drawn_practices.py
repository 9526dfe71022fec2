"""Practices that hypothesis draws: their rooms, their books, and how visits are kept."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import strategies as st
from practice_builder import build, hand, procedure, rest, washer
from pydantic import TypeAdapter

from kitdocs.practice.book import Overrun, When
from kitdocs.practice.model import Practice
from kitdocs.practice.room import MachineStage, Person
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
    """A practice with one day in its schedule."""
    some = st.lists(st.sampled_from(INSTRUMENTS), min_size=1, max_size=3)  # some of them twice
    pouches = {
        "addon-a": ("add-on", draw(some)),
        "addon-b": ("add-on", draw(some)),
        "drawer-a": ("drawer", draw(some)),
        "drawer-b": ("drawer", draw(some)),
    }
    shares = st.sampled_from(SHARES)
    several = st.integers(2, 3) | st.builds("{} at {}".format, st.integers(2, 3), st.sampled_from(("20%", "65%")))
    procedures = {
        f"procedure-{n}": procedure(
            set=draw(st.sampled_from(("core", "other"))),
            add_ons=draw(st.dictionaries(st.sampled_from(("addon-a", "addon-b")), shares)),
            needs=draw(st.dictionaries(st.sampled_from(INSTRUMENTS), shares | several, min_size=1)),
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


OVERRUNS = (
    {"share": "40%", "median": "8 min", "most": "25 min"},
    {"share": "always", "median": "20 min", "most": "20 min"},
    {"share": "5%", "median": "1 min", "most": "2 h"},
)
NO_SHOWS = (0.01, 0.1, 0.6)
WHEN = (
    {"morning": "80%"},
    {"afternoon": "50%", "morning": "50%"},
    "8:00-10:00",
    "9:03-9:38",
    {"13:30-17:00": "always"},
    {"8:00-9:00": "30%", "11:00-14:00": "20%", "afternoon": "12.5%"},
    "0:00-23:59",
)


@st.composite
def real_days(draw: st.DrawFn, practice: Practice) -> Practice:
    """The practice with visits that run over or are not kept, of all procedures or of one, or of none."""
    some, absent = (
        st.none() | st.sampled_from(each) for each in (tuple(map(Overrun.model_validate, OVERRUNS)), NO_SHOWS)
    )
    settings = practice.settings.model_copy(update={"overrun": draw(some), "no_shows": draw(absent)})
    id_ = draw(st.sampled_from(sorted(practice.procedures)))
    own = practice.procedures[id_].model_copy(update={"overrun": draw(some), "no_shows": draw(absent)})
    return replace(practice, settings=settings, procedures={**practice.procedures, id_: own})


@st.composite
def drawn(draw: st.DrawFn) -> Practice:
    """A practice with or without a schedule, late and absent or not; without, its visits are often too many."""
    practice: Practice = draw(real_days(draw(practices())))
    if draw(st.booleans()):
        return practice
    whens = st.none() | st.sampled_from([TypeAdapter(When).validate_python(when) for when in WHEN])
    chairs = st.lists(st.sampled_from(("chair-1", "chair-2")), max_size=2, unique=True)
    changed = {
        id_: record.model_copy(
            update={
                "minutes": draw(st.sampled_from((15.0, 20.0, 30.0, 47.0, 120.0))),
                "per_day": draw(st.sampled_from((0.0, 0.3, 2.0, 5.5, 12.75))),
                "chairs": tuple(draw(chairs)),
                "when": draw(whens),
            }
        )
        for id_, record in practice.procedures.items()
    }
    day = {"pause": draw(st.just(practice.settings.day.pause) | st.none())}
    shape = {"book": draw(st.sampled_from(("spread", "packed"))), "day": practice.settings.day.model_copy(update=day)}
    settings = practice.settings.model_copy(update=shape)
    return replace(practice, procedures=changed, schedule=(), settings=settings)


@st.composite
def shared_rooms(draw: st.DrawFn) -> Any:
    """A drawn practice whose people have hours, share stages, have lunch or go home; or whose machines differ."""
    practice = draw(real_days(draw(practices())))
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
    """The same stage; or, of machines, some that repeat loads, and some that are not like the others."""
    if stage.kind != "machine":
        return stage
    written = stage.model_dump(exclude={"cycle", "capacity", "machines", "wait", "repeats"}) | {"name": str(stage.name)}
    sizes = sorted(stage.capacity)
    one = st.fixed_dictionaries(
        {
            "cycle": st.sampled_from(("4 min", "12 min", "40 min")),
            "capacity": st.dictionaries(st.sampled_from(sizes), st.integers(1, 5), min_size=1),
        }
    )
    listed: Any = draw(st.none() | st.lists(one, min_size=1, max_size=3))
    if listed is None:
        differ = stage
    else:
        listed[-1]["capacity"] |= {size: 2 for size in sizes if all(size not in each["capacity"] for each in listed)}
        differ = MachineStage.model_validate(written | {"machines": listed, "wait": f"{stage.wait:g} min"})
    return differ.model_copy(update={"repeats": draw(st.sampled_from((None, 0.3)))})
