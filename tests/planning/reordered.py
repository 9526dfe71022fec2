"""The same practice, written otherwise: its records and everything in them in another order."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from random import Random
from types import MappingProxyType
from typing import Any, TypeVar

from kitdocs.practice.model import Practice
from kitdocs.practice.room import MachineStage

K = TypeVar("K")
V = TypeVar("V")


def reordered(practice: Practice, random: Random) -> Practice:
    """Every file in another order, and every list and table in a record; only stages are where they were."""

    def mixed(things: Mapping[K, V]) -> Mapping[K, V]:
        return MappingProxyType(dict(random.sample(list(things.items()), len(things))))

    def row(things: tuple[V, ...]) -> tuple[V, ...]:
        return tuple(random.sample(things, len(things)))

    def each(records: Mapping[str, Any], changes: Callable[[Any], dict[str, Any]]) -> Mapping[str, Any]:
        return mixed({id_: record.model_copy(update=changes(record)) for id_, record in records.items()})

    stages = {
        id_: stage.model_copy(update={"capacity": mixed(stage.capacity)}) if isinstance(stage, MachineStage) else stage
        for id_, stage in practice.room.stages.items()
    }
    tables = ("people", "sheets", "pouch_sizes", "maintenance", "drawers", "shelves")
    room = {name: mixed(getattr(practice.room, name)) for name in tables}
    return replace(
        practice,
        chairs=each(practice.chairs, lambda chair: {"drawer": mixed(chair.drawer)}),
        instruments=each(practice.instruments, lambda one: {"skips": row(one.skips), "also": row(one.also)}),
        cassettes=mixed(practice.cassettes),
        sets=each(practice.sets, lambda kit: {"contents": row(kit.contents)}),
        pouches=each(practice.pouches, lambda pouch: {"contents": row(pouch.contents)}),
        procedures=each(
            practice.procedures,
            lambda p: {"add_ons": mixed(p.add_ons), "needs": mixed(p.needs), "chairs": row(p.chairs)},
        ),
        room=practice.room.model_copy(update={**room, "stages": MappingProxyType(stages)}),
        stock=mixed(practice.stock),
        pages=row(practice.pages),
        schedule=row(practice.schedule),
    )
