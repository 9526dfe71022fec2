"""Money against the chance: what has to be bought for other promises than those that are asked for.

A rung asks the same of both promises, chooses counts for that (without exchanging pieces at the end), and says what
there is to buy with them and what they keep. One rung is the plan with one of each fewer (never fewer than one in a
drawer; what the practice wrote stays).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from kitdocs.planning.buying.orders import order_list
from kitdocs.planning.day.chance import Chance
from kitdocs.planning.day.joint import Kind
from kitdocs.planning.day.par import DrawerSlot, pouches_of
from kitdocs.planning.day.promise import Chosen
from kitdocs.planning.day.run import BusyDays
from kitdocs.practice.model import Practice

ASKED = (0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 0.999)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """What is asked of both promises, what they keep, and what has to be bought, in the practice's currency."""

    asked: float | None
    """From 0 to 1; None for the plan and for the plan with one of each fewer."""
    is_plan: bool = False
    set_counts: Mapping[str, int]
    """Of sets and add-on pouches, spares apart."""
    drawer_counts: Mapping[DrawerSlot, int]
    """Of each drawer and, for the chair `BEYOND`, of each pouch."""
    sets: Chance
    drawers: Chance
    all: Chance
    buy: Decimal
    buy_for_sets: Decimal
    """With the drawers as planned."""
    buy_for_drawers: Decimal
    """With the sets and add-on pouches as planned."""


def ladder(practice: Practice, ran: BusyDays, uses_per_day: Mapping[str, float]) -> tuple[Rung, ...]:
    """Return one of each fewer, the plan, and each of `ASKED` that is not the plan's, by what is kept at once. Uses by
    instrument, a working day."""
    write = _Ladder(practice, ran, uses_per_day)
    sets, drawers = ran.chosen_sets, ran.chosen_drawers
    rungs = [
        write.rung(None, _one_fewer(sets), _one_fewer(drawers)),
        *(write.rung(asked, _chosen(sets, asked), _chosen(drawers, asked)) for asked in ASKED),
    ]
    plan = write.rung(None, sets.counts, drawers.counts, is_plan=True)
    of_plan = (sets.asked, drawers.asked)
    rungs = [rung for rung in rungs if (rung.asked, rung.asked) != of_plan and not _same(rung, plan)]
    return tuple(sorted((*rungs, plan), key=lambda rung: (rung.all.kept, rung.buy)))


def _same(rung: Rung, other: Rung) -> bool:
    return (rung.sets, rung.drawers, rung.all, rung.buy) == (other.sets, other.drawers, other.all, other.buy)


def _chosen(chosen: Chosen[Kind], asked: float) -> dict[Kind, int]:
    return chosen.needs.choose(asked, exchange=False)


def _one_fewer(chosen: Chosen[Kind]) -> dict[Kind, int]:
    kinds = chosen.needs.kinds
    return {
        id_: count if kinds[id_].written is not None else max(kinds[id_].least, count - 1)
        for id_, count in chosen.counts.items()
    }


class _Ladder:
    def __init__(self, practice: Practice, ran: BusyDays, uses_per_day: Mapping[str, float]) -> None:
        self._practice, self._ran, self._uses = practice, ran, uses_per_day

    def rung(
        self,
        asked: float | None,
        sets: Mapping[str, int],
        drawers: Mapping[DrawerSlot, int],
        *,
        is_plan: bool = False,
    ) -> Rung:
        of_sets, of_drawers = self._ran.chosen_sets, self._ran.chosen_drawers
        sets_kept, drawers_kept = of_sets.needs.kept_days(sets), of_drawers.needs.kept_days(drawers)
        days = self._ran.days
        return Rung(
            asked=asked,
            is_plan=is_plan,
            set_counts=sets,
            drawer_counts=drawers,
            sets=Chance(sets_kept.bit_count(), days),
            drawers=Chance(drawers_kept.bit_count(), days),
            all=Chance((sets_kept & drawers_kept).bit_count(), days),
            buy=self._buy(sets, drawers),
            buy_for_sets=self._buy(sets, of_drawers.counts),
            buy_for_drawers=self._buy(of_sets.counts, drawers),
        )

    def _buy(self, sets: Mapping[str, int], drawers: Mapping[DrawerSlot, int]) -> Decimal:
        ran = self._ran
        spares = {id_: stock.spares for id_, stock in (*ran.sets.items(), *ran.add_ons.items())}
        own = {id_: count + spares[id_] for id_, count in sets.items()}
        pouches = {id_: count + ran.drawer_pouches[id_].spares for id_, count in pouches_of(drawers).items()}
        return order_list(
            self._practice,
            sets_to_own={id_: n for id_, n in own.items() if id_ in ran.sets},
            pouches_to_own={**{id_: n for id_, n in own.items() if id_ in ran.add_ons}, **pouches},
            uses_per_day=self._uses,
        ).total
