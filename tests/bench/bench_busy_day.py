"""How much faster the busy day is than simpy's model of the same days, in one run: a script, not a test.

    python tests/bench/bench_busy_day.py [days] [folder]

Prints the ratio twice: for the days alone, and with the bookings and all the figures on kitdocs' side only.
Then: that the time grows with the days and the memory does not.
"""

from __future__ import annotations

import sys
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

T = TypeVar("T")
ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "planning")]

import simpy_day  # noqa: E402
from simulated_day import histories  # noqa: E402

from kitdocs.planning.day.flow import Flow  # noqa: E402
from kitdocs.planning.day.run import busy_days, drawn_days  # noqa: E402
from kitdocs.practice.model import Practice  # noqa: E402
from kitdocs.practice.reading.reader import read_practice  # noqa: E402
from kitdocs.practice.room import Person  # noqa: E402
from kitdocs.practice.values import clock_text  # noqa: E402


def main() -> None:
    days = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    practice = read_practice(Path(sys.argv[2]) if len(sys.argv) > 2 else ROOT / "example_practice")
    bookings = drawn_days(practice, days=days)[1:]
    flow = Flow(practice)

    run, whole = timed(lambda: busy_days(practice, days=days))
    flows, engine = timed(lambda: [flow.of_day(day) for day in bookings])
    used = simpy_day.sizes_in_use(practice)
    simulated, simpy = timed(lambda: [simpy_day.run(practice, day, used)[0] for day in bookings])

    for day, theirs in zip(flows, simulated, strict=True):
        ours = [(h.kind.id, h.visit, h.out, h.received, h.stages, h.back) for h in histories(day)]
        assert ours == theirs, "the two models disagree"

    items = sum(map(len, simulated)) / days
    print(f"{days:,} busy days of {run.visits.mean:.0f} visits and {items:.0f} items: the same, item for item")
    print(f"simpy, the days alone                       {simpy:6.2f} s")
    print(f"kitdocs, the days alone                     {engine:6.2f} s: {simpy / engine:.0f} times faster")
    print(f"kitdocs, bookings, days and all the figures {whole:6.2f} s: {simpy / whole:.0f} times faster")
    with_people(practice, days)
    for count in (days // 4, days // 2, days):
        tracemalloc.start()
        busy_days(practice, days=count)
        peak = tracemalloc.get_traced_memory()[1] / 2**20
        tracemalloc.stop()
        _, took = timed(lambda count=count: busy_days(practice, days=count))
        print(f"{count:6,} days: {1000 * took / count:.2f} ms a day, peak memory {peak:.1f} MiB")


def with_people(practice: Practice, days: int) -> None:
    """The same with two people who share all stages, have lunch and go home."""
    hours = {"a": (450, 1020, 735, 780), "b": (600, 1140, 840, 870)}
    people = {
        id_: {"name": "Technician", "hours": span(start, end), "lunch": span(noon, one)}
        for id_, (start, end, noon, one) in hours.items()
    }
    room = practice.room.model_copy(update={"people": {i: Person.model_validate(p) for i, p in people.items()}})
    shared = replace(practice, room=room)
    bookings = drawn_days(shared, days=days)
    _, whole = timed(lambda: busy_days(shared, days=days))
    flows, engine = timed(lambda: [day for _, day in Flow(shared).of_days(bookings)])
    simulated, simpy = timed(lambda: simpy_day.run_days(shared, bookings))
    for day, (theirs, _) in zip(flows, simulated, strict=True):
        ours = [(h.kind.id, h.visit, h.out, h.received, h.stages, h.back) for h in histories(day)]
        assert ours == theirs, "the two models disagree"
    print("with two people who share all stages and go home: the same, item for item")
    print(f"simpy, the days alone                       {simpy:6.2f} s")
    print(f"kitdocs, the days alone                     {engine:6.2f} s: {simpy / engine:.0f} times faster")
    print(f"kitdocs, bookings, days and all the figures {whole:6.2f} s: {simpy / whole:.0f} times faster")


def span(start: int, end: int) -> dict[str, str]:
    return {"start": clock_text(start), "end": clock_text(end)}


def timed(work: Callable[[], T]) -> tuple[T, float]:
    """What `work` makes, and the processor's seconds for it: other programs do not count."""
    start = time.process_time()
    made = work()
    return made, time.process_time() - start


if __name__ == "__main__":
    main()
