"""Which cassettes go into a machine together, and how often."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kitdocs.planning.day.flow import DayFlow
from kitdocs.planning.day.items import ItemKind
from kitdocs.practice.model import Practice
from kitdocs.practice.room import machines

#: So many are kept of each machine. A machine that is smaller than another of its stage cannot take them all.
_KEPT = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualLoad:
    """So many cassettes of each size that went in together, whatever pouches lay beside them."""

    cassettes: Mapping[str, int]
    share: float
    """Of all loads of the stage."""


class LoadTally:
    """Counts, day by day, the cassettes in each load of each machine stage."""

    def __init__(self, practice: Practice, kinds: Sequence[ItemKind]) -> None:
        ids = list(practice.room.stages)
        self._stages = {ids.index(id_): id_ for id_ in machines(practice.room.stages)}
        self._sizes = {n: kind.size for n, kind in enumerate(kinds) if kind.in_cassette}
        self._seen: dict[int, Counter[tuple[str, ...]]] = {n: Counter() for n in self._stages}

    def add(self, day: DayFlow) -> None:
        sizes, in_room = self._sizes, day.in_room
        for n, seen in self._seen.items():
            stay = day.stays[n]
            for load in stay.loads:
                kinds = [in_room[item] for item in stay.loaded[load.first : load.end]]
                seen[tuple(sorted([sizes[kind] for kind in kinds if kind in sizes]))] += 1

    def result(self) -> dict[str, tuple[UsualLoad, ...]]:
        """Return the most frequent, by stage, most frequent first; those without a cassette are left out."""
        return {id_: tuple(self._usual(self._seen[n])) for n, id_ in self._stages.items()}

    @staticmethod
    def _usual(seen: Counter[tuple[str, ...]]) -> list[UsualLoad]:
        often = sorted(((mix, times) for mix, times in seen.items() if mix), key=lambda one: (-one[1], one[0]))
        loads = seen.total()
        return [UsualLoad(cassettes=dict(Counter(mix)), share=times / loads) for mix, times in often[:_KEPT]]
