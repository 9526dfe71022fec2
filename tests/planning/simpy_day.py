"""A second model of the same days, event by event with simpy, written from what items, stages, crew and workday say.

It shares no code with kitdocs.planning: shares and capacities are exact fractions, every item is a process,
what happens at one instant is put in order by simpy's event priorities, and time runs on from day to day.
"""

from __future__ import annotations

import hashlib
import heapq
from collections import Counter
from collections.abc import Generator, Iterable, Sequence
from fractions import Fraction
from math import factorial
from typing import Any, NamedTuple

import simpy
from simpy.events import EventPriority

from kitdocs.practice.model import Practice

DAY = 24 * 3600


class Item(NamedTuple):
    number: int
    id: str
    size: str
    cassette: bool
    visit: int
    out: int
    received: int


def in_order(ids: Iterable[str], number: int) -> tuple[list[str], int]:
    """The ids in the order with this number, and what is left of the number."""
    left, ordered = sorted(ids), []
    for many in range(len(left), 0, -1):
        ordered.append(left.pop(number % many))
        number //= many
    return ordered, number


def taken(practice: Practice, chair: str, procedure: str, order: float) -> list[tuple[str, dict[int, float]]]:
    """Set or pouch, and for each number of the luck that decides, the share below which a visit takes it.

    `order` is the visit's number for the order of its pouches.
    """
    record = practice.procedures[procedure]
    numbered = [name for name in record.needs if record.needs[name].share < 1]
    open_needs = Counter({name: need.count for name, need in record.needs.items()})
    open_needs -= Counter(practice.sets[record.set].contents)
    inside = {pouch: Counter(practice.pouches[pouch].contents) for pouch in practice.pouches}
    near = [pouch for pouch in practice.chairs[chair].drawer if open_needs & inside[pouch]]
    number = int(order * min(factorial(len(record.add_ons)) * factorial(len(near)), 120))
    add_ons, number = in_order(record.add_ons, number)
    near, _ = in_order(near, number)
    result = [(record.set, {len(numbered): 1.0})]
    for role in (add_ons, near):
        met = {}
        waiting = list(role)
        while waiting:
            ranked = [(-(open_needs & inside[p]).total(), inside[p].total(), role.index(p), p) for p in waiting]
            pouch = min(ranked)[-1]
            waiting.remove(pouch)
            met[pouch] = open_needs & inside[pouch]
            open_needs -= met[pouch]
        for pouch in role:
            wanted = {name: record.needs[name].share for name in met[pouch]}
            lucks = {name: record.needs[name].along or name for name in wanted}
            number_of = {
                name: numbered.index(lucks[name]) if share < 1 else len(numbered) for name, share in wanted.items()
            }
            if role is add_ons:
                leading = min(wanted, key=lambda name: (-wanted[name], name), default="")
                result.append((pouch, {number_of.get(leading, len(numbered)): record.add_ons[pouch]}))
            elif wanted:
                rising = sorted(wanted, key=lambda name: wanted[name])
                result.append((pouch, {number_of[name]: wanted[name] for name in rising}))
    return result


def kept(visits: Iterable[Any]) -> list[tuple[int, int, str, str]]:
    """(start, end, chair, procedure) of the visits that are kept, each of which asks for its chair as booked."""
    env = simpy.Environment()
    chairs: dict[str, simpy.Resource] = {}
    found: list[tuple[int, int, str, str]] = []

    def visit(one: Any) -> Generator[simpy.Event, Any, None]:
        yield env.timeout(one.start)
        with chairs.setdefault(one.chair, simpy.Resource(env)).request() as free:
            yield free
            start = int(env.now)
            yield env.timeout(one.seconds + one.over)
        found.append((start, int(env.now), one.chair, one.procedure))

    for one in visits:
        if one.kept:
            env.process(visit(one))
    env.run()
    return found


def items_of(practice: Practice, bookings: Any) -> list[Item]:
    items: list[Item] = []
    for visit, booking in sorted(enumerate(bookings), key=lambda pair: pair[1].end):
        for id_, deciding in taken(practice, booking.chair, booking.procedure, booking.luck[-1]):
            if all(booking.luck[number] >= share for number, share in deciding.items()):
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


class Person:
    """Somebody who does hand work, from day to day."""

    def __init__(self, stages: Sequence[int], hours: Sequence[tuple[int, int]] | None) -> None:
        self.stages, self.hours, self.idle = list(stages), hours, True

    def goes_at(self, now: int) -> float | None:
        """When somebody who is there leaves; None for somebody who is not there."""
        if self.hours is None:
            return float("inf")
        midnight = now // DAY * DAY
        return next((midnight + b for a, b in self.hours if midnight + a <= now <= midnight + b), None)


class Calendar:
    """The hours of the room and of its people, read from the room's records alone."""

    def __init__(self, practice: Practice) -> None:
        room: Any = practice.room
        stages = list(room.stages)
        by_hand = [s for s in stages if room.stages[s].kind == "hand"]
        starts = [p.hours.start for p in room.people.values()]
        ends = [p.hours.end for p in room.people.values()]
        self.closes: Any = max(ends, default=None) if room.closes is None else room.closes
        opens = room.opens if room.opens is not None else min(starts, default=practice.settings.day.opens)
        self.morning = 60 * min(opens, practice.settings.day.opens)
        self.people: list[Person] = []
        asked = sorted(
            room.people.items(), key=lambda each: (len(each[1].stages or by_hand), each[1].hours.end, each[0])
        )
        for _, person in asked:
            day = range(person.hours.start * 60, person.hours.end * 60 + 1)
            parts = [(day[0], day[-1])]
            if person.lunch:
                parts = [(day[0], person.lunch.start * 60), (person.lunch.end * 60, day[-1])]
            parts = [(max(a, opens * 60), min(b, self.closing(0))) for a, b in parts]
            parts = [(a, b) for a, b in parts if a < b]
            self.people.append(Person([stages.index(s) for s in person.stages or by_hand], parts))
        alone = None if self.closes is None else [(opens * 60, self.closes * 60)]
        if not room.people:
            for s in by_hand:
                self.people += [Person([stages.index(s)], alone) for _ in range(room.stages[s].people)]
        # Without people somebody starts the machines as long as the room is open.
        self.starters = self.people if room.people else [Person([], alone)]

    def closing(self, now: int) -> Any:
        return float("inf") if self.closes is None else now // DAY * DAY + self.closes * 60

    def day_of(self, now: int) -> int:
        return (now - self.morning) // DAY


class Station:
    """A stage: a queue, its machines, and a moment of decision that comes last in every instant."""

    def __init__(self, room: Room, number: int, id_: str, stage: Any, sizes: set[str]) -> None:
        self.room, self.env, self.number, self.id, self.stage = room, room.env, number, id_, stage
        self.queue: list[tuple[Any, int, Item, simpy.Event]] = []
        self.machines = list(stage.each) if stage.kind == "machine" else []
        self.free = list(range(len(self.machines)))
        self.sizes = sizes
        self.loads: list[tuple[int, int, tuple[Any, ...], int]] = []
        self.started: Counter[int] = Counter()

    def join(self, item: Item, rank: Any) -> simpy.Event:
        started = self.env.event()
        heapq.heappush(self.queue, (rank, int(self.env.now), item, started))
        if self.stage.kind == "rest":
            self.start([self.queue[0]], round(self.stage.takes * 60))
        elif self.stage.kind == "hand":
            self.room.hands_last()
        else:
            self.decide_last()
            self.env.process(self.remind())
        return started

    def remind(self) -> Generator[simpy.Event, Any, None]:
        yield self.env.timeout(round(self.stage.wait * 60))
        self.decide_last()

    def decide_last(self) -> None:
        at_the_end(self.env, 20 + self.number, self.decide)

    def decide(self) -> None:
        now = int(self.env.now)
        calendar = self.room.calendar
        while self.queue and any(one.goes_at(now) is not None for one in calendar.starters):
            first = sorted(self.queue)[0][2]
            fitting = [
                m
                for m in sorted(self.free)
                if first.size in self.machines[m].capacity
                and now + round(self.machines[m].cycle * 60) <= calendar.closing(now)
            ]
            if not fitting:
                return
            machine = fitting[0]
            load = self.load(self.machines[machine])
            if not load:
                return
            today = self.room.day_of(now)
            number = self.started[today]
            self.started[today] += 1
            takes = round(self.machines[machine].cycle * 60)
            if self.stage.repeats and draw(self.room.seed, "run again", self.id, today, number) < self.stage.repeats:
                takes *= 2
            self.loads.append((machine, now, tuple(entry[0][-1] for entry in load), now + takes))
            self.free.remove(machine)
            self.env.process(self.release(machine, takes))
            self.start(load, takes)

    def load(self, machine: Any) -> list[Any]:
        """What is to be started now; nothing when the load is to wait."""
        waiting = sorted(self.queue)
        load, used = [], Fraction(0)
        for entry in waiting:
            capacity = machine.capacity.get(entry[2].size)
            if capacity is None or used + Fraction(1, capacity) > 1:
                break
            load.append(entry)
            used += Fraction(1, capacity)
        others = [Fraction(1, machine.capacity[s]) for s in self.sizes if s in machine.capacity]
        full = len(load) < len(waiting) or all(used + share > 1 for share in others)
        now = int(self.env.now)
        waited = now - load[0][1] >= round(self.stage.wait * 60)
        last = now + round(machine.cycle * 60) == self.room.calendar.closing(now)
        return load if full or waited or last else []

    def start(self, load: list[Any], takes: int) -> None:
        for entry in load:
            self.queue.remove(entry)
            entry[3].succeed(takes)
        heapq.heapify(self.queue)

    def release(self, machine: int, takes: int) -> Generator[simpy.Event, Any, None]:
        yield self.env.timeout(takes)
        self.free.append(machine)
        self.decide_last()


def at_the_end(env: simpy.Environment, priority: int, decide: Any) -> None:
    """Have something decided at the end of this instant."""
    moment = env.event()
    moment._ok, moment._value = True, None
    moment.callbacks.append(lambda _: decide())
    env.schedule(moment, priority=EventPriority(priority))


def booked(practice: Practice) -> set[tuple[str, str]]:
    """Each procedure with visits, and each chair where it has them."""
    if practice.schedule:
        return {(visit.procedure, visit.chair) for visit in practice.schedule}
    visits = [id_ for id_, record in practice.procedures.items() if record.per_day > 0]
    return {(id_, chair) for id_ in visits for chair in practice.procedures[id_].chairs or practice.chairs}


def sizes_in_use(practice: Practice) -> dict[str, str]:
    """The size of every set and pouch that some visit takes."""
    return {
        id_: practice.sets[id_].cassette if id_ in practice.sets else practice.pouches[id_].size
        for procedure, chair in booked(practice)
        for order in range(120)
        for id_, deciding in taken(practice, chair, procedure, (order + 0.5) / 120)
        if any(deciding.values())
    }


def draw(*purpose: Any) -> Fraction:
    """The four bytes that SHAKE-128 gives for a purpose, the lowest first, as a share of 2 to the 32."""
    digest = hashlib.shake_128("/".join(str(part) for part in purpose).encode()).digest(4)
    return Fraction(sum(byte << (8 * n) for n, byte in enumerate(digest)), 1 << 32)


class Room:
    """All stages, and the people who work at them."""

    def __init__(self, practice: Practice, used: dict[str, str], seed: int, only_day: int | None = None) -> None:
        self.only_day = only_day
        self.env = simpy.Environment(initial_time=-(10**6))
        self.seed, self.practice = seed, practice
        self.calendar = Calendar(practice)
        self.stations = []
        for n, (stage_id, stage) in enumerate(practice.room.stages.items()):
            coming = {size for id_, size in used.items() if not skips(practice, id_, stage_id)}
            self.stations.append(Station(self, n, stage_id, stage, coming))
        self.histories: dict[tuple[int, int], tuple[Any, ...]] = {}

    def day_of(self, now: int) -> int:
        return self.calendar.day_of(now) if self.only_day is None else self.only_day

    def hands_last(self) -> None:
        at_the_end(self.env, 10, self.hands)

    def hands(self) -> None:
        """One person starts one thing; then all are asked again."""
        now = int(self.env.now)
        for person in self.calendar.people:
            until = person.goes_at(now)
            if not person.idle or until is None:
                continue
            for n in person.stages:
                station = self.stations[n]
                if not station.queue:
                    continue
                entry = min(station.queue)
                minutes = station.stage.per_cassette if entry[2].cassette else station.stage.per_pouch
                if now + round(minutes * 60) <= until:
                    person.idle = False
                    station.start([entry], round(minutes * 60))
                    self.env.process(self.work(person, round(minutes * 60)))
                    self.hands_last()
                    return

    def work(self, person: Person, takes: int) -> Generator[simpy.Event, Any, None]:
        yield self.env.timeout(takes)
        person.idle = True
        self.hands_last()

    def wake(self, at: int) -> Generator[simpy.Event, Any, None]:
        yield self.env.timeout(at - self.env.now)
        self.hands_last()
        for station in self.stations:
            if station.machines:
                station.decide_last()

    def travel(self, day: int, item: Item) -> Generator[simpy.Event, Any, None]:
        yield self.env.timeout(day * DAY + item.received - self.env.now)
        rank: tuple[Any, ...] = ((day, item.number),)
        stages = []
        for station in self.stations:
            joined = int(self.env.now)
            rank = (joined, *rank)
            if skips(self.practice, item.id, station.id):
                continue
            takes = yield station.join(item, rank)
            started = int(self.env.now)
            yield self.env.timeout(takes)
            stages.append(tuple(int(t) - day * DAY for t in (joined, started, self.env.now)))
        back = int(self.env.now) - day * DAY
        self.histories[day, item.number] = (item.id, item.visit, item.out, item.received, tuple(stages), back)


def run_days(
    practice: Practice, days: Sequence[Any], seed: int = 1, used: dict[str, str] | None = None
) -> list[tuple[list[Any], list[list[Any]]]]:
    """For each day, from day 0, in its time: each item's (id, visit, out, received, [(joined, started, done)], back),
    and each stage's loads of that day, as (machine, start, ((day, item), ...), end)."""
    used = sizes_in_use(practice) if used is None else used
    if Calendar(practice).closes is None:  # then no day knows of another
        return [_told(room, day) for day, room in enumerate(_alone(practice, days, used, seed))]
    room = Room(practice, used, seed)
    count = 0
    for day, bookings in enumerate(days):
        for item in items_of(practice, bookings):
            room.env.process(room.travel(day, item))
            count += 1
    times = {a for p in (*room.calendar.people, *room.calendar.starters) for a, _ in p.hours or ()}
    times |= {60 * room.calendar.closes - round(m.cycle * 60) for s in room.stations for m in s.machines}
    for day in range(len(days) + 15):
        for at in times:
            room.env.process(room.wake(day * DAY + at))
    room.env.run()
    if len(room.histories) < count:
        raise RuntimeError("the room never catches up")
    return [_told(room, day) for day in range(len(days))]


def _alone(practice: Practice, days: Sequence[Any], used: dict[str, str], seed: int) -> Generator[Room, None, None]:
    for day, bookings in enumerate(days):
        room = Room(practice, used, seed, day)
        for item in items_of(practice, bookings):
            room.env.process(room.travel(day, item))
        room.env.run()
        yield room


def _told(room: Room, day: int) -> tuple[list[Any], list[list[Any]]]:
    histories = [history for (of, _), history in sorted(room.histories.items()) if of == day]
    loads = [
        [
            (m, start - day * DAY, items, end - day * DAY)
            for m, start, items, end in station.loads
            if room.day_of(start) == day
        ]
        for station in room.stations
    ]
    return histories, loads


def run(
    practice: Practice, bookings: Any, used: dict[str, str] | None = None
) -> tuple[list[tuple[Any, ...]], list[list[Any]]]:
    """One day: each item's history, and each stage's loads as (machine, start, items)."""
    ((histories, loads),) = run_days(practice, [bookings], used=used)
    return histories, [[(m, start, tuple(n for _, n in items)) for m, start, items, _ in stage] for stage in loads]
