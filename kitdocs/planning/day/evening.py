"""Who works in the room on a busy day, and what is left for the morning when they go home."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from kitdocs.planning.day.crew import Crew
from kitdocs.planning.day.flow import DayFlow
from kitdocs.planning.day.instants import DAY
from kitdocs.planning.day.tally import Spread, Tally
from kitdocs.practice.model import Practice


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonDay:
    """One of the people on a busy day. Seconds."""

    id: str
    there: int
    """How long they are there, without lunch."""
    work: Spread
    """How long they work with their hands, per day."""

    @property
    def utilisation(self) -> float:
        return self.work.mean / self.there if self.there else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Nights:
    """What is still out when the room is left in the evening, over the evenings before the days of a run."""

    closes: int
    """Seconds after midnight."""
    nights: float
    """The share of evenings on which something is."""
    items: Spread
    """How many sets and pouches, per evening."""
    sets: Spread
    """How many of them are sets."""
    second: float
    """The share of evenings on which something is left that was left the evening before, too."""
    waiting_at: Mapping[str, float]
    """How many wait at each stage, by id, per evening, where there are any."""


class EveningTally:
    """Gathers, day by day, what people did and what the evening before had left."""

    def __init__(self, practice: Practice, crew: Crew) -> None:
        self._stages = list(practice.room.stages)
        self._crew = crew
        self._named = [(n, worker) for n, worker in enumerate(crew.workers) if worker.id]
        self._work = [Tally() for _ in crew.workers]
        self._items, self._sets = Tally(), Tally()
        self._second = 0
        self._at: Counter[int] = Counter()

    def add(self, day: DayFlow) -> None:
        for n, _ in self._named:
            self._work[n].counts[day.worked[n]] += 1
        waiting = day.before.waiting
        self._items.counts[len(waiting)] += 1
        self._sets.counts[sum(day.kinds[one.kind].in_cassette for one in waiting)] += 1
        self._second += any(out < -DAY for out in day.before.out)
        self._at.update(one.stage for one in waiting)

    def people(self) -> dict[str, PersonDay]:
        """Return the people by id, as written; none where nobody is named."""
        return {
            worker.id: PersonDay(
                id=worker.id, there=sum(end - start for start, end in worker.there), work=self._work[n].spread()
            )
            for n, worker in self._named
        }

    def nights(self) -> Nights | None:
        """Return what is left in the evening; None where the room is never left. Needs at least one day."""
        if self._crew.closes is None:
            return None
        days = len(self._items)
        return Nights(
            closes=self._crew.closes,
            nights=1 - self._items.counts[0] / days,
            items=self._items.spread(),
            sets=self._sets.spread(),
            second=self._second / days,
            waiting_at={id_: self._at[n] / days for n, id_ in enumerate(self._stages) if self._at[n]},
        )
