"""A load of cassettes and pouches as it can stand in its chamber, with what still fits beside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kitdocs.planning.measures.chamber_places import ChamberPlace, chamber_places
from kitdocs.planning.measures.loads import LoadGuide, Mix
from kitdocs.planning.measures.storage import pack_thickness
from kitdocs.practice.model import Practice
from kitdocs.practice.record import Box
from kitdocs.practice.room import machines


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadInChamber:
    """Where each pack of a load stands, and the free places of one kind beside them: as many as still fit."""

    loaded: Mapping[str, tuple[ChamberPlace, ...]]
    free: Mapping[str, tuple[ChamberPlace, ...]]
    """Of the largest kind that still fits and has its places there; empty when the load is full."""


def load_in_chamber(practice: Practice, guide: LoadGuide, mix: Mix, *, packed: bool) -> LoadInChamber | None:
    """Return a load of a guide in its chamber; None where no chamber is stated, or no way is found to stand it there.

    Before packing (`packed`) there is no pouch yet that could stand anywhere.
    """
    chamber = machines(practice.room.stages)[guide.stage].chamber
    room = guide.room_beside(mix)
    if chamber is None or room is None:
        return None
    fitting = [kind for kind, count in room.items() if count and (packed or kind in practice.cassettes)]
    tries: list[dict[str, int]] = [{kind: room[kind]} for kind in fitting] or [{}]
    for more in tries:
        kinds = [one for one in guide.points if mix.get(one, 0) or one in more]
        counts = [mix.get(one, 0) + more.get(one, 0) for one in kinds]
        boxes = [_box(practice, guide.stage, one) for one in kinds]
        if places := chamber_places(list(zip(boxes, counts, strict=True)), chamber):
            standing = {one: tuple(place for place in places if place.kind == n) for n, one in enumerate(kinds)}
            return LoadInChamber(
                loaded={one: standing[one][: mix[one]] for one in kinds if mix.get(one, 0)},
                free={one: standing[one][mix.get(one, 0) :] for one in more},
            )
    return None


def _box(practice: Practice, stage: str, kind: str) -> Box:
    """Return the measures of a cassette, bare, or of the thickest pouch of a size that passes a stage."""
    if kind in practice.cassettes:
        return practice.cassettes[kind].outside
    size = practice.room.pouch_sizes[kind]
    pouches = (id_ for id_, pouch in practice.pouches.items() if pouch.size == kind and practice.passes(id_, stage))
    thickness = max(pack_thickness(practice, id_) for id_ in pouches)
    return Box.model_construct(length=size.length, width=size.width, height=thickness)
