"""One practice in the numbers that a group compares, and what it has too many of and has to buy."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from kitdocs.planning.buying.orders import OrderLine
from kitdocs.planning.buying.placement import walks_per_day
from kitdocs.planning.day.kept_visits import visits_per_day
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.practice.values import Text


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnedKind:
    """One kind of instrument or cassette in a practice: pieces, and money in the practice's currency.

    Of two practices, kinds with one id that look `alike` are the same thing.
    """

    kind: Literal["instrument", "cassette"]
    id: str
    name: Text
    alike: tuple[str | float, ...]
    need: int
    owned: int
    in_repair: int
    buy: int
    surplus: int
    price: Decimal | None

    @property
    def at_hand(self) -> int:
        """How many of the surplus can be given away today: what is in repair cannot."""
        return min(self.surplus, self.owned - self.in_repair)


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """What is compared of a practice. Times in minutes, of day after midnight; per busy day, on average."""

    title: Text
    languages: tuple[str, ...]
    currency: str
    chairs: int
    visits: float
    sets: int
    pouches: int
    value: Decimal
    """Of all pieces that the practice should own, spares included; of those with a price."""
    to_buy: Decimal
    without_price: int
    """Kinds that it needs and that have no price: `value` leaves them out."""
    walks: float
    turnaround: float
    closes: float
    ends: float
    """By then everything is back in the store on 95 % of busy days."""
    left_over_night: float
    """The share of days on which something waits until the morning."""
    kept: float
    """The share of days on which nothing is short at all."""
    asked: float
    """The larger of the two promises."""
    loads: float
    machines: int
    kinds: tuple[OwnedKind, ...]

    @property
    def after_closing(self) -> float:
        return self.ends - self.closes


def summary_of(practice: Practice, plan: Plan) -> Summary:
    """Return the numbers of one practice that are compared with those of others."""
    days, settings = plan.days, practice.settings
    kinds = tuple(_owned(practice, line) for line in plan.orders.lines)
    priced = [(kind.need, kind.price) for kind in kinds]
    stages = days.stages.values()
    return Summary(
        title=settings.name,
        languages=settings.languages,
        currency=settings.currency,
        chairs=len(practice.chairs),
        visits=days.visits.mean,
        sets=sum(days.stock.values()),
        pouches=sum(days.pouch_stock.values()),
        value=sum((need * price for need, price in priced if price is not None), Decimal(0)),
        to_buy=plan.orders.total,
        without_price=sum(1 for need, price in priced if need and price is None),
        walks=walks_per_day(practice, visits_per_day(practice)),
        turnaround=days.turnaround.total.mean / 60,
        closes=settings.day.closes,
        ends=days.ends.high / 60,
        left_over_night=days.nights.nights if days.nights else 0.0,
        kept=days.promises.all.kept.share,
        asked=max(settings.service, settings.drawers),
        loads=days.loads_per_day,
        machines=sum(stage.units for stage in stages if stage.loads),
        kinds=kinds,
    )


def _owned(practice: Practice, line: OrderLine) -> OwnedKind:
    return OwnedKind(
        kind=line.kind,
        id=line.id,
        name=line.name,
        alike=_alike(practice, line),
        need=line.need,
        owned=line.owned,
        in_repair=line.in_repair,
        buy=line.buy,
        surplus=line.surplus,
        price=line.price,
    )


def _alike(practice: Practice, line: OrderLine) -> tuple[str | float, ...]:
    """Return by what two things of one id are known as the same: kind and material; a cassette by its size, too.

    Two people measure a length with a difference of a millimetre or two, so instruments are not told apart by it.
    """
    if line.kind == "instrument":
        instrument = practice.instruments[line.id]
        return instrument.drawing, instrument.material
    cassette = practice.cassettes[line.id]
    return cassette.material, *(round(side) for side in cassette.outside.sides), cassette.rails
