"""A day in the reprocessing room, instant by instant: for shared people, hours, and machines that differ.

A plain room is run stage by stage (`stages`), which is faster and gives the same day. All times are whole seconds. What
a model of the same room must do, to agree item for item, beside what `stages` says of queues, sizes and rests:

- *Queue.* By the time of joining; at one time, by the time of joining the stage before, and so on back to receiving,
  then in the order of the day's items. Only the head of a queue is taken, and what follows it.
- *An instant.* First, all that ends or arrives joins its next queue. Then the hands, then the machines.
- *Hands.* The first of the crew (`crew`) who is free and there and finds something, starts it; then again from the
  first of them, until nobody starts anything. (What takes no time is done, and in its next queue, at once.)
  They look at their stages in their order and take the head of the first queue whose head they would have done before
  they go: nothing is begun that would run over lunch or the end of the hours.
- *Machines.* Stage by stage. While somebody is there: of the machines that are free, that take the size of the head of
  the queue, and that would end before the room closes, the first as written is filled from the head on, until the next
  does not fit or is of a size that it does not take. The load starts when it is full (the next did not fit, or not even
  the smallest item of this practice that it takes would), when the head has waited `wait`, or when it is the last
  moment, so that it ends just as the room closes. If it does not start, no other machine is tried.
- *A load run again* keeps its machine for two cycles, even past closing. Which loads are is drawn by the day, the stage
  and the load's number among those that the stage started on that day, from 0.
- *Night.* The day in the room ends as that of the next day begins, when the practice or the room opens, whichever is
  first. Whatever would start or arrive then or later belongs to the next day, whose queues begin with it. Rest goes on
  at night, and so do machines.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable, Mapping, Sequence
from heapq import heappop, heappush
from typing import Any, NamedTuple, TypeAlias

from kitdocs.planning.day.crew import ALWAYS, Crew, room_day_ends
from kitdocs.planning.day.instants import seconds
from kitdocs.planning.day.items import ItemKind
from kitdocs.planning.day.stages import Load
from kitdocs.planning.measures.loads import points
from kitdocs.practice.room import AnyStage, HandStage, MachineStage

Rank: TypeAlias = "tuple[int, Any]"
"""When an item joined the last stage that it came to, and the same of the stage before; first, its number."""

_NO_ITEM, _ALL_STAGES = -1, -1


class OneMachine(NamedTuple):
    """A machine: its cycle, and what each kind takes of its load of `whole`; 0 where it takes none of that kind."""

    cycle: int
    takes: tuple[int, ...]
    whole: int
    smallest: int


class Station(NamedTuple):
    """A stage as a day needs it. `takes` is the time of each kind at a hand or rest stage; `skipped` are kinds."""

    skipped: frozenset[int]
    by_hand: bool
    takes: tuple[int, ...]
    machines: tuple[OneMachine, ...]
    wait: int
    again: Callable[[int, int], bool]
    """Whether a load is run again, by the day's number and the load's."""


class Waiting(NamedTuple):
    """An item on its way to a stage, where it arrives `at`; with all stages behind it, in the store."""

    item: int
    kind: int
    stage: int
    at: int
    rank: Rank


Started = tuple[int, int, int, int]
"""An item at a stage: its number, when it joined, was started and is done."""


class RoomDay(NamedTuple):
    """What happened in the room on a day: at each stage what was started, in that order, and the loads of it."""

    started: tuple[list[Started], ...]
    loads: tuple[list[Load], ...]
    stored: list[tuple[int, int]]
    """The items that came back to the store, and when."""
    left: list[Waiting]
    """What was not back when the day in the room ended."""
    busy_until: tuple[tuple[int, ...], ...]
    """When each machine of each stage is free again."""
    worked: list[int]
    """How long each of the crew was at work."""


def station(
    stage: AnyStage, kinds: Sequence[ItemKind], passing: frozenset[int], again: Callable[[int, int], bool]
) -> Station:
    """Return a stage as a day needs it; `passing` are the kinds that come to it."""
    skipped = frozenset(range(len(kinds))) - passing
    machines: tuple[OneMachine, ...] = ()
    takes: tuple[int, ...] = ()
    wait = 0
    if isinstance(stage, MachineStage):
        machines = tuple(_machine(seconds(each.cycle), each.capacity, kinds, passing) for each in stage.each)
        wait = seconds(stage.wait)
    elif isinstance(stage, HandStage):
        cassette, pouch = seconds(stage.per_cassette), seconds(stage.per_pouch)
        takes = tuple(cassette if kind.in_cassette else pouch for kind in kinds)
    else:
        takes = (seconds(stage.takes),) * len(kinds)
    return Station(skipped, isinstance(stage, HandStage), takes, machines, wait, again)


def _machine(cycle: int, capacity: Mapping[str, int], kinds: Sequence[ItemKind], passing: frozenset[int]) -> OneMachine:
    sizes = {kinds[k].size for k in passing} & set(capacity)
    by_size, whole = points({size: capacity[size] for size in sorted(sizes)})
    takes = tuple(by_size.get(kind.size, 0) for kind in kinds)
    return OneMachine(cycle, takes, whole, min(by_size.values(), default=1))


class Workday:
    """The room's day; nothing of it changes from day to day."""

    def __init__(self, stations: Sequence[Station], crew: Crew) -> None:
        self.stations, self.crew = tuple(stations), crew
        self.ends = room_day_ends(crew)

    def run(self, number: int, arriving: Sequence[Waiting], busy_until: Sequence[Sequence[int]] = ()) -> RoomDay:
        """Run day `number` with what arrives, last night's first; the machines are `busy_until` the night left them."""
        return _Day(self, number, arriving, busy_until).run()


class _Day:
    """One day while it goes by."""

    def __init__(
        self, room: Workday, number: int, arriving: Sequence[Waiting], busy_until: Sequence[Sequence[int]]
    ) -> None:
        self._stations, self._crew, self._number, self._ends = room.stations, room.crew, number, room.ends
        self._closes = ALWAYS[1] if room.crew.closes is None else room.crew.closes
        self._kind = [one.kind for one in arriving]
        self._rank: list[Rank] = [one.rank for one in arriving]
        self._queues: list[list[tuple[Rank, int]]] = [[] for _ in self._stations]
        self._free = [ALWAYS[0]] * len(room.crew.workers)
        self._worked = [0] * len(room.crew.workers)
        self._busy = [list(b) for b in busy_until] or [[ALWAYS[0]] * len(s.machines) for s in self._stations]
        self._waited_until = [ALWAYS[0]] * len(self._stations)  # when each stage is next looked at for a part load
        self._due: set[int] = set()  # machine stages to look at in this instant
        self._to_do = 0  # items in the queues of hand stages
        self._started: tuple[list[Started], ...] = tuple([] for _ in self._stations)
        self._loads: tuple[list[Load], ...] = tuple([] for _ in self._stations)
        self._stored: list[tuple[int, int]] = []
        self._instants: list[int] = []  # a heap
        self._events: dict[int, list[tuple[int, int]]] = {}  # by instant: which stage, which item
        for one in arriving:
            self._plan(one.at, one.stage, one.item)
        for start in {start for worker in room.crew.workers for start, _ in worker.there}.union(
            start for start, _ in room.crew.there
        ):
            self._plan(start, _ALL_STAGES, _NO_ITEM)
        for n, stage in enumerate(self._stations):
            for machine, until in zip(stage.machines, self._busy[n], strict=True):
                self._plan(until, n, _NO_ITEM)
                if room.crew.closes is not None:
                    self._plan(room.crew.closes - machine.cycle, n, _NO_ITEM)

    def _plan(self, at: int, stage: int, item: int) -> None:
        """Have something arrive at a stage, or a stage looked at, at an instant."""
        events = self._events.get(at)
        if events is None:
            self._events[at] = [(stage, item)]
            heappush(self._instants, at)
        else:
            events.append((stage, item))

    def run(self) -> RoomDay:
        instants, due = self._instants, self._due
        while instants and instants[0] < self._ends:
            now = heappop(instants)
            for stage, item in self._events.pop(now):
                if item != _NO_ITEM:
                    self._arrive(now, stage, item)
                elif stage != _ALL_STAGES:
                    due.add(stage)
                else:
                    due.update(n for n, station in enumerate(self._stations) if station.machines)
            while self._to_do and min(self._free) <= now and self._somebody_starts(now):
                pass
            if due:
                for start, end in self._crew.there:
                    if start <= now <= end:
                        for stage in sorted(due):
                            self._load(now, stage)
                        break
                due.clear()
        busy = tuple(map(tuple, self._busy))
        return RoomDay(self._started, self._loads, self._stored, self._left(), busy, self._worked)

    def _arrive(self, now: int, stage: int, item: int) -> None:
        """Put an item into the queue of the next stage that it does not skip; let it rest; or store it."""
        kind, rank = self._kind[item], self._rank[item]
        for n in range(stage, len(self._stations)):
            station = self._stations[n]
            rank = (now, rank)
            if kind in station.skipped:
                continue
            self._rank[item] = rank
            if station.by_hand:
                insort(self._queues[n], (rank, item))
                self._to_do += 1
                return
            if station.machines:
                insort(self._queues[n], (rank, item))
                self._due.add(n)
                return
            takes = station.takes[kind]
            self._started[n].append((item, now, now, now + takes))
            if takes:
                self._plan(now + takes, n + 1, item)
                return
        self._stored.append((item, now))

    def _somebody_starts(self, now: int) -> bool:
        """Have the first of the crew who can start something; False when nobody can."""
        free, queues, stations, kinds = self._free, self._queues, self._stations, self._kind
        for n, worker in enumerate(self._crew.workers):
            if free[n] > now:
                continue
            for start, until in worker.there:
                if start <= now <= until:
                    break
            else:
                continue
            for stage in worker.stages:
                queue = queues[stage]
                if queue:
                    rank, item = queue[0]
                    done = now + stations[stage].takes[kinds[item]]
                    if done <= until:
                        del queue[0]
                        self._to_do -= 1
                        self._started[stage].append((item, rank[0], now, done))
                        self._worked[n] += done - now
                        free[n] = done
                        if done > now:
                            self._plan(done, stage + 1, item)
                        else:
                            self._arrive(now, stage + 1, item)
                        return True
        return False

    def _load(self, now: int, stage: int) -> None:
        """Start the loads of a machine stage that can start at this instant."""
        queue, station, busy = self._queues[stage], self._stations[stage], self._busy[stage]
        while queue:
            kind = self._kind[queue[0][1]]
            for number, machine in enumerate(station.machines):
                if busy[number] <= now and machine.takes[kind] and now + machine.cycle <= self._closes:
                    break
            else:
                return
            count, full = self._filled(queue, machine)
            waited_until = queue[0][0][0] + station.wait
            if not (full or now >= waited_until or now + machine.cycle == self._closes):
                if self._waited_until[stage] != waited_until:
                    self._waited_until[stage] = waited_until
                    self._plan(waited_until, stage, _NO_ITEM)
                return
            self._start_load(now, stage, number, count)

    def _filled(self, queue: Sequence[tuple[Rank, int]], machine: OneMachine) -> tuple[int, bool]:
        """Return how much of the head of the queue fits in a machine, and whether that is a full load."""
        room, kinds, takes_of = machine.whole, self._kind, machine.takes
        for count, (_, item) in enumerate(queue):
            takes = takes_of[kinds[item]]
            if not takes or takes > room:
                return count, True
            room -= takes
        return len(queue), room < machine.smallest

    def _start_load(self, now: int, stage: int, machine: int, count: int) -> None:
        station, queue = self._stations[stage], self._queues[stage]
        started, loads = self._started[stage], self._loads[stage]
        runs = 2 if station.again(self._number, len(loads)) else 1
        end = now + runs * station.machines[machine].cycle
        loads.append(Load(machine, now, len(started), len(started) + count, end, runs))
        started += [(item, rank[0], now, end) for rank, item in queue[:count]]
        self._plan(end, stage, _NO_ITEM)
        self._events[end] += [(stage + 1, item) for _, item in queue[:count]]
        del queue[:count]
        self._busy[stage][machine] = end

    def _left(self) -> list[Waiting]:
        """Return what the next day begins with: what waits where it waits, what goes on when it will arrive."""
        left = [
            Waiting(item, self._kind[item], stage, rank[0], rank[1])
            for stage, queue in enumerate(self._queues)
            for rank, item in queue
        ]
        going = sorted((at, *event) for at, events in self._events.items() for event in events if event[1] != _NO_ITEM)
        return left + [Waiting(item, self._kind[item], stage, at, self._rank[item]) for at, stage, item in going]
