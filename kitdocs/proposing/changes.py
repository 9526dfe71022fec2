"""The small changes of a design: one instrument, one procedure, one pouch or one pair of sets otherwise."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from kitdocs.proposing.completing import completed, filled_set
from kitdocs.proposing.design import Design, PouchKind, PouchRole, SetKind, tidied
from kitdocs.proposing.packing import Packing

_ROLES: tuple[PouchRole, ...] = ("add-on", "drawer")


def changed(packing: Packing, design: Design) -> Iterator[Design]:
    """Yield the designs that differ from one by a small change, each once, in a settled order; rules may be broken."""
    seen = {design}
    for other in _every_change(packing, design):
        if other is not None and other not in seen:
            seen.add(other)
            yield other


def _every_change(packing: Packing, design: Design) -> Iterator[Design | None]:
    for n, kit in enumerate(design.sets):
        if not kit.kept:
            yield from _out_of(packing, design, n)
            yield from _into(packing, design, n)
        yield from _procedures_elsewhere(packing, design, n)
    yield from _sets_joined(packing, design)
    yield from _pouches_otherwise(packing, design)


def _others(kinds: Sequence[SetKind], *without: int) -> list[SetKind]:
    return [kit for n, kit in enumerate(kinds) if n not in without]


def _out_of(packing: Packing, design: Design, n: int) -> Iterator[Design | None]:
    """An instrument leaves a set, for a pouch of its own or one that there is."""
    demand, kit = packing.demand, design.sets[n]
    for i in kit.contents:
        block = demand.blocks.get(i, frozenset({i}))
        if demand.mirrors & block:
            continue
        less = SetKind(tuple(held for held in kit.contents if held not in block), kit.procedures)
        sets = [*_others(design.sets, n), less]
        wanting = tuple(p for p in kit.procedures if block & set(demand.wants[p]))
        for role in _ROLES:
            alone = PouchKind(role, demand.in_order(block), wanting)
            yield tidied(demand, sets, [*design.pouches, alone])
            for m, pouch in enumerate(design.pouches):
                if pouch.role == role and not pouch.kept:
                    takers = (*pouch.procedures, *wanting)
                    more = PouchKind(role, demand.in_order({*pouch.contents, *block}), takers)
                    yield tidied(demand, sets, [*design.pouches[:m], more, *design.pouches[m + 1 :]])


def _into(packing: Packing, design: Design, n: int) -> Iterator[Design | None]:
    """What some pouch brings lies in the set: one instrument, or all of the pouch."""
    demand, kit = packing.demand, design.sets[n]
    brought = [pouch for pouch in design.pouches if set(pouch.procedures).intersection(kit.procedures)]
    each = {demand.blocks.get(i, frozenset({i})): None for pouch in brought for i in pouch.contents}
    whole = {frozenset(pouch.contents): None for pouch in brought if len(pouch.contents) > 1}
    for more in {**each, **whole}:
        fuller = SetKind(demand.in_order(more.union(kit.contents)), kit.procedures)
        yield tidied(demand, [*_others(design.sets, n), fuller], design.pouches)


def _procedures_elsewhere(packing: Packing, design: Design, n: int) -> Iterator[Design | None]:
    """A procedure uses another set, as it is or with what it lacks in it, or gets one of its own."""
    demand, kit = packing.demand, design.sets[n]
    for p in kit.procedures:
        if kit.kept and demand.practice.procedures[p].set == kit.kept:
            continue
        rest = SetKind(kit.contents, tuple(q for q in kit.procedures if q != p), kit.kept)
        for m, other in enumerate(design.sets):
            if m == n:
                continue
            left = _others(design.sets, n, m)
            joined = (*other.procedures, p)
            yield completed(packing, [*left, rest, SetKind(other.contents, joined, other.kept)], design.pouches)
            if not other.kept:
                mine = {i for i in kit.contents if i in demand.wants[p]}
                fuller = SetKind(demand.in_order(mine.union(other.contents)), joined)
                yield completed(packing, [*left, rest, fuller], design.pouches)
        if len(kit.procedures) > 1:
            for least in (1.0, 0.5, 0.01):
                own = filled_set(packing, (p,), least)
                yield completed(packing, [*_others(design.sets, n), rest, own], design.pouches)


def _sets_joined(packing: Packing, design: Design) -> Iterator[Design | None]:
    """Two sets become one: with all that is in either, with what is in one of them, or with what most visits want."""
    for n, m in combinations(range(len(design.sets)), 2):
        one, other = design.sets[n], design.sets[m]
        if one.kept or other.kept:
            continue
        left, both = _others(design.sets, n, m), (*one.procedures, *other.procedures)
        for contents in ({*one.contents, *other.contents}, one.contents, other.contents):
            yield completed(packing, [*left, SetKind(packing.demand.in_order(contents), both)], design.pouches)
        yield completed(packing, [*left, filled_set(packing, both, 0.5)], design.pouches)


def _pouches_otherwise(packing: Packing, design: Design) -> Iterator[Design | None]:
    """A pouch lies elsewhere, is parted, loses an instrument to another, or two become one."""
    demand = packing.demand
    free = [n for n, pouch in enumerate(design.pouches) if not pouch.kept]
    for n in free:
        pouch = design.pouches[n]
        rest = [other for m, other in enumerate(design.pouches) if m != n]
        role: PouchRole = "drawer" if pouch.role == "add-on" else "add-on"
        yield tidied(demand, design.sets, [*rest, PouchKind(role, pouch.contents, pouch.procedures)])
        for p in pouch.procedures if len(pouch.procedures) > 1 else ():
            fewer = PouchKind(pouch.role, pouch.contents, tuple(q for q in pouch.procedures if q != p))
            yield tidied(demand, design.sets, [*rest, fewer, PouchKind(role, pouch.contents, (p,))])
            mine = demand.in_order(i for i in pouch.contents if i in demand.wants[p])
            if len(mine) < len(pouch.contents):
                yield tidied(demand, design.sets, [*rest, fewer, PouchKind(pouch.role, mine, (p,))])
        for i in pouch.contents if len(pouch.contents) > 1 else ():
            block = demand.blocks.get(i, frozenset({i}))
            less = PouchKind(pouch.role, tuple(held for held in pouch.contents if held not in block), pouch.procedures)
            for apart in _ROLES:
                alone = PouchKind(apart, demand.in_order(block), pouch.procedures)
                yield tidied(demand, design.sets, [*rest, less, alone])
    for n, m in combinations(free, 2):
        one, other = design.pouches[n], design.pouches[m]
        rest = [pouch for k, pouch in enumerate(design.pouches) if k not in (n, m)]
        for role in sorted({one.role, other.role}):
            both = demand.in_order({*one.contents, *other.contents})
            joined = PouchKind(role, both, (*one.procedures, *other.procedures))
            yield tidied(demand, design.sets, [*rest, joined])
