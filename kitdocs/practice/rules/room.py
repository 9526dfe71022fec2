"""The reprocessing room, and the ways of sets and pouches through it: from dirty to clean, together, and sterilized."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kitdocs.practice.draft import Draft
from kitdocs.practice.kinds import AREAS
from kitdocs.practice.locations import Path
from kitdocs.practice.model import passes
from kitdocs.practice.problems import Problem, nearest
from kitdocs.practice.room import MachineStage, machines
from kitdocs.practice.rules.looking import ANY, Values, error, ids, warning

NOBLER = ("steel", "carbide-tipped", "titanium")


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
        if area not in present and practice.is_whole("room", "stages"):
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
            if size in known and size not in stage.capacity and practice.is_whole(*path):
                yield error(practice, "no-capacity", path, at_key=True, size=size, user=user)


def aluminium_is_cleaned_apart(practice: Draft) -> Iterator[Problem]:
    """No aluminium shares a cleaning bath with steel, carbide tips or titanium.

    Aluminium is the less noble metal of each such pair and is eaten away. Source: the galvanic series
    in MIL-STD-889B, where aluminium stands before every stainless grade.
    """
    for machine, stage in machines(practice.room.stages, "receiving").items():
        metals = _metals(practice, machine, stage)
        nobler = next((path for path, metal in metals.items() if metal in NOBLER), None)
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


def listed_stages_are_named(practice: Draft) -> Iterator[Problem]:
    """`also` names stages that are for listed instruments only, and each of those is named by one."""
    stages = practice.room.stages
    for id_, instrument in practice.instruments.items():
        for index, stage in enumerate(instrument.also):
            if stage in stages and not stages[stage].only_listed:
                path = ("instruments", id_, "also", index)
                yield error(practice, "passes-anyway", path, stage=stage, instrument=id_)
    if practice.is_whole("instruments", ANY, "also") and not practice.has_broken("instruments"):
        named = {stage for instrument in practice.instruments.values() for stage in instrument.also}
        for stage in (id_ for id_, stage in stages.items() if stage.only_listed and id_ not in named):
            yield warning(practice, "problems.unused-stage", ("room", "stages", stage), at_key=True, stage=stage)


def packs_stay_together(practice: Draft) -> Iterator[Problem]:
    """The contents of one set or pouch pass the same stages: nothing is taken out and put back on the way."""
    for path, contents in _packs(practice).items():
        for stage in practice.room.stages:
            if passes(practice.instruments, contents, stage, practice.room.stages[stage]):
                yield from _parted(practice, path, contents, stage)


def _parted(practice: Draft, path: tuple[str, str], contents: tuple[str, ...], stage: str) -> Iterator[Problem]:
    """Whoever in a pack must not pass a stage that the pack passes."""
    kind = {"sets": "set", "pouches": "pouch"}[path[0]]
    for index, id_ in enumerate(contents):
        instrument = practice.instruments.get(id_)
        if instrument and stage in instrument.skips:
            known = {i: practice.instruments[i] for i in contents if i in practice.instruments}
            other = next((i for i, record in known.items() if stage not in record.skips), id_)
            values: Values = {"instrument": id_, "stage": stage, "other": other, "pack": kind}
            yield error(practice, "cannot-stay-together", (*path, "contents", index), **values)


def packs_are_sterilized(practice: Draft) -> Iterator[Problem]:
    """Every set and pouch passes a machine of the area sterilization, where the room has one."""
    sterilizers = machines(practice.room.stages, "sterilization")
    if not sterilizers or not practice.is_whole("room", "stages"):
        return
    for path, contents in _packs(practice).items():
        if not any(passes(practice.instruments, contents, id_, stage) for id_, stage in sterilizers.items()):
            listed = " and ".join(f"'{id_}'" for id_ in sterilizers)
            yield error(practice, "not-sterilized", path, at_key=True, sterilizers=listed)


def maintenance_is_of_known_stages(practice: Draft) -> Iterator[Problem]:
    """A maintenance task names a stage of the room, or none."""
    known = ids(practice, "room", "stages")
    for id_, task in practice.room.read.get("maintenance", {}).items():
        if task.stage is not None and task.stage not in known and practice.is_whole("room", "stages"):
            path: Path = ("room", "maintenance", id_, "stage")
            yield error(practice, "unknown-id.stage", path, id=task.stage, nearest=nearest(task.stage, known))


def candidates_are_of_what_is_there(practice: Draft) -> Iterator[Problem]:
    """A candidate names a stage or one of the people of the room."""
    for id_, candidate in practice.room.read.get("candidates", {}).items():
        for field, named in (("stage", candidate.stage), ("person", candidate.person)):
            table = {"stage": "stages", "person": "people"}[field]
            known = ids(practice, "room", table)
            if named is not None and named not in known and practice.is_whole("room", table):
                path: Path = ("room", "candidates", id_, field)
                yield error(practice, f"unknown-id.{field}", path, id=named, nearest=nearest(named, known))


def _packs(practice: Draft) -> Mapping[tuple[str, str], tuple[str, ...]]:
    """The contents of every set and pouch that was read whole, by path."""
    sets: dict[tuple[str, str], tuple[str, ...]] = {("sets", id_): kit.contents for id_, kit in practice.sets.items()}
    return sets | {("pouches", id_): pouch.contents for id_, pouch in practice.pouches.items()}
