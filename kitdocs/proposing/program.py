"""Designs as a program of whole numbers, solved by HiGHS: which candidates there are, and which procedure takes which.

The costs are those of the rule of thumb (`proxy.py`), so that the best answer is a design whose cost by that rule
is no higher than that of any other made of the candidates; how far the solver is from sure of that, its bound says.

    choose      x[p,s] (procedure p uses set s), a[p,q] (takes add-on q), d[p,q] (opens drawer pouch q),
                open[...] (the kind exists), at[q,c] (drawer pouch q lies at chair c), buy[i] (pieces of i to buy)
    so that     each procedure has one set; each of its wants is in its set, an add-on or a drawer;
                no procedure takes more add-ons than a visit may;
                no add-on holds what the set below it holds;
                buy[i] is at least what all kinds hold of i, less what is owned
    at least    prices × buy + walk × walks + opening × openings + kind × kinds + load × loads
                + hand × minutes + piece × pieces handled
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import fsum, inf

from kitdocs.proposing.candidates import FEW, Candidates
from kitdocs.proposing.completing import completed, kept_pouches, kept_sets
from kitdocs.proposing.design import Design, PouchKind, SetKind
from kitdocs.proposing.judge import Weights
from kitdocs.proposing.proxy import Proxy
from kitdocs.proposing.solver import Row, solved


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the program found: a design, its cost by the rule of thumb as the program counts it, and the bound."""

    design: Design | None
    cost: float
    bound: float
    """No design made of the candidates costs less, by that rule."""


class Program:
    """The program for one demand; solved for any weights, and for a number of kinds."""

    def __init__(self, proxy: Proxy, choice: Candidates, made: Iterable[Design] = ()) -> None:
        """`made` are designs that the program can make, whatever else it leaves out to be quick."""
        self._made = {(p, kit.contents) for design in made for kit in design.sets for p in kit.procedures}
        self._proxy, self._demand = proxy, proxy.demand
        self._costs: list[Mapping[str, float]] = []
        self._upper: list[float] = []
        self._rows: list[Row] = []
        self._held: dict[str, Row] = {}
        self._kinds = Row(-inf, inf)
        self._sets = [*kept_sets(self._demand), *(SetKind(held, ()) for held in choice.sets)]
        kept = kept_pouches(self._demand)
        self._add_ons = [
            *(p for p in kept if p.role == "add-on"),
            *(PouchKind("add-on", c, ()) for c in choice.pouches),
        ]
        self._drawers = [
            *(p for p in kept if p.role == "drawer"),
            *(PouchKind("drawer", c, ()) for c in choice.pouches if self._may_lie_in_a_drawer(c)),
        ]
        self._x: dict[tuple[str, int], int] = {}
        self._a: dict[tuple[str, int], int] = {}
        self._d: dict[tuple[str, int], int] = {}
        self._write()

    def _may_lie_in_a_drawer(self, contents: Sequence[str]) -> bool:
        return not any(self._demand.practice.instruments[i].implant_related for i in contents)

    # the program ------------------------------------------------------------------------------

    def _write(self) -> None:
        demand = self._demand
        for thing in (*demand.instruments, *demand.practice.cassettes):
            row = self._held[thing] = Row(-inf, float(self._proxy.owned.get(thing, 0)))
            row.add(self._column(inf, money=self._proxy.price(thing)), -1.0)
        for n, kit in enumerate(self._sets):
            self._write_set(n, kit)
        for n, pouch in enumerate(self._add_ons):
            self._write_add_on(n, pouch)
        for n, pouch in enumerate(self._drawers):
            self._write_drawer(n, pouch)
        self._write_wants()

    def _column(self, upper: float = 1.0, **costs: float) -> int:
        self._costs.append(costs)
        self._upper.append(upper)
        return len(self._costs) - 1

    def _row(self, low: float, high: float, terms: Iterable[tuple[int, float]]) -> None:
        row = Row(low, high)
        for column, factor in terms:
            row.add(column, factor)
        self._rows.append(row)

    def _kind(self) -> int:
        column = self._column(kind=1.0)
        self._kinds.add(column, 1.0)
        return column

    def _write_set(self, n: int, kit: SetKind) -> None:
        demand, proxy = self._demand, self._proxy
        users = [p for p in demand.procedures if self._may_use(p, kit)]
        exists = self._kind()
        pieces = demand.pieces(kit.contents, users)
        cassette = proxy.packing.cassette_of(kit if kit.kept else SetKind(kit.contents, tuple(users)))
        for thing in (cassette, *pieces):
            self._held[thing].add(exists, proxy.lines.having)
        for p in users:
            visits = demand.visits[p]
            column = self._x[p, n] = self._column(
                load=visits * proxy.load(cassette),
                hand=visits * proxy.hands_per_set,
                piece=visits * len(pieces),
            )
            self._row(-inf, 0.0, [(column, 1.0), (exists, -1.0)])
            if p in kit.procedures:
                self._row(1.0, 1.0, [(column, 1.0)])
            for thing in (cassette, *pieces):
                self._held[thing].add(column, proxy.lines.taking * demand.visits[p])

    def _may_use(self, procedure: str, kit: SetKind) -> bool:
        if procedure in kit.procedures or (procedure, kit.contents) in self._made:
            return True
        always = [i for i, want in self._demand.wants[procedure].items() if want.always]
        held = sum(i in kit.contents for i in always)
        few = len(self._demand.instruments) <= FEW or 2 * held >= len(always)
        return few and (bool(kit.kept) or self._proxy.packing.suits(kit.contents, procedure))

    def _write_add_on(self, n: int, pouch: PouchKind) -> None:
        demand, proxy = self._demand, self._proxy
        takers = [p for p in demand.procedures if p in pouch.procedures or self._may_take(p, pouch)]
        if not takers:
            return
        exists = self._kind()
        pieces = demand.pieces(pouch.contents, takers)
        size = proxy.packing.size_of(pouch if pouch.kept else PouchKind("add-on", pouch.contents, tuple(takers)))
        for thing in pieces:
            self._held[thing].add(exists, proxy.lines.having)
        for p in takers:
            share = demand.share(p, pouch.contents)
            taken = demand.visits[p] * share
            column = self._a[p, n] = self._column(
                walk=taken if share < 1 else 0.0,
                load=taken * proxy.load(size),
                hand=taken * proxy.hands_per_pouch,
                piece=taken * len(pieces),
            )
            self._row(-inf, 0.0, [(column, 1.0), (exists, -1.0)])
            if p in pouch.procedures:
                self._row(1.0, 1.0, [(column, 1.0)])
            for thing in pieces:
                self._held[thing].add(column, proxy.lines.taking * taken)
            for i in pouch.contents:
                self._row(-inf, 1.0, [(column, 1.0), *self._holding(self._x, self._sets, p, i)])

    def _holding(
        self,
        chosen: Mapping[tuple[str, int], int],
        kinds: Sequence[SetKind | PouchKind],
        procedure: str,
        instrument: str,
    ) -> list[tuple[int, float]]:
        """The columns of what a procedure could take an instrument with."""
        return [
            (chosen[procedure, n], 1.0)
            for n, kind in enumerate(kinds)
            if (procedure, n) in chosen and instrument in kind.contents
        ]

    def _may_take(self, procedure: str, pouch: PouchKind) -> bool:
        suits = self._proxy.packing.suits(pouch.contents, procedure)
        return suits or bool(pouch.kept and set(pouch.contents).intersection(self._demand.wants[procedure]))

    def _write_drawer(self, n: int, pouch: PouchKind) -> None:
        demand, proxy = self._demand, self._proxy
        always = proxy.packing.is_always_wanted
        takers = [
            p
            for p in demand.procedures
            if p in pouch.procedures or (self._may_take(p, pouch) and not any(always(i, p) for i in pouch.contents))
        ]
        if not takers:
            return
        exists = self._kind()
        pieces = demand.pieces(pouch.contents, takers)
        size = proxy.packing.size_of(pouch if pouch.kept else PouchKind("drawer", pouch.contents, tuple(takers)))
        at = {}
        for c in dict.fromkeys(c for p in takers for c in demand.practice.chairs_for(p)):
            at[c] = self._column()
            self._row(-inf, 0.0, [(at[c], 1.0), (exists, -1.0)])
            for thing in pieces:
                self._held[thing].add(at[c], proxy.lines.drawer_having)
        for p in takers:
            opened = demand.visits[p] * demand.share(p, pouch.contents)
            column = self._d[p, n] = self._column(
                opening=opened,
                load=opened * proxy.load(size),
                hand=opened * proxy.hands_per_pouch,
                piece=opened * len(pieces),
            )
            for c in demand.practice.chairs_for(p):
                self._row(-inf, 0.0, [(column, 1.0), (at[c], -1.0)])
            if p in pouch.procedures:
                self._row(1.0, 1.0, [(column, 1.0)])
            for thing in pieces:
                self._held[thing].add(column, proxy.lines.drawer_taking * opened)

    def _write_wants(self) -> None:
        for p in self._demand.procedures:
            self._row(1.0, 1.0, [(self._x[p, n], 1.0) for n in range(len(self._sets)) if (p, n) in self._x])
            taken = [(column, 1.0) for (q, _), column in self._a.items() if q == p]
            kept = sum(p in pouch.procedures for pouch in self._add_ons if pouch.kept)
            self._row(-inf, float(max(self._demand.pouches, kept)), taken)
            for i, want in self._demand.wants[p].items():
                meeting = self._holding(self._x, self._sets, p, i) + self._holding(self._a, self._add_ons, p, i)
                if not want.always:
                    meeting += self._holding(self._d, self._drawers, p, i)
                self._row(1.0, inf, meeting)

    # the answer -------------------------------------------------------------------------------

    def solve(self, weights: Weights, *, kinds: int | None = None) -> Answer:
        """Return the best design for these weights; with `kinds`, of those with so many kinds at most."""
        worth = {
            "money": 1.0,
            "walk": weights.walk,
            "opening": weights.opening,
            "kind": weights.kind,
            "load": weights.load,
            "hand": weights.hand,
            "piece": weights.piece,
        }
        costs = [fsum(worth[what] * amount for what, amount in column.items()) for column in self._costs]
        rows = [*self._rows, *self._held.values(), Row(-inf, kinds or inf, self._kinds.factors)]
        values, cost, bound = solved(costs, self._upper, rows)
        return Answer(design=self._design(values) if values else None, cost=cost, bound=bound)

    def _design(self, values: Sequence[float]) -> Design | None:
        def takers(chosen: dict[tuple[str, int], int], n: int) -> tuple[str, ...]:
            return tuple(p for p in self._demand.procedures if (p, n) in chosen and values[chosen[p, n]] > 0.5)

        sets = [SetKind(s.contents, takers(self._x, n), s.kept) for n, s in enumerate(self._sets)]
        pouches = [PouchKind(q.role, q.contents, takers(self._a, n), q.kept) for n, q in enumerate(self._add_ons)]
        pouches += [PouchKind(q.role, q.contents, takers(self._d, n), q.kept) for n, q in enumerate(self._drawers)]
        taken = [q for q in pouches if q.procedures or q.kept]
        return completed(self._proxy.packing, [s for s in sets if s.procedures or s.kept], taken)
