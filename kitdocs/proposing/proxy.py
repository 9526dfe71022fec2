"""A rule of thumb for what a design costs: quick enough to be asked ten thousand times, straight enough for a program.

How many of a kind to own is a straight line: so many for having it at all, and so many more for each time a day that it
is taken. The lines are fitted, by least squares, to what the plan says of two plain designs. What the practice owns is
used up first. The day's end is left out: a program cannot see it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from kitdocs.planning.day.run import BusyDays
from kitdocs.practice.room import HandStage, machines
from kitdocs.proposing.demand import Demand
from kitdocs.proposing.design import Design, PouchKind, SetKind
from kitdocs.proposing.judge import Weights
from kitdocs.proposing.packing import Packing


@dataclass(frozen=True, slots=True, kw_only=True)
class Lines:
    """How many of a kind are owned: `having` + `taking` × the times a day that it is taken.

    Of a drawer pouch: `drawer_having` × the chairs that have it + `drawer_taking` × the times.
    """

    having: float = 1.0
    taking: float = 0.5
    drawer_having: float = 1.0
    drawer_taking: float = 1.0


def fitted(kits: Sequence[tuple[float, int]], drawers: Sequence[tuple[int, float, int]]) -> Lines:
    """Return the lines through (times a day, owned) and (chairs, times a day, owned), by least squares."""
    having, taking = _through([(1.0, rate, own) for rate, own in kits]) or (Lines().having, Lines().taking)
    at_chairs = _through([(float(chairs), rate, own) for chairs, rate, own in drawers])
    drawer_having, drawer_taking = at_chairs or (Lines().drawer_having, Lines().drawer_taking)
    return Lines(having=having, taking=taking, drawer_having=drawer_having, drawer_taking=drawer_taking)


def _through(points: Sequence[tuple[float, float, float]]) -> tuple[float, float] | None:
    """Return a and b, neither below a tenth, with a x + b y nearest to z; None for fewer than two points."""
    if len(points) < 2:
        return None
    xx, xy, yy = (fsum(p[i] * p[j] for p in points) for i, j in ((0, 0), (0, 1), (1, 1)))
    xz, yz = (fsum(p[i] * p[2] for p in points) for i in (0, 1))
    away = xx * yy - xy * xy
    if away < 1e-9 * xx * yy:
        return None
    return max(0.1, (xz * yy - yz * xy) / away), max(0.1, (yz * xx - xz * xy) / away)


def measured(demand: Demand, design: Design, ids: Mapping[SetKind | PouchKind, str], ran: BusyDays) -> Lines:
    """Return the lines fitted to what a run of busy days came to."""
    kits = [(stock.taken_per_day, stock.own) for stock in (*ran.sets.values(), *ran.add_ons.values())]
    drawers = [
        (len(chairs_of(demand, pouch)), found.opened_per_day, found.own)
        for pouch in design.pouches
        if pouch.role == "drawer" and (found := ran.drawer_pouches.get(ids[pouch]))
    ]
    return fitted(kits, drawers)


def chairs_of(demand: Demand, pouch: PouchKind) -> tuple[str, ...]:
    """Return the chairs that have a drawer pouch."""
    there = {c for p in pouch.procedures for c in demand.practice.chairs_for(p)}
    return tuple(c for c in demand.practice.chairs if c in there or pouch.kept in demand.practice.chairs[c].drawer)


class Proxy:
    """The rule of thumb for one demand."""

    def __init__(self, packing: Packing, lines: Lines) -> None:
        self.packing, self.demand, self.lines = packing, packing.demand, lines
        practice = self.demand.practice
        self._price = {i: float(practice.instruments[i].price or 0) for i in practice.instruments}
        self._price |= {c: float(record.price or 0) for c, record in practice.cassettes.items()}
        self._parts: dict[SetKind | PouchKind, _Part] = {}
        self.owned = {i: line.on_hand + line.in_repair for i, line in practice.stock.items()}
        self.owned |= {c: record.on_hand for c, record in practice.cassettes.items()}
        self._machines = list(machines(practice.room.stages).values())
        stages = [stage for stage in practice.room.stages.values() if not stage.only_listed]
        hands = [stage for stage in stages if isinstance(stage, HandStage)]
        self.hands_per_set = fsum(stage.per_cassette for stage in hands)
        self.hands_per_pouch = fsum(stage.per_pouch for stage in hands)

    def price(self, thing: str) -> float:
        """Return what one instrument or cassette costs."""
        return self._price[thing]

    def load(self, size: str) -> float:
        """Return how much of a load one cassette or pouch of a size fills, over all machines."""
        return fsum(1 / stage.capacity[size] for stage in self._machines if size in stage.capacity)

    def cost(self, design: Design, weights: Weights) -> float:
        """Return what a design costs, in the practice's currency; what is bought is rounded to no whole number."""
        parts = [self._part(kit) for kit in design.sets] + [self._part(pouch) for pouch in design.pouches]
        pieces: dict[str, float] = {}
        for part in parts:
            for thing in part.things:
                pieces[thing] = pieces.get(thing, 0.0) + part.own
        money = fsum(self._price[i] * max(0.0, n - self.owned.get(i, 0)) for i, n in pieces.items())
        return (
            money
            + weights.walk * fsum(part.walks for part in parts)
            + weights.opening * fsum(part.openings for part in parts)
            + weights.kind * len(parts)
            + weights.load * fsum(part.loads for part in parts)
            + weights.hand * fsum(part.hands for part in parts)
            + weights.piece * fsum(part.handled for part in parts)
        )

    def _part(self, kind: SetKind | PouchKind) -> _Part:
        if kind not in self._parts:
            self._parts[kind] = self._set(kind) if isinstance(kind, SetKind) else self._pouch(kind)
        return self._parts[kind]

    def _set(self, kit: SetKind) -> _Part:
        rate, cassette = self.demand.rate(kit.procedures), self.packing.cassette_of(kit)
        pieces = self.demand.pieces(kit.contents, kit.procedures)
        return _Part(
            things=(cassette, *pieces),
            own=self.lines.having + self.lines.taking * rate,
            loads=rate * self.load(cassette),
            hands=rate * self.hands_per_set,
            handled=rate * len(pieces),
        )

    def _pouch(self, pouch: PouchKind) -> _Part:
        demand, lines = self.demand, self.lines
        taken = [(demand.visits[p], demand.share(p, pouch.contents)) for p in pouch.procedures]
        rate = fsum(visits * share for visits, share in taken)
        in_drawers = pouch.role == "drawer"
        chairs = len(chairs_of(demand, pouch))
        pieces = demand.pieces(pouch.contents, pouch.procedures)
        return _Part(
            things=pieces,
            own=lines.drawer_having * chairs + lines.drawer_taking * rate
            if in_drawers
            else lines.having + lines.taking * rate,
            walks=0.0 if in_drawers else fsum(visits * share for visits, share in taken if share < 1),
            openings=rate if in_drawers else 0.0,
            loads=rate * self.load(self.packing.size_of(pouch)),
            hands=rate * self.hands_per_pouch,
            handled=rate * len(pieces),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """What one kind comes to: `own` of each of the `things` in it, and a busy day's walks and so on."""

    things: tuple[str, ...]
    own: float
    walks: float = 0.0
    openings: float = 0.0
    loads: float
    hands: float
    handled: float
