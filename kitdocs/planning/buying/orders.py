"""Order list: the contents of sets and pouches and the spares that keep them whole, less the stock on hand.

*Spares.* An instrument goes away for repair after so many uses and stays away for so many days. The number away is
Poisson with the mean rate × days away (Palm's theorem; Sherbrooke, METRIC, Operations Research 16(1) 122, 1968), and
spares are its quantile at the practice's service level. A use is counted whenever the set or pouch
that holds the instrument is taken, on a busy day every working day: rather one spare too many.

*Owned* is what stock.csv counts: on hand, in sets and pouches too, and in repair, since that comes back.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from math import fsum
from typing import Literal

from kitdocs.planning.buying import poisson
from kitdocs.planning.figure import Figure, Input, stated
from kitdocs.practice.message import Fixed, Joined, Message, Share, Value, counted, message
from kitdocs.practice.model import Piece, Practice
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules.looking import warning
from kitdocs.practice.values import Text

PIECES = message("figures.unit.pieces")

#: More missing prices than this are told at once.
_EACH = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """One kind of instrument or cassette: pieces, and money in the practice's currency."""

    kind: Literal["instrument", "cassette"]
    id: str
    name: Text
    in_sets: int
    in_pouches: int
    spares: int
    owned: int
    in_repair: int = 0
    """Of those owned: they come back, and until then they fill no place."""
    price: Decimal | None
    why: Message | Joined

    @property
    def need(self) -> int:
        return self.in_sets + self.in_pouches + self.spares

    @property
    def buy(self) -> int:
        return max(0, self.need - self.owned)

    @property
    def surplus(self) -> int:
        return max(0, self.owned - self.need)

    @property
    def total(self) -> Decimal | None:
        """What buying costs; None when something is bought whose price is not stated."""
        if self.price is None:
            return None if self.buy else Decimal(0)
        return self.price * self.buy


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderList:
    """Every instrument that is used again and every cassette of the practice, bought or not."""

    lines: tuple[OrderLine, ...]
    currency: str

    @property
    def to_buy(self) -> tuple[OrderLine, ...]:
        return tuple(line for line in self.lines if line.buy)

    @property
    def surplus(self) -> tuple[OrderLine, ...]:
        return tuple(line for line in self.lines if line.surplus)

    @property
    def spares(self) -> Mapping[str, int]:
        """How many spares there should be of each instrument that needs any."""
        return {line.id: line.spares for line in self.lines if line.kind == "instrument" and line.spares}

    @property
    def total(self) -> Decimal:
        """Of everything that has a price."""
        return sum((line.total for line in self.lines if line.total is not None), Decimal(0))

    @property
    def without_price(self) -> tuple[OrderLine, ...]:
        """What must be bought and is not in the total."""
        return tuple(line for line in self.lines if line.total is None)


def uses_per_day(practice: Practice, taken_per_day: Mapping[str, float]) -> dict[str, float]:
    """Return how often a day each instrument is used, from how often each set and pouch is taken."""
    uses: dict[str, list[float]] = {instrument: [] for instrument in practice.instruments}
    for id_, taken in taken_per_day.items():
        for instrument in practice.contents(id_):
            uses[instrument].append(taken)
    return {instrument: fsum(taken) for instrument, taken in uses.items()}


def mean_away(practice: Practice, instrument: str, uses: float) -> float:
    """Return how many of an instrument are away for repair on average, at so many uses a working day."""
    repair = practice.instruments[instrument].repair
    if repair is None:
        return 0.0
    working_days_away = repair.days_away * practice.settings.day.per_week / 7
    return uses / repair.uses_between * working_days_away


def order_list(
    practice: Practice,
    *,
    sets_to_own: Mapping[str, int],
    pouches_to_own: Mapping[str, int],
    uses_per_day: Mapping[str, float],
) -> OrderList:
    """What to buy so that there are so many of each set and pouch. Uses by instrument, a working day."""
    in_sets = _pieces(practice, sets_to_own)
    in_pouches = _pieces(practice, pouches_to_own)
    instruments = [
        _instrument(practice, i, in_sets["instrument", i], in_pouches["instrument", i], uses_per_day.get(i, 0.0))
        for i, instrument in practice.instruments.items()
        if not instrument.single_use
    ]
    cassettes = [_cassette(practice, c, in_sets["cassette", c], sets_to_own) for c in practice.cassettes]
    return OrderList(lines=(*instruments, *cassettes), currency=practice.settings.currency)


def buying_problems(practice: Practice, orders: OrderList) -> tuple[Problem, ...]:
    """Something to buy whose price is not stated is a warning: the total leaves it out. One for all, where many are."""
    accepted = {entry.at for entry in practice.settings.accepted if entry.warning == "price-missing"}
    lines = orders.without_price
    open_ = [line for line in lines if f"{line.kind}s.{line.id}" not in accepted]
    together = open_ if len(open_) > _EACH else []
    found = [
        warning(practice, "figures.warning.price-missing", (f"{line.kind}s", line.id), at_key=True, buy=line.buy)
        for line in lines
        if line not in together
    ]
    if together:
        pieces = counted("figures.n-pieces", sum(line.buy for line in together))
        things = Joined(tuple(line.name for line in together), ", ")
        said = message("figures.warning.price-missing.many", pieces=pieces, n=len(together), things=things)
        remedy = message("figures.warning.price-missing.many-remedy")
        at = practice.places.key(f"{together[0].kind}s", together[0].id)
        path = f"{together[0].kind}s"
        found.append(
            Problem(rule="price-missing", severity="warning", place=at, path=path, message=said, remedy=remedy)
        )
    return tuple(found)


def buying_figures(practice: Practice, orders: OrderList) -> tuple[Figure, ...]:
    """What to buy of each kind, and what all of it costs."""
    return (*(_figure(practice, line) for line in orders.lines), _total(orders))


def _pieces(practice: Practice, to_own: Mapping[str, int]) -> Counter[Piece]:
    pieces: Counter[Piece] = Counter()
    for id_, number in to_own.items():
        for piece, in_one in practice.pieces(id_).items():
            pieces[piece] += number * in_one
    return pieces


def _instrument(practice: Practice, id_: str, in_sets: int, in_pouches: int, uses: float) -> OrderLine:
    instrument = practice.instruments[id_]
    away = mean_away(practice, id_, uses)
    spares = poisson.quantile(practice.settings.service, away)
    stock = practice.stock.get(id_)
    on_hand, in_repair = (stock.on_hand, stock.in_repair) if stock else (0, 0)
    return OrderLine(
        kind="instrument",
        id=id_,
        name=instrument.name,
        in_sets=in_sets,
        in_pouches=in_pouches,
        spares=spares,
        owned=on_hand + in_repair,
        in_repair=in_repair,
        price=instrument.price,
        why=Joined(tuple(_why(practice, id_, (in_sets, in_pouches, spares), uses, (on_hand, in_repair))), "; "),
    )


def _why(
    practice: Practice, id_: str, need: tuple[int, int, int], uses: float, owned: tuple[int, int]
) -> Iterator[Message]:
    in_sets, in_pouches, spares = need
    yield message("figures.buy.need", sets=in_sets, pouches=in_pouches, spares=spares, need=sum(need))
    on_hand, in_repair = owned
    yield message("figures.buy.owned", on_hand=on_hand, in_repair=in_repair, owned=sum(owned))
    repair = practice.instruments[id_].repair
    if repair and uses:
        yield message(
            "figures.buy.spares",
            uses=Fixed(uses),
            between=repair.uses_between,
            days=repair.days_away,
            week=practice.settings.day.per_week,
            away=Fixed(mean_away(practice, id_, uses), 2),
            spares=spares,
            service=Share(practice.settings.service),
        )


def _cassette(practice: Practice, id_: str, need: int, sets_to_own: Mapping[str, int]) -> OrderLine:
    cassette = practice.cassettes[id_]
    holding = {s: number for s, number in sets_to_own.items() if ("cassette", id_) in practice.pieces(s)}
    listed = tuple(Joined((number, practice.sets[s].name), " × ") for s, number in holding.items() if number)
    return OrderLine(
        kind="cassette",
        id=id_,
        name=cassette.name,
        in_sets=need,
        in_pouches=0,
        spares=0,
        owned=cassette.on_hand,
        price=cassette.price,
        why=message(
            "figures.buy.cassette",
            sets=Joined(listed, " + ") if listed else message("figures.buy.no-set"),
            need=need,
            on_hand=cassette.on_hand,
        ),
    )


def _figure(practice: Practice, line: OrderLine) -> Figure:
    owned_at = ("stock", line.id) if line.kind == "instrument" else ("cassettes", line.id, "on_hand")
    parts: list[Value] = [line.why, message("figures.buy.less", need=line.need, owned=line.owned, buy=line.buy)]
    if line.price is not None and line.total is not None and line.buy:
        parts.append(message("figures.buy.cost", buy=line.buy, price=line.price, total=line.total))
    return Figure(
        id=f"buy.{line.id}",
        name=message("figures.buy.name", name=line.name),
        value=line.buy,
        unit=PIECES,
        why=Joined(tuple(parts), "; "),
        inputs=(
            Input(
                name=message("figures.input.needed"),
                value=line.need,
                unit=PIECES,
                source=str(practice.places.key(f"{line.kind}s", line.id)),
            ),
            stated(practice, "owned", line.owned, owned_at, PIECES),
        ),
        section="buying",
    )


def _total(orders: OrderList) -> Figure:
    priced = counted("figures.buy.kinds", sum(1 for line in orders.to_buy if line.price is not None))
    without = tuple(line.name for line in orders.without_price)
    key = "figures.buy.total.why-without" if without else "figures.buy.total.why"
    return Figure(
        id="buy.total",
        name=message("figures.buy.total.name"),
        value=orders.total,
        unit=orders.currency,
        why=message(key, kinds=priced, without=Joined(without, ", ")),
        section="buying",
    )
