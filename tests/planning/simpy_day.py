"""A second model of the same day, event by event with simpy, written from the docstrings of items, stages and flow.

It shares no code with kitdocs.planning: shares and capacities are exact fractions, every item is a process,
and what happens at one instant is put in order by simpy's event priorities.
"""

from __future__ import annotations

import heapq
from collections.abc import Generator
from fractions import Fraction
from typing import Any, NamedTuple

import simpy
from simpy.events import EventPriority

from kitdocs.practice.model import Practice


class Item(NamedTuple):
    number: int
    id: str
    size: str
    cassette: bool
    visit: int
    out: int
    received: int


def taken(practice: Practice, chair: str, procedure: str) -> list[tuple[str, float, int]]:
    """(set or pouch, share, which number of the luck) for a visit."""
    record = practice.procedures[procedure]
    needs = list(record.needs)
    numbered = [need for need in needs if record.needs[need] < 1]
    result = [(record.set, 1.0, len(numbered))]
    met = set(practice.sets[record.set].contents)
    for pouch in [*record.add_ons, *practice.chairs[chair].drawer]:
        meets = [need for need in needs if need in practice.pouches[pouch].contents and need not in met]
        met.update(meets)
        largest = max((record.needs[need] for need in meets), default=None)
        lucky = len(numbered)
        if largest is not None and largest < 1:
            lucky = next(n for n, need in enumerate(numbered) if need in meets and record.needs[need] == largest)
        if pouch in record.add_ons:
            result.append((pouch, record.add_ons[pouch], lucky))
        elif largest is not None:
            result.append((pouch, largest, lucky))
    return result


def items_of(practice: Practice, bookings: Any) -> list[Item]:
    items: list[Item] = []
    for visit, booking in sorted(enumerate(bookings), key=lambda pair: pair[1].end):
        for id_, share, lucky in taken(practice, booking.chair, booking.procedure):
            if booking.luck[lucky] >= share:
                continue
            cassette = id_ in practice.sets
            size = practice.sets[id_].cassette if cassette else practice.pouches[id_].size
            stays = not cassette and practice.pouches[id_].kind == "drawer"
            out = booking.start - (0 if stays else round(practice.room.setup * 60))
            received = booking.end + round(practice.room.carry * 60)
            items.append(Item(len(items), id_, size, cassette, visit, out, received))
    return items


def skips(practice: Practice, id_: str, stage_id: str) -> bool:
    """Whether a set or pouch goes past a stage: a listed one that nothing in it names, another that all in it skip."""
    pack = practice.sets.get(id_) or practice.pouches[id_]
    inside = [practice.instruments[name] for name in pack.contents]
    if practice.room.stages[stage_id].only_listed:
        return not [one for one in inside if stage_id in one.also]
    return not [one for one in inside if stage_id not in one.skips]


class Station:
    """A stage: a queue, its servers, and a moment of decision that comes last in every instant."""

    def __init__(self, env: simpy.Environment, number: int, stage: Any, sizes: set[str]) -> None:
        self.env, self.number, self.stage = env, number, stage
        self.queue: list[tuple[Any, int, Item, simpy.Event]] = []
        servers = {"machine": "machines", "hand": "people"}.get(stage.kind)
        self.free = list(range(getattr(stage, servers))) if servers else []
        self.sizes = sizes
        self.loads: list[tuple[int, int, tuple[int, ...]]] = []

    def join(self, item: Item, rank: Any) -> simpy.Event:
        started = self.env.event()
        heapq.heappush(self.queue, (rank, int(self.env.now), item, started))
        self.decide_last()
        if self.stage.kind == "machine":
            self.env.process(self.remind())
        return started

    def remind(self) -> Generator[simpy.Event, Any, None]:
        yield self.env.timeout(round(self.stage.wait * 60))
        self.decide_last()

    def decide_last(self) -> None:
        moment = self.env.event()
        moment._ok, moment._value = True, None
        moment.callbacks.append(lambda _: self.decide())
        self.env.schedule(moment, priority=EventPriority(10 + self.number))

    def decide(self) -> None:
        while self.queue and (self.free or self.stage.kind == "rest"):
            if self.stage.kind == "machine":
                load = self.load()
                if not load:
                    return
                machine = min(self.free)
                self.loads.append((machine, int(self.env.now), tuple(entry[2].number for entry in load)))
                self.start(load, machine, round(self.stage.cycle * 60))
            elif self.stage.kind == "hand":
                item = self.queue[0][2]
                minutes = self.stage.per_cassette if item.cassette else self.stage.per_pouch
                self.start(self.queue[:1], self.free[0], round(minutes * 60))
            else:
                self.start(self.queue[:1], None, round(self.stage.takes * 60))

    def load(self) -> list[Any]:
        """What is to be started now; nothing when the load is to wait."""
        waiting = sorted(self.queue)
        load, used = [], Fraction(0)
        for entry in waiting:
            share = Fraction(1, self.stage.capacity[entry[2].size])
            if used + share > 1:
                break
            load.append(entry)
            used += share
        full = len(load) < len(waiting) or all(used + Fraction(1, self.stage.capacity[s]) > 1 for s in self.sizes)
        waited = self.env.now - load[0][1] >= round(self.stage.wait * 60)
        return load if full or waited else []

    def start(self, load: list[Any], server: int | None, takes: int) -> None:
        if server is not None:
            self.free.remove(server)
            self.env.process(self.release(server, takes))
        for entry in load:
            self.queue.remove(entry)
            entry[3].succeed(takes)
        heapq.heapify(self.queue)

    def release(self, server: int, takes: int) -> Generator[simpy.Event, Any, None]:
        yield self.env.timeout(takes)
        self.free.append(server)
        self.decide_last()


def run(practice: Practice, bookings: Any) -> tuple[list[tuple[Any, ...]], list[list[Any]]]:
    """Each item's (id, visit, out, received, [(joined, started, done)], back), and each stage's loads."""
    env = simpy.Environment(initial_time=-(10**6))
    used = {
        id_: practice.sets[id_].cassette if id_ in practice.sets else practice.pouches[id_].size
        for procedure in practice.procedures
        for chair in practice.chairs
        for id_, _, _ in taken(practice, chair, procedure)
    }
    stations = []
    for n, (stage_id, stage) in enumerate(practice.room.stages.items()):
        coming = {size for id_, size in used.items() if not skips(practice, id_, stage_id)}
        stations.append((stage_id, Station(env, n, stage, coming)))
    histories: dict[int, tuple[Any, ...]] = {}

    def travel(item: Item) -> Generator[simpy.Event, Any, None]:
        yield env.timeout(item.received - env.now)
        rank: Any = item.number
        stages = []
        for stage_id, station in stations:
            joined = env.now
            rank = (joined, rank)
            if skips(practice, item.id, stage_id):
                continue
            takes = yield station.join(item, rank)
            started = env.now
            yield env.timeout(takes)
            stages.append((joined, started, env.now))
        histories[item.number] = (item.id, item.visit, item.out, item.received, tuple(stages), env.now)

    for item in items_of(practice, bookings):
        env.process(travel(item))
    env.run()
    return [histories[n] for n in sorted(histories)], [station.loads for _, station in stations]
