"""Supplies that must lie ready before the first day: the whole stock packed once, and the reorder point above it.

After the first packing there is just so much left as calls for the next order, so that the day is not begun short.
Tests and single-use instruments are not packed with anything: of them the first week's lie ready.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from kitdocs.planning.buying.supplies import SupplyUse
from kitdocs.planning.measures.wrap import SheetChoice
from kitdocs.practice.model import Practice


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstSupply:
    """One supply, in its own units: sheets, pouches, rolls, pieces."""

    use: SupplyUse
    first_packing: int
    """What it takes to pack everything once; of tests and single-use instruments, what the first week takes."""

    @property
    def needed(self) -> int:
        return self.first_packing + self.use.reorder_at

    @property
    def boxes(self) -> int:
        return math.ceil(self.needed / self.use.pack)

    @property
    def cost(self) -> Decimal | None:
        """Of whole boxes; None where no price is stated."""
        return None if self.use.pack_price is None else self.use.pack_price * self.boxes


def first_supplies(
    practice: Practice,
    uses: Sequence[SupplyUse],
    *,
    sets: Mapping[str, int],
    pouches: Mapping[str, int],
    sheets: Mapping[str, SheetChoice],
) -> tuple[FirstSupply, ...]:
    """Of every supply in use. `sets` and `pouches`: how many of each are packed; `sheets`: each set's choice."""
    all_sets, all_pouches = sum(sets.values()), sum(pouches.values())

    def packed(use: SupplyUse) -> int:
        if use.kind == "sheet":
            return sum(sheets[s].sheets * number for s, number in sets.items() if sheets[s].sheet == use.id)
        if use.kind == "pouch":
            return sum(number for pouch, number in pouches.items() if practice.pouches[pouch].size == use.id)
        if use.kind == "internal-indicator":
            return all_sets + all_pouches
        if use.kind == "external-indicator":
            return all_sets
        if use.kind == "tape":
            return math.ceil(all_sets * practice.room.wrap.strips / use.in_one)
        return math.ceil(use.per_day * practice.settings.day.per_week - 1e-9)

    return tuple(FirstSupply(use=use, first_packing=packed(use)) for use in uses if use.per_day)


def longest_lead_time(supplies: Sequence[FirstSupply]) -> float:
    """Return the days from the order to the delivery, of the supply that takes longest; 0 when there is none."""
    return max((supply.use.lead_time for supply in supplies), default=0.0)


def total_cost(supplies: Sequence[FirstSupply]) -> Decimal:
    """Of all that has a price."""
    return sum((supply.cost for supply in supplies if supply.cost is not None), Decimal(0))
