"""Loads with implant-related packs: each carries a spore test and is held back until the test is read.

SOURCES: CDC 2003, part VI.F.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kitdocs.planning.day.flow import DayFlow
from kitdocs.planning.day.items import ItemKind
from kitdocs.practice.model import Practice


@dataclass(frozen=True, slots=True, kw_only=True)
class ImplantLoads:
    """Loads of all sterilizers with an implant-related pack in them."""

    per_day: float
    days: float
    """The share of days that have one."""


class ImplantTally:
    """Counts, day by day, the loads with an implant-related pack."""

    def __init__(self, practice: Practice, kinds: Sequence[ItemKind]) -> None:
        self._kinds = frozenset(n for n, kind in enumerate(kinds) if practice.is_implant_related(kind.id))
        self._stages = [n for n, id_ in enumerate(practice.room.stages) if id_ in practice.room.sterilizers]
        self._loads = self._with_load = self._days = 0

    def add(self, day: DayFlow) -> None:
        self._days += 1
        loads = self._loads_of(day) if self._kinds else 0
        self._loads += loads
        self._with_load += loads > 0

    def _loads_of(self, day: DayFlow) -> int:
        kind = day.items.kind
        return sum(
            any(kind[item] in self._kinds for item in day.stays[stage].queue[load.first : load.end])
            for stage in self._stages
            for load in day.stays[stage].loads
        )

    def result(self) -> ImplantLoads:
        """Needs at least one day."""
        return ImplantLoads(per_day=self._loads / self._days, days=self._with_load / self._days)
