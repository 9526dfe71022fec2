"""The earliest end of a day: what the last set needs after its visit, even where nothing ever waits."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import fsum
from statistics import median_low

from kitdocs.planning.day.visit import Booking
from kitdocs.practice.model import Practice
from kitdocs.practice.room import HandStage, MachineStage


@dataclass(frozen=True, slots=True, order=True)
class Earliest:
    """Of the middle one of the busy days, in minutes."""

    at: float
    """Before when not everything is back in the store, after midnight."""
    last: float
    """When the visit ends whose set is back last."""
    needs: float
    """What its set needs from then on."""
    set: str


def earliest_end(practice: Practice, days: Iterable[Sequence[Booking]]) -> Earliest | None:
    """Return before when a day ends in no way, as visits are booked and the room is; None where there are no visits.

    A set waits for nobody and no machine here, and each machine is the quickest of its stage: so no day of the run ends
    earlier, nor does the middle one of them (the smallest that half of them do not exceed).
    """
    needed = {id_: _through_the_room(practice, id_) for id_ in practice.sets}
    set_of = {p: record.set for p, record in practice.procedures.items()}
    ends = [
        max(
            Earliest(
                visit.end / 60 + needed[set_of[visit.procedure]],
                visit.end / 60,
                needed[set_of[visit.procedure]],
                set_of[visit.procedure],
            )
            for visit in day
        )
        for day in days
        if day
    ]
    return median_low(ends) if ends else None


def _through_the_room(practice: Practice, id_: str) -> float:
    """Return the minutes from the end of a visit until its set is back in the store, where it never waits."""
    takes = [practice.room.carry]
    for stage_id, stage in practice.room.stages.items():
        if not practice.passes(id_, stage_id):
            continue
        if isinstance(stage, MachineStage):
            takes.append(min(machine.cycle for machine in stage.each))
        else:
            takes.append(stage.per_cassette if isinstance(stage, HandStage) else stage.takes)
    return fsum(takes)
