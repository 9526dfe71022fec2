"""The parts of a set's time away, the work of each stage, and the loads that hold something implant-related.

Each load with an implant-related pack carries a spore test and is held back until the test is read.
SOURCES: CDC 2003, part VI.F.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import compress
from operator import sub

from kitdocs.planning.day.crew import crew_of
from kitdocs.planning.day.flow import DayFlow
from kitdocs.planning.day.instants import seconds
from kitdocs.planning.day.items import ItemKind
from kitdocs.planning.day.tally import DayTally, Spread, Tally
from kitdocs.practice.model import Practice
from kitdocs.practice.room import AnyStage, HandStage, MachineStage, RestStage


@dataclass(frozen=True, slots=True, kw_only=True)
class StageDay:
    """A stage on a busy day. Seconds, per item or per day."""

    id: str
    kind: str
    units: int
    """Machines, or people who serve it; 0 where time passes by itself."""
    wait: Spread
    """How long sets and pouches wait in front of it, nights included."""
    work_per_day: float
    """How long all its machines or people together are at work on a day."""
    utilisation: float
    """The share of their time, from opening until the last item is stored or the practice closes, at work."""
    loads: Spread | None
    """Loads a day, of all its machines."""
    loads_by_machine: tuple[Spread, ...]

    @property
    def work_per_unit(self) -> float:
        return self.work_per_day / self.units if self.units else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of the turnaround: mean seconds. `stage` is empty on the way to the reprocessing room."""

    name: str
    stage: str
    seconds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Turnaround:
    """From leaving the store to being back in it, over all sets. The parts add up to the mean."""

    total: Spread
    parts: tuple[Part, ...]


class StageTally:
    """Gathers, day by day, the waits, loads and work of every stage."""

    def __init__(self, practice: Practice, kinds: Sequence[ItemKind]) -> None:
        self._practice = practice
        stages = practice.room.stages
        self._machines = [s.count if isinstance(s, MachineStage) else 0 for s in stages.values()]
        self._hand = [isinstance(s, HandStage) for s in stages.values()]
        self._waits = [DayTally() for _ in stages]
        self._set_waits = [0 for _ in stages]
        self._sets_through = [0 for _ in stages]
        self._loads = [Tally() for _ in stages]
        self._by_machine = [[Tally() for _ in range(m)] for m in self._machines]
        self._work = [0 for _ in stages]
        self._odd = {n for n, stage in enumerate(stages.values()) if _takes_more_or_less(stage)}
        self._set_takes = [0 for _ in stages]
        self._crew = crew_of(practice)
        self._open = 0
        self._days = 0
        self._is_set = [kind.in_cassette for kind in kinds]
        self._away = DayTally()
        self._to_receiving = 0

    def add(self, day: DayFlow, ended: int) -> None:
        """A day that ended (its last item stored) at `ended`."""
        hours = self._practice.settings.day
        self._days += 1
        self._open += max(ended, seconds(hours.closes)) - seconds(hours.opens)
        is_set = [self._is_set[kind] for kind in day.items.kind]
        queue, in_queue, through = None, is_set, 0
        for n, stay in enumerate(day.stays):
            if stay.queue is not queue:  # most stages leave the queue as it is
                queue, in_queue = stay.queue, [is_set[item] for item in stay.queue]
                through = sum(in_queue)
            self._sets_through[n] += through
            if not (self._hand[n] or self._machines[n]):
                continue
            waits = list(map(sub, stay.starts, stay.joined))
            self._waits[n].add_day(waits)
            self._set_waits[n] += sum(compress(waits, in_queue))
            if self._hand[n]:
                self._work[n] += sum(stay.ends) - sum(stay.starts)
            if self._machines[n]:
                self._work[n] += sum([load.done - load.start for load in stay.loads])
                self._add_loads(n, [load.machine for load in stay.loads for _ in range(load.runs)])
                if n in self._odd:
                    self._set_takes[n] += sum(compress(map(sub, stay.ends, stay.starts), in_queue))
        self._away.add_day(compress(map(sub, day.back, day.items.out), is_set))
        self._to_receiving += sum(compress(map(sub, day.items.received, day.items.out), is_set))

    def _add_loads(self, stage: int, machines: Sequence[int]) -> None:
        self._loads[stage].counts[len(machines)] += 1
        for machine, tally in enumerate(self._by_machine[stage]):
            tally.counts[machines.count(machine)] += 1

    def stages(self) -> dict[str, StageDay]:
        """Return the stages by id, in order. Needs at least one day."""
        return {id_: self._stage(n, id_) for n, id_ in enumerate(self._practice.room.stages)}

    def _stage(self, n: int, id_: str) -> StageDay:
        stage = self._practice.room.stages[id_]
        work, units = float(self._work[n]), 0
        days = self._days
        if isinstance(stage, MachineStage):
            units = stage.count
        elif isinstance(stage, HandStage):
            units = sum(n in worker.stages for worker in self._crew.workers)
        return StageDay(
            id=id_,
            kind=stage.kind,
            units=units,
            wait=self._waits[n].spread(),
            work_per_day=work / days,
            utilisation=work / (units * self._open) if units and self._open else 0.0,
            loads=self._loads[n].spread() if self._machines[n] else None,
            loads_by_machine=tuple(tally.spread() for tally in self._by_machine[n]),
        )

    def turnaround(self) -> Turnaround:
        room = self._practice.room
        sets = max(1, len(self._away))
        setup, carry = seconds(room.setup), seconds(room.carry)
        parts = [
            Part(name="setup", stage="", seconds=setup),
            Part(name="in use", stage="", seconds=max(0.0, self._to_receiving / sets - setup - carry)),
            Part(name="carry", stage="", seconds=carry),
        ]
        for n, (id_, stage) in enumerate(room.stages.items()):
            if not isinstance(stage, RestStage):
                parts.append(Part(name="waiting", stage=id_, seconds=self._set_waits[n] / sets))
            takes = self._set_takes[n] if n in self._odd else _takes_a_set(stage) * self._sets_through[n]
            parts.append(Part(name=stage.kind, stage=id_, seconds=takes / sets))
        return Turnaround(total=self._away.spread(), parts=tuple(parts))


def _takes_more_or_less(stage: AnyStage) -> bool:
    """Whether some sets take longer at a stage than others."""
    return isinstance(stage, MachineStage) and (not stage.alike or stage.repeats is not None)


def _takes_a_set(stage: AnyStage) -> int:
    if isinstance(stage, MachineStage):
        return seconds(stage.cycle)
    if isinstance(stage, HandStage):
        return seconds(stage.per_cassette)
    return seconds(stage.takes)


@dataclass(frozen=True, slots=True, kw_only=True)
class ImplantLoads:
    """Loads of all sterilizers with an implant-related pack in them."""

    per_day: float
    days: float
    """The share of days that have one."""


class ImplantTally:
    """Counts, day by day, the loads with an implant-related pack."""

    def __init__(self, practice: Practice, kinds: Sequence[ItemKind]) -> None:
        self._kinds = frozenset(n for n, kind in enumerate(kinds) if practice.is_implant_related(kind.id))
        self._stages = [n for n, id_ in enumerate(practice.room.stages) if id_ in practice.room.sterilizers]
        self._loads = self._with_load = self._days = 0

    def add(self, day: DayFlow) -> None:
        self._days += 1
        loads = self._loads_of(day) if self._kinds else 0
        self._loads += loads
        self._with_load += loads > 0

    def _loads_of(self, day: DayFlow) -> int:
        return sum(
            any(day.in_room[item] in self._kinds for item in day.stays[stage].loaded[load.first : load.end])
            for stage in self._stages
            for load in day.stays[stage].loads
        )

    def result(self) -> ImplantLoads:
        """Needs at least one day."""
        return ImplantLoads(per_day=self._loads / self._days, days=self._with_load / self._days)
