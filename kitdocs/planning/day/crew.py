"""Who works in the reprocessing room, when, and what they take first.

- *Without people in room.yaml* each hand stage has people of its own. They have no hours; where the room has hours,
  those are theirs.
- *With people* everybody works from the start of their hours to the end, without lunch, and serves the stages that
  are listed for them, in that order; with none listed, every hand stage in the order of the room. Who serves fewest
  stages is asked first; of several, who goes home first, then the first by id. No order of the records matters.
- *The room's hours* are `opens` and `closes`. Without `opens`: from when the first of the people begins, or the
  practice opens. Without `closes`: until the last of the people goes; without people, there is no end.
- *Somebody is there* in the hours of each of the people, within the room's; without people, in the room's.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kitdocs.planning.day.instants import DAY, seconds
from kitdocs.practice.model import Practice
from kitdocs.practice.room import HandStage, Person, Room

Stretch = tuple[int, int]
"""From a second of the day up to another, both included."""

ALWAYS: Stretch = (-(10**9), 10**9)


@dataclass(frozen=True, slots=True, kw_only=True)
class Worker:
    """Someone who does hand work: at which stages (by number), and when. `id` is empty for a stage's own."""

    id: str
    stages: tuple[int, ...]
    there: tuple[Stretch, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """Everybody of the room, in the order in which they are asked, and the room's hours."""

    workers: tuple[Worker, ...]
    there: tuple[Stretch, ...]
    """When somebody is in the room, who can start a load."""
    morning: int | None
    """When a day in the room begins, and the one before is over; None where a day has no end, as `closes`."""
    closes: int | None


def crew_of(practice: Practice) -> Crew:
    """Return the crew of a practice."""
    room = practice.room
    opens, closes = _room_hours(practice)
    hours = ALWAYS if closes is None else (opens, closes)
    if room.people:
        everybody = (_worker(practice, id_, person, hours) for id_, person in room.people.items())
        workers = tuple(sorted(everybody, key=lambda worker: _asked(room, worker)))
        there = tuple(sorted({stretch for worker in workers for stretch in worker.there}))
    else:
        workers = tuple(_stages_own(practice, hours))
        there = (hours,)
    begins = min(opens, seconds(practice.settings.day.opens))
    return Crew(workers=workers, there=there, morning=None if closes is None else begins, closes=closes)


def _room_hours(practice: Practice) -> tuple[int, int | None]:
    room = practice.room
    people = room.people.values()
    opens, closes = room.opens, room.closes
    if opens is None:
        opens = min((person.hours.start for person in people), default=practice.settings.day.opens)
    if closes is None and people:
        closes = max(person.hours.end for person in people)
    return seconds(opens), None if closes is None else seconds(closes)


def _worker(practice: Practice, id_: str, person: Person, hours: Stretch) -> Worker:
    number = {stage: n for n, stage in enumerate(practice.room.stages)}
    served = person.stages or [s for s, stage in practice.room.stages.items() if isinstance(stage, HandStage)]
    cuts = [person.hours.start, person.hours.end]
    if person.lunch:
        cuts[1:1] = [person.lunch.start, person.lunch.end]
    stretches = ((seconds(start), seconds(end)) for start, end in zip(cuts[::2], cuts[1::2], strict=True))
    within = ((max(start, hours[0]), min(end, hours[1])) for start, end in stretches)
    return Worker(
        id=id_,
        stages=tuple(number[stage] for stage in served),
        there=tuple((start, end) for start, end in within if start < end),
    )


def _asked(room: Room, worker: Worker) -> tuple[int, int, str]:
    return len(worker.stages), room.people[worker.id].hours.end, worker.id


def _stages_own(practice: Practice, hours: Stretch) -> Iterator[Worker]:
    for n, stage in enumerate(practice.room.stages.values()):
        if isinstance(stage, HandStage):
            yield from [Worker(id="", stages=(n,), there=(hours,))] * stage.people


def room_day_ends(crew: Crew) -> int:
    """Return the second at which a day in the room gives way to the next; without an end, none is reached."""
    return ALWAYS[1] if crew.morning is None else crew.morning + DAY
