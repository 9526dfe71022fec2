"""Problems of a busy day, said with the numbers and the cheapest remedy."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from kitdocs.planning.day.bookings import OverbookedError
from kitdocs.planning.day.instants import DAY, seconds
from kitdocs.planning.day.items import Takings
from kitdocs.planning.day.par import Par
from kitdocs.planning.day.turnaround import StageDay
from kitdocs.practice.message import Share, message
from kitdocs.practice.model import Practice
from kitdocs.practice.numbers import hours_and_minutes
from kitdocs.practice.problems import Problem
from kitdocs.practice.room import HandStage, MachineStage
from kitdocs.practice.rules.looking import error, warning
from kitdocs.practice.values import clock_text, share_text


def cannot_be_booked(practice: Practice, days: Sequence[OverbookedError], of: int) -> Problem:
    """Report the days on which the visits do not fit the chairs."""
    fullest = max(days, key=lambda day: day.booked)
    name = practice.procedures[fullest.procedure].name
    return error(
        practice,
        "day-cannot-be-booked",
        ("procedures", fullest.procedure, "per_day"),
        f"on {len(days):,} of {of:,} busy days the visits do not fit the chairs: on the fullest, "
        f"{fullest.booked:,.0f} chair-minutes are booked, {fullest.available:,.0f} are available, and a visit "
        f"for '{name}' finds no chair with {practice.procedures[fullest.procedure].minutes:g} minutes left "
        "before the break or closing",
        f"plan fewer or shorter visits, or let more chairs do '{fullest.procedure}'",
    )


def cannot_pass(practice: Practice) -> list[Problem]:
    """Machine stages whose capacity does not name the size of something that has to pass."""
    takings = Takings(practice)
    kinds = [takings.kinds[n] for n in sorted(takings.in_use())]
    return [
        error(
            practice,
            "stage-never-finishes",
            ("room", "stages", id_, "capacity"),
            f"'{id_}' does not say how many '{size}' a load holds, and '{first.id}' has to pass it",
            f"add '{size}' to its capacity",
        )
        for id_, stage in practice.room.stages.items()
        if isinstance(stage, MachineStage)
        for size, first in {kind.size: kind for kind in reversed(kinds) if practice.passes(kind.id, id_)}.items()
        if size not in stage.capacity
    ]


def day_too_long(practice: Practice, ends: int, stages: Iterable[StageDay]) -> Iterator[Problem]:
    """Reprocessing that is not done when the practice opens the next day; `ends` at the service level."""
    opens = seconds(practice.settings.day.opens) + DAY
    if ends <= opens:
        return
    bottleneck = max(stages, key=lambda stage: stage.work_per_unit)
    stage = practice.room.stages[bottleneck.id]
    what = "person" if isinstance(stage, HandStage) else "machine"
    yield error(
        practice,
        "reprocessing-not-finished",
        ("room", "stages", bottleneck.id),
        f"on a busy day reprocessing ends at {clock_text(ends / 60)} (not later on "
        f"{share_text(practice.settings.service)} of days), after the practice opens again at "
        f"{clock_text(opens / 60)}; the bottleneck is '{bottleneck.id}', which works "
        f"{hours_and_minutes(bottleneck.work_per_unit)} a day for each {what}",
        f"one {what} more at '{bottleneck.id}', a shorter way through it, or fewer visits",
    )


def par_too_small(practice: Practice, par: Par) -> Iterator[Problem]:
    """Warn of a number written for a drawer that a busy day uses up."""
    if par.written is None or par.written >= par.computed:
        return
    yield warning(
        practice,
        "drawer-runs-out",
        ("chairs", par.chair, "drawer", par.pouch),
        message(
            "figures.warning.drawer-runs-out.message",
            written=par.written,
            service=Share(practice.settings.service),
            computed=par.computed,
        ),
        message("figures.warning.drawer-runs-out.remedy", computed=par.computed),
    )
