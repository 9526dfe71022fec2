"""Full loads of a machine, as a table that a technician can read.

The room for one load is one whole; a kind of which `capacity` fill a load takes 1/capacity of it. Whatever
mix adds up to no more than one fits. All sums are exact.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, islice

from kitdocs.planning.figure import Figure, stated
from kitdocs.practice.message import message
from kitdocs.practice.model import Practice
from kitdocs.practice.room import MachineStage, machines

#: More rows than this are not read at a bench. Common practice, no source.
MOST_ROWS = 12

Mix = Mapping[str, int]
"""How many of each kind."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadRow:
    """One load: so many of each cassette, and then still so many of *one* of the pouch sizes."""

    cassettes: Mix
    pouches: Mix


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadGuide:
    """What fits in one load of a machine."""

    stage: str
    points: Mapping[str, int]
    """What one of each kind takes, in points: an exact rule for the mixes that no row shows."""
    points_in_a_load: int
    full_of_cassettes: tuple[LoadRow, ...]
    """Mixes of cassettes to which no further cassette can be added; of too many, some of one or two kinds."""
    cassettes_and_pouches: tuple[LoadRow, ...]
    """So many of one kind of cassette, none first, with the pouches that fit beside them."""

    def room_beside(self, mix: Mix) -> dict[str, int] | None:
        """Return how many of each kind, taken alone, fit beside a mix; None where the mix itself does not fit."""
        if not mix.keys() <= self.points.keys():
            return None
        left = self.points_in_a_load - sum(self.points[kind] * count for kind, count in mix.items())
        return None if left < 0 else {kind: left // each for kind, each in self.points.items()}


def points(capacities: Mapping[str, int]) -> tuple[dict[str, int], int]:
    """Return the points that one of each kind takes, and the points of a whole load: the fewest that are exact."""
    whole = math.lcm(*capacities.values())
    return {kind: whole // capacity for kind, capacity in capacities.items()}, whole


def maximal_mixes(capacities: Mapping[str, int]) -> Iterator[dict[str, int]]:
    """Yield every mix with Σ count/capacity ≤ 1 to which nothing can be added, kinds in the order given.

    Most of the first kind first. Their number grows fast with the number of kinds.
    """
    if not capacities:
        return
    each, whole = points(capacities)
    least = min(each.values())
    for counts in _counts(tuple(each.values()), whole, least):
        yield dict(zip(capacities, counts, strict=True))


def _counts(each: Sequence[int], left: int, least: int) -> Iterator[tuple[int, ...]]:
    """Yield counts whose points leave less than `least` of `left`."""
    first, rest = each[0], each[1:]
    most = left // first
    if not rest:
        if left - most * first < least:
            yield (most,)
        return
    for count in range(most, -1, -1):
        for others in _counts(rest, left - count * first, least):
            yield (count, *others)


def load_guide(practice: Practice, stage_id: str) -> LoadGuide:
    """Return the guide for a machine stage, with the cassettes and sizes of the sets and pouches that pass it."""
    stage = practice.room.stages[stage_id]
    if not isinstance(stage, MachineStage):
        raise ValueError(f"'{stage_id}' is not a machine")
    cassettes, pouches = _kinds(practice, stage_id, stage)
    each, whole = points({**cassettes, **pouches}) if cassettes or pouches else ({}, 0)

    def rows(mixes: Iterable[Mix]) -> tuple[LoadRow, ...]:
        return tuple(LoadRow(cassettes=mix, pouches=_beside(mix, pouches, each, whole)) for mix in mixes)

    return LoadGuide(
        stage=stage_id,
        points=each,
        points_in_a_load=whole,
        full_of_cassettes=rows(_full_of_cassettes(cassettes, each, whole)),
        cassettes_and_pouches=rows(_of_one_kind(cassettes)) if pouches else (),
    )


def load_guides(practice: Practice) -> tuple[LoadGuide, ...]:
    """Return the guides of all machine stages, in the order of room.yaml."""
    return tuple(load_guide(practice, stage) for stage in machines(practice.room.stages))


def load_figures(practice: Practice) -> tuple[Figure, ...]:
    """What one of each kind takes of a load."""
    return tuple(
        _figure(practice, guide, kind, each) for guide in load_guides(practice) for kind, each in guide.points.items()
    )


def _kinds(practice: Practice, stage_id: str, stage: MachineStage) -> tuple[dict[str, int], dict[str, int]]:
    """Return the capacities of the cassettes and the pouch sizes that pass, each largest first."""
    cassettes = {kit.cassette for id_, kit in practice.sets.items() if practice.passes(id_, stage_id)}
    sizes = {pouch.size for id_, pouch in practice.pouches.items() if practice.passes(id_, stage_id)}
    by_size = sorted(stage.capacity.items(), key=lambda item: item[1])
    return {k: n for k, n in by_size if k in cassettes}, {k: n for k, n in by_size if k in sizes}


def _full_of_cassettes(cassettes: Mapping[str, int], each: Mapping[str, int], whole: int) -> list[dict[str, int]]:
    mixes = list(islice(maximal_mixes(cassettes), MOST_ROWS + 1))
    return mixes if len(mixes) <= MOST_ROWS else _spread(list(_mixes_of_two(cassettes, each, whole)), MOST_ROWS)


def _mixes_of_two(cassettes: Mapping[str, int], each: Mapping[str, int], whole: int) -> Iterator[dict[str, int]]:
    """Yield full mixes of one or two kinds, each once."""
    least = min(each[kind] for kind in cassettes)
    seen: set[tuple[int, ...]] = set()
    for one, other in combinations(cassettes, 2):
        for mix in maximal_mixes({one: cassettes[one], other: cassettes[other]}):
            full = dict.fromkeys(cassettes, 0) | mix
            left = whole - sum(each[kind] * count for kind, count in mix.items())
            if left < least and tuple(full.values()) not in seen:
                seen.add(tuple(full.values()))
                yield full


def _spread(mixes: Sequence[dict[str, int]], most: int) -> list[dict[str, int]]:
    """Return at most so many of the mixes, the first and the last among them, evenly taken."""
    if len(mixes) <= most:
        return list(mixes)
    return [mixes[round(i * (len(mixes) - 1) / (most - 1))] for i in range(most)]


def _of_one_kind(cassettes: Mapping[str, int]) -> list[dict[str, int]]:
    """Return none, and so many of one kind of cassette as leave room for a pouch."""
    mixes = [dict.fromkeys(cassettes, 0)]
    for kind, capacity in cassettes.items():
        mixes += [dict.fromkeys(cassettes, 0) | {kind: count} for count in range(1, capacity)]
    return _spread(mixes, MOST_ROWS)


def _beside(mix: Mix, pouches: Mapping[str, int], each: Mapping[str, int], whole: int) -> dict[str, int]:
    """Return how many of each pouch size, taken alone, fit beside a mix of cassettes."""
    left = whole - sum(each[kind] * count for kind, count in mix.items())
    return {size: left // each[size] for size in pouches}


def _figure(practice: Practice, guide: LoadGuide, kind: str, each: int) -> Figure:
    stage = machines(practice.room.stages)[guide.stage]
    capacity = stage.capacity[kind]
    name = (practice.cassettes.get(kind) or practice.room.pouch_sizes[kind]).name
    whole, path = guide.points_in_a_load, ("room", "stages", guide.stage, "capacity", kind)
    return Figure(
        id=f"loads.{guide.stage}.{kind}",
        name=message("figures.points.name", kind=name, stage=stage.name),
        value=each,
        unit=message("figures.unit.points", whole=whole),
        why=message("figures.points.why", capacity=capacity, whole=whole, points=each),
        inputs=(stated(practice, "capacity", capacity, path, kind=name),),
        section="loads",
    )
