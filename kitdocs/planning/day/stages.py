"""The stages of reprocessing, one pass over the items of a day each.

A stage gets the times at which items join its queue, in the order of the queue, and what kinds they are.
All times are whole seconds. What a model of the same stage must do, to agree item for item:

- *Queue.* First in, first out: by the time of joining; at one time, in the order in which the items passed
  the stage before (at the first stage: the order of `Items`). Nothing overtakes what waits.
- *Equal times.* Whatever joins at an instant is in the queue, and a machine or person that ends at that instant
  is free, before anything is started at that instant.
- *Hand stage.* The first of the queue goes to a person as soon as one is free, and keeps that person for the
  minutes of a cassette or a pouch.
- *Machine stage.* With a machine free, the load is as much of the head of the queue as fits: items are
  added first in, first out, until the next does not fit (a smaller one behind it does not jump ahead). An item
  takes 1/capacity of the load for its size; a load never takes more than 1, in exact whole units. The load is *full*
  when the next of the queue does not fit, or when not even the smallest item that this practice uses would
  still fit. A full load starts at once; another starts when its oldest item has waited `wait`. Of several free
  machines the first is taken. There is no end of day: the last load, too, is full or has waited.
- *Rest stage.* Every item rests for the same time.

This is the plain room: each hand stage has people of its own, nobody goes home, the machines of a stage are alike. Any
other is run by `workday`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from heapq import heapreplace
from typing import NamedTuple

from kitdocs.planning.day.instants import seconds
from kitdocs.planning.day.items import ItemKind
from kitdocs.planning.measures.loads import points
from kitdocs.practice.room import AnyStage, HandStage, MachineStage, RestStage

_EVER_SINCE = -(10**9)


class Load(NamedTuple):
    """A load of a machine (counted from 0): the items `first` to before `end` of what the stage started, and when."""

    machine: int
    start: int
    first: int
    end: int
    done: int
    runs: int = 1
    """How often the machine ran for it."""


class Passed(NamedTuple):
    """When each item of the queue was started and done, and the loads; `order` when some overtook others.

    `order` lists places in the queue by the time at which they are done; without it that is the queue itself.
    """

    starts: list[int]
    ends: list[int]
    order: list[int] | None = None
    loads: tuple[Load, ...] = ()


Pass = Callable[[list[int], list[int]], Passed]


def stage_pass(stage: AnyStage, kinds: Sequence[ItemKind], in_use: frozenset[int]) -> Pass:
    """Return the pass of one stage. A machine's capacity must name the size of every kind in use."""
    if isinstance(stage, MachineStage):
        return _machine_pass(stage, kinds, in_use)
    if isinstance(stage, HandStage):
        return _hand_pass(stage, kinds)
    return _rest_pass(stage)


def _machine_pass(stage: MachineStage, kinds: Sequence[ItemKind], in_use: frozenset[int]) -> Pass:
    by_size, whole = points({size: stage.capacity[size] for size in {kinds[k].size for k in in_use}})
    takes_of = [by_size.get(kind.size, 0) for kind in kinds]
    smallest = min(by_size.values(), default=1)
    wait, cycle, machines = seconds(stage.wait), seconds(stage.cycle), stage.count

    def run(joined: list[int], kind: list[int]) -> Passed:
        count = len(joined)
        takes = [takes_of[k] for k in kind]
        free = [_EVER_SINCE] * machines
        starts: list[int] = []
        loads: list[Load] = []
        first = 0
        while first < count:
            machine_free = min(free)
            start = max(joined[first] + wait, machine_free)  # at the latest; sooner when full
            room, end = whole, first
            while end < count and joined[end] <= start:
                room -= takes[end]
                if room < smallest:  # full, with this one (joined just now) or because of it
                    start = max(joined[end], machine_free)
                    end += room >= 0
                    break
                end += 1
            machine = 0
            while free[machine] > start:
                machine += 1
            free[machine] = start + cycle
            loads.append(Load(machine, start, first, end, start + cycle))
            starts += [start] * (end - first)
            first = end
        return Passed(starts, [start + cycle for start in starts], None, tuple(loads))

    return run


def _hand_pass(stage: HandStage, kinds: Sequence[ItemKind]) -> Pass:
    cassette, pouch = seconds(stage.per_cassette), seconds(stage.per_pouch)
    takes = [cassette if kind.in_cassette else pouch for kind in kinds]

    def alone(joined: list[int], kind: list[int]) -> Passed:
        starts: list[int] = []
        ends: list[int] = []
        free = _EVER_SINCE
        for at, k in zip(joined, kind, strict=True):
            start = at if at > free else free
            free = start + takes[k]
            starts.append(start)
            ends.append(free)
        return Passed(starts, ends)

    def together(joined: list[int], kind: list[int]) -> Passed:
        starts: list[int] = []
        ends: list[int] = []
        free = [_EVER_SINCE] * stage.people  # a heap
        for at, k in zip(joined, kind, strict=True):
            start = max(at, free[0])
            heapreplace(free, start + takes[k])
            starts.append(start)
            ends.append(start + takes[k])
        order = sorted(range(len(ends)), key=ends.__getitem__)
        return Passed(starts, ends, order)

    return alone if stage.people == 1 else together


def _rest_pass(stage: RestStage) -> Pass:
    takes = seconds(stage.takes)
    return lambda joined, kind: Passed(joined, [at + takes for at in joined])
