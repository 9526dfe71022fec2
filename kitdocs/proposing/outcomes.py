"""The outcome of days that were run, as wishes are about it: money, when the day ends, the chance of nothing short."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from kitdocs.planning.buying.orders import OrderList, order_list, uses_per_day
from kitdocs.planning.buying.placement import orders_for, taken_per_day
from kitdocs.planning.day.chance import Chance
from kitdocs.planning.day.joint import JointNeeds
from kitdocs.planning.day.par import pouches_of
from kitdocs.planning.day.run import BusyDays
from kitdocs.practice.message import message
from kitdocs.practice.model import Practice
from kitdocs.proposing.ways import SingleChange


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What the days come to. Money in the practice's currency."""

    money: Decimal
    """To buy, with what the changes cost; without what has no price."""
    ends: float
    """The median, in minutes after midnight."""
    chance: Chance
    own: dict[str, int]
    """Sets and pouches, by id."""
    unpriced: Mapping[str, int] = field(default_factory=dict)
    """Pieces to buy whose price the folder does not state, by instrument or cassette."""

    @property
    def pieces(self) -> int:
        """How many pieces to buy have no price."""
        return sum(self.unpriced.values())


def outcome_of(practice: Practice, ran: BusyDays, chance: float | None, price: Decimal = Decimal(0)) -> Outcome:
    """Return what days that were run come to; with a `chance`, counts are chosen so that nothing is short so often."""
    ends = ran.ends.median / 60
    if chance is None:
        own = {**ran.stock, **ran.pouch_stock}
        orders = orders_for(practice, ran)
        return _outcome(orders, price, ends=ends, chance=ran.promises.all.kept, own=own)
    of_sets, of_drawers = ran.chosen_sets.needs, ran.chosen_drawers.needs
    everything: JointNeeds[Any] = JointNeeds({**of_sets.kinds, **of_drawers.kinds}, ran.days)
    counts = everything.choose(chance)
    sets = {kind: counts[kind] + _spares(ran, kind) for kind in of_sets.kinds}
    drawers = pouches_of({kind: counts[kind] for kind in of_drawers.kinds})
    pouches = {id_: n for id_, n in sets.items() if id_ in practice.pouches}
    pouches |= {id_: n + ran.drawer_pouches[id_].spares for id_, n in drawers.items()}
    kits = {id_: n for id_, n in sets.items() if id_ in practice.sets}
    orders = order_list(
        practice,
        sets_to_own=kits,
        pouches_to_own=pouches,
        uses_per_day=uses_per_day(practice, taken_per_day(ran)),
    )
    kept = Chance(everything.kept(counts), ran.days)
    return _outcome(orders, price, ends=ends, chance=kept, own={**kits, **pouches})


def _outcome(orders: OrderList, price: Decimal, *, ends: float, chance: Chance, own: dict[str, int]) -> Outcome:
    unpriced = {line.id: line.buy for line in orders.without_price}
    return Outcome(money=orders.total + price, ends=ends, chance=chance, own=own, unpriced=unpriced)


def one_more(practice: Practice, ran: BusyDays) -> Iterator[tuple[SingleChange, Outcome]]:
    """Yield, for each set and add-on, what one more of it comes to; no day has to be run again: nobody ever waits."""
    sets, drawers = ran.chosen_sets, ran.chosen_drawers
    kept_drawers, before = drawers.needs.kept_days(drawers.counts), ran.promises.all.kept
    own = {**ran.stock, **ran.pouch_stock}
    uses = uses_per_day(practice, taken_per_day(ran))
    for kind in sets.needs.kinds:
        counts = {**sets.counts, kind: sets.counts[kind] + 1}
        kept = Chance((sets.needs.kept_days(counts) & kept_drawers).bit_count(), ran.days)
        if kept.kept > before.kept:
            more = {**own, kind: own[kind] + 1}
            orders = order_list(
                practice,
                sets_to_own={id_: n for id_, n in more.items() if id_ in practice.sets},
                pouches_to_own={id_: n for id_, n in more.items() if id_ in practice.pouches},
                uses_per_day=uses,
            )
            record = practice.sets.get(kind) or practice.pouches[kind]
            name = message("propose.way.one-more", pack=record.name)
            way = SingleChange(id=f"one-more.{kind}", at=f"one-more.{kind}", name=name, change=lambda same: same)
            yield way, _outcome(orders, Decimal(0), ends=ran.ends.median / 60, chance=kept, own=more)


def _spares(ran: BusyDays, kind: str) -> int:
    return (ran.sets.get(kind) or ran.add_ons[kind]).spares
