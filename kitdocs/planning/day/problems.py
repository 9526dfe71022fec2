"""Problems of a busy day, said with the numbers and the cheapest remedy."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from kitdocs.planning.day.book import OverbookedError
from kitdocs.planning.day.evening import Nights
from kitdocs.planning.day.instants import DAY, seconds
from kitdocs.planning.day.items import Takings
from kitdocs.planning.day.par import DrawerSlot
from kitdocs.planning.day.promise import Chosen
from kitdocs.planning.day.turnaround import StageDay
from kitdocs.practice.message import Share
from kitdocs.practice.model import Practice
from kitdocs.practice.numbers import hours_and_minutes
from kitdocs.practice.problems import Problem
from kitdocs.practice.room import machines
from kitdocs.practice.rules.looking import Values, error, warning
from kitdocs.practice.values import clock_text, share_text


def cannot_be_booked(practice: Practice, days: Sequence[OverbookedError], drawn: int) -> Problem:
    """Report the days, of so many `drawn`, on which the visits do not fit the chairs."""
    fullest = max(days, key=lambda day: day.booked)
    path = ("procedures", fullest.procedure)
    procedure = practice.procedures[fullest.procedure]
    values: Values = {
        "days": len(days),
        "drawn": drawn,
        "fullest": fullest,
        "procedure": procedure,
        "id": fullest.procedure,
    }
    if procedure.when is not None:
        return error(practice, "day-cannot-be-booked.when", (*path, "when"), **values)
    return error(practice, "day-cannot-be-booked.any-time", (*path, "per_day"), **values)


def cannot_pass(practice: Practice, takings: Takings) -> list[Problem]:
    """Machine stages whose capacity does not name the size of something that has to pass."""
    kinds = [takings.kinds[n] for n in sorted(takings.could_be_taken())]
    return [
        error(
            practice,
            "stage-never-finishes",
            ("room", "stages", id_, "capacity"),
            stage=id_,
            size=size,
            first=first.id,
        )
        for id_, stage in machines(practice.room.stages).items()
        for size, first in {kind.size: kind for kind in reversed(kinds) if practice.passes(kind.id, id_)}.items()
        if size not in stage.capacity
    ]


def day_too_long(practice: Practice, ends: int, stages: Iterable[StageDay]) -> Iterator[Problem]:
    """Reprocessing that is not done when the practice opens the next day; `ends` at the service level."""
    opens = seconds(practice.settings.day.opens) + DAY
    if ends <= opens:
        return
    bottleneck = max(stages, key=lambda stage: stage.work_per_unit)
    yield error(
        practice,
        "reprocessing-not-finished",
        ("room", "stages", bottleneck.id),
        ends=clock_text(ends / 60),
        service=share_text(practice.settings.service),
        opens=clock_text(opens / 60),
        stage=bottleneck.id,
        work=hours_and_minutes(bottleneck.work_per_unit),
        unit="person" if bottleneck.kind == "hand" else "machine",
    )


def never_caught_up(practice: Practice, stage: int) -> Problem:
    """Report a room that is left with more every evening; most waits at `stage`, by its number."""
    waiting = list(practice.room.stages)[stage]
    return error(practice, "room-never-catches-up", ("room", "stages", waiting), stage=waiting)


def left_again(practice: Practice, nights: Nights | None) -> Iterator[Problem]:
    """Report what waits a second night on more days than the service level leaves."""
    service = practice.settings.service
    if nights and nights.second > 1 - service:
        stage = max(practice.room.stages, key=lambda id_: nights.waiting_at.get(id_, 0.0))
        path = ("room", "stages", stage)
        yield error(practice, "left-a-second-night", path, share=share_text(round(nights.second, 2)), stage=stage)


def drawers_run_out(practice: Practice, chosen: Chosen[DrawerSlot]) -> Iterator[Problem]:
    """Warn of each number written for a drawer that is below the computed one, where the promise is not kept."""
    if chosen.kept.share >= chosen.asked - 1e-9:
        return
    for place, kind in chosen.needs.kinds.items():
        if kind.written is not None and kind.written < chosen.computed[place]:
            values: Values = {
                "written": kind.written,
                "kept": Share(chosen.kept.share),
                "service": Share(chosen.asked),
                "computed": chosen.computed[place],
            }
            yield warning(
                practice, "figures.warning.drawer-runs-out", ("chairs", place[0], "drawer", place[1]), **values
            )
