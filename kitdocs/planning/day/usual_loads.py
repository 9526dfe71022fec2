"""Which cassettes and pouches go into a machine together, and how often."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from kitdocs.planning.day.flow import DayFlow
from kitdocs.planning.day.items import ItemKind
from kitdocs.practice.model import Practice
from kitdocs.practice.room import machines

#: So many are kept of each machine. A machine that is smaller than another of its stage cannot take them all.
_KEPT = 12

_Sizes = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualLoad:
    """So many cassettes of each size that went in together, whatever pouches lay beside them."""

    cassettes: Mapping[str, int]
    share: float
    """Of all loads of the stage."""
    pouches: Mapping[str, int] = field(default_factory=dict)
    """The pouches that lay beside these cassettes most often."""


class LoadTally:
    """Counts, day by day, the cassettes and pouches in each load of each machine stage."""

    def __init__(self, practice: Practice, kinds: Sequence[ItemKind]) -> None:
        ids = list(practice.room.stages)
        self._stages = {ids.index(id_): id_ for id_ in machines(practice.room.stages)}
        self._sizes = [(not kind.in_cassette, kind.size) for kind in kinds]
        self._seen: dict[int, Counter[tuple[_Sizes, _Sizes]]] = {n: Counter() for n in self._stages}

    def add(self, day: DayFlow) -> None:
        sizes, in_room = self._sizes, day.in_room
        for n, seen in self._seen.items():
            stay = day.stays[n]
            for load in stay.loads:
                loaded = sorted(sizes[in_room[item]] for item in stay.loaded[load.first : load.end])
                cassettes = sum(not is_pouch for is_pouch, _ in loaded)
                together = tuple(size for _, size in loaded)
                seen[together[:cassettes], together[cassettes:]] += 1

    def result(self) -> dict[str, tuple[UsualLoad, ...]]:
        """Return the most frequent, by stage, most frequent first; those without a cassette are left out."""
        return {id_: tuple(self._usual(self._seen[n])) for n, id_ in self._stages.items()}

    @staticmethod
    def _usual(seen: Counter[tuple[_Sizes, _Sizes]]) -> list[UsualLoad]:
        beside: defaultdict[_Sizes, Counter[_Sizes]] = defaultdict(Counter)
        for (cassettes, pouches), times in seen.items():
            beside[cassettes][pouches] += times
        mixes = ((mix, pouches) for mix, pouches in beside.items() if mix)
        often = sorted(mixes, key=lambda one: (-one[1].total(), one[0]))
        loads = seen.total()
        return [
            UsualLoad(
                cassettes=dict(Counter(mix)),
                share=pouches.total() / loads,
                pouches=dict(Counter(min(pouches.items(), key=lambda one: (-one[1], one[0]))[0])),
            )
            for mix, pouches in often[:_KEPT]
        ]
