"""The reprocessing room: the way runs from dirty to clean, everything passes, metals get on, the day is one."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.practice.draft import Draft
from kitdocs.practice.kinds import AREAS
from kitdocs.practice.locations import Path
from kitdocs.practice.message import Clock, message
from kitdocs.practice.model import passes
from kitdocs.practice.problems import Problem
from kitdocs.practice.room import MachineStage, machines
from kitdocs.practice.rules.looking import ANY, Values, error, ids, warning, whole

#: A restocking this long before opening or after closing is taken for a slip. Common practice, no source.
_AROUND_THE_DAY = 120

_NOBLER = ("steel", "carbide-tipped", "titanium")


def the_day_is_one(practice: Draft) -> Iterator[Problem]:
    """Opening before closing, the pause inside."""
    day = practice.settings.day
    if not day:
        return
    opens, closes, pause = Clock(day.opens), Clock(day.closes), day.pause
    if day.closes <= day.opens:
        yield error(practice, "day.closes", ("practice", "day", "closes"), closes=closes, opens=opens)
    if not pause:
        return
    path = ("practice", "day", "pause")
    if pause.end <= pause.start:
        yield error(practice, "day.pause-ends", (*path, "end"), end=Clock(pause.end), start=Clock(pause.start))
    elif day.opens < day.closes and (pause.start < day.opens or pause.end > day.closes):
        yield error(practice, "day.pause", path, opens=opens, closes=closes)


def visits_fit_the_day(practice: Draft) -> Iterator[Problem]:
    """A procedure is no longer than the longest stretch of the day without a pause."""
    day = practice.settings.day
    if not (day and whole(practice, "practice", "day", ANY)):
        return
    cuts = [day.opens, *((day.pause.start, day.pause.end) if day.pause else ()), day.closes]
    longest = max(end - start for start, end in zip(cuts[::2], cuts[1::2], strict=True))
    for id_, procedure in practice.procedures.items():
        if procedure.minutes > longest:
            path = ("procedures", id_, "minutes")
            yield error(practice, "no-chair.minutes", path, minutes=procedure.minutes, longest=longest)


def restocking_times_are_plausible(practice: Draft) -> Iterator[Problem]:
    """Restocking times run forward, and lie near the working day."""
    day, times = practice.settings.day, practice.room.restock or ()
    for index, time in enumerate(times):
        path: Path = ("room", "restock", index)
        if index and time <= times[index - 1]:
            yield error(practice, "restock", path, time=Clock(time), before=Clock(times[index - 1]))
        elif (
            day and day.opens < day.closes and not (day.opens - _AROUND_THE_DAY <= time <= day.closes + _AROUND_THE_DAY)
        ):
            values: Values = {"time": Clock(time), "opens": Clock(day.opens), "closes": Clock(day.closes)}
            remedy = message("problems.half-of-the-day")
            yield warning(practice, "problems.restock", path, remedy=remedy, **values)


def stages_run_from_dirty_to_clean(practice: Draft) -> Iterator[Problem]:
    """No stage goes back to an area that the instruments have left."""
    furthest = ""
    for id_, stage in practice.room.stages.items():
        if stage.area not in AREAS:
            continue
        if furthest and AREAS.index(stage.area) < AREAS.index(furthest):
            values: Values = {"area": stage.area, "furthest": furthest, "areas": ", ".join(AREAS)}
            yield error(practice, "area-order", ("room", "stages", id_, "area"), **values)
        else:
            furthest = stage.area


def every_area_has_a_stage(practice: Draft) -> Iterator[Problem]:
    """The room has all four areas."""
    present = {stage.area for stage in practice.room.stages.values()}
    for area in AREAS:
        if area not in present and whole(practice, "room", "stages"):
            values: Values = {"area": area, "areas": ", ".join(AREAS)}
            yield warning(practice, "problems.no-area", ("room", "stages"), at_key=True, **values)


def everything_passes_every_machine(practice: Draft) -> Iterator[Problem]:
    """Each cassette and pouch size that passes a machine has a stated capacity there."""
    known = ids(practice, "cassettes") | ids(practice, "room", "pouch_sizes")
    for machine, stage in machines(practice.room.stages).items():
        used: dict[str, str] = {}
        for id_, set_ in practice.sets.items():
            if passes(practice.instruments, set_.contents, machine, stage):
                used.setdefault(set_.cassette, f"the set '{id_}'")
        for id_, pouch in practice.pouches.items():
            if passes(practice.instruments, pouch.contents, machine, stage):
                used.setdefault(pouch.size, f"the pouch '{id_}'")
        for size, user in sorted(used.items()):
            path: Path = ("room", "stages", machine, "capacity")
            if size in known and size not in stage.capacity and whole(practice, *path):
                yield error(practice, "no-capacity", path, at_key=True, size=size, user=user)


def aluminium_is_cleaned_apart(practice: Draft) -> Iterator[Problem]:
    """No aluminium shares a cleaning bath with steel, carbide tips or titanium.

    Aluminium is the less noble metal of each such pair and is eaten away. Source: the galvanic series
    in MIL-STD-889B, where aluminium stands before every stainless grade.
    """
    for machine, stage in machines(practice.room.stages, "receiving").items():
        metals = _metals(practice, machine, stage)
        nobler = next((path for path, metal in metals.items() if metal in _NOBLER), None)
        for path, metal in metals.items():
            if metal == "aluminium" and nobler:
                values: Values = {"stage": machine, "other": nobler[1], "metal": metals[nobler]}
                yield error(practice, "aluminium", (*path, "material"), **values)


def _metals(practice: Draft, machine: str, stage: MachineStage) -> dict[tuple[str, str], str]:
    """The material of each instrument and cassette that passes a stage."""
    passing: list[tuple[str, str]] = []
    for set_ in practice.sets.values():
        if set_.cassette in stage.capacity and passes(practice.instruments, set_.contents, machine, stage):
            passing += [("cassettes", set_.cassette), *(("instruments", i) for i in set_.contents)]
    for pouch in practice.pouches.values():
        if pouch.size in stage.capacity and passes(practice.instruments, pouch.contents, machine, stage):
            passing += [("instruments", i) for i in pouch.contents]
    materials = {("cassettes", id_): cassette.material for id_, cassette in practice.cassettes.items()} | {
        ("instruments", id_): instrument.material for id_, instrument in practice.instruments.items()
    }
    return {path: materials[path] for path in passing if path in materials}
