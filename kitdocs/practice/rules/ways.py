"""The ways of sets and pouches through the room: a pack stays together, and none leaves the room unsterilized."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kitdocs.practice.draft import Draft
from kitdocs.practice.locations import Path
from kitdocs.practice.model import passes
from kitdocs.practice.problems import Problem, nearest
from kitdocs.practice.room import machines
from kitdocs.practice.rules.looking import ANY, Values, error, ids, warning, whole


def listed_stages_are_named(practice: Draft) -> Iterator[Problem]:
    """`also` names stages that are for listed instruments only, and each of those is named by one."""
    stages = practice.room.stages
    for id_, instrument in practice.instruments.items():
        for index, stage in enumerate(instrument.also):
            if stage in stages and not stages[stage].only_listed:
                path = ("instruments", id_, "also", index)
                yield error(practice, "passes-anyway", path, stage=stage, instrument=id_)
    if whole(practice, "instruments", ANY, "also") and not _unread(practice, "instruments"):
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
    if not sterilizers or not whole(practice, "room", "stages"):
        return
    for path, contents in _packs(practice).items():
        if not any(passes(practice.instruments, contents, id_, stage) for id_, stage in sterilizers.items()):
            listed = " and ".join(f"'{id_}'" for id_ in sterilizers)
            yield error(practice, "not-sterilized", path, at_key=True, sterilizers=listed)


def maintenance_is_of_known_stages(practice: Draft) -> Iterator[Problem]:
    """A maintenance task names a stage of the room, or none."""
    known = ids(practice, "room", "stages")
    for id_, task in practice.room.read.get("maintenance", {}).items():
        if task.stage is not None and task.stage not in known and whole(practice, "room", "stages"):
            path: Path = ("room", "maintenance", id_, "stage")
            yield error(practice, "unknown-id.stage", path, id=task.stage, nearest=nearest(task.stage, known))


def _packs(practice: Draft) -> Mapping[tuple[str, str], tuple[str, ...]]:
    """The contents of every set and pouch that was read whole, by path."""
    sets: dict[tuple[str, str], tuple[str, ...]] = {("sets", id_): kit.contents for id_, kit in practice.sets.items()}
    return sets | {("pouches", id_): pouch.contents for id_, pouch in practice.pouches.items()}


def _unread(practice: Draft, stem: str) -> bool:
    """Whether a file, or a record in it, could not be read."""
    return any(path[0] == stem for path in practice.broken)
