"""Every design of a small practice, one by one: nothing of the program, the rule of thumb or the search is in it.

Procedures are parted into sets in every way. What is in each set is every part of what its procedures want that has the
mirror in it.

- `every_design`: each instrument that is left lies in an add-on or in the drawers, for all who lack it; those of one
  role are parted into pouches in every way. No instrument lies in two kinds of pouch.
- `every_design_at_all`: each procedure takes what it lacks from pouches of its own choice, with anything else in them;
  an instrument may lie in several. Nothing is left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, product
from typing import TypeVar

from kitdocs.proposing.design import Design, PouchKind, PouchRole, SetKind, tidied
from kitdocs.proposing.packing import Packing

T = TypeVar("T")

_ROLES: tuple[PouchRole, ...] = ("add-on", "drawer")


def partitions(things: Sequence[T]) -> Iterator[list[list[T]]]:
    """Yield every way to part things into groups."""
    if not things:
        yield []
        return
    first, rest = things[0], things[1:]
    for parted in partitions(rest):
        yield [[first], *parted]
        for n in range(len(parted)):
            yield [*parted[:n], [first, *parted[n]], *parted[n + 1 :]]


def every_design(packing: Packing, *, lean: bool = False) -> Iterator[Design]:
    """Yield every design that keeps the rules. `lean`: what all visits with a set want lies in it, and nowhere else."""
    demand = packing.demand
    seen: set[Design] = set()
    for groups in partitions(demand.procedures):
        for kits in product(*(list(_sets(packing, group, lean)) for group in groups)):
            for pouches in _pouches(packing, kits):
                design = tidied(demand, kits, pouches)
                if design is not None and design not in seen and packing.allows(design):
                    seen.add(design)
                    yield design


def every_design_at_all(packing: Packing) -> Iterator[Design]:
    """Yield every design that keeps the rules, each once. Only for four or five instruments."""
    demand = packing.demand
    others = [i for i in demand.instruments if i not in demand.mirrors]
    held = [demand.in_order(some) for n in range(1, len(others) + 1) for some in combinations(others, n)]
    pouches = [(role, contents) for role in _ROLES for contents in held]
    seen: set[Design] = set()
    for groups in partitions(demand.procedures):
        for kits in product(*(list(_sets(packing, group, False)) for group in groups)):
            of = {p: kit for kit in kits for p in kit.procedures}
            lacks = [frozenset(i for i in demand.wants[p] if i not in kit.contents) for p, kit in of.items()]
            for chosen in product(*(list(_covers(pouches, lacking)) for lacking in lacks)):
                takers: dict[tuple[PouchRole, tuple[str, ...]], list[str]] = {}
                for p, its in zip(of, chosen, strict=True):
                    for pouch in its:
                        takers.setdefault(pouch, []).append(p)
                made = [PouchKind(role, contents, tuple(who)) for (role, contents), who in takers.items()]
                if all(map(packing.pouch_is_allowed, made)):
                    design = tidied(demand, kits, made)
                    if design is not None and design not in seen and packing.allows(design):
                        seen.add(design)
                        yield design


def _covers(
    pouches: Sequence[tuple[PouchRole, tuple[str, ...]]], lacking: frozenset[str]
) -> Iterator[tuple[tuple[PouchRole, tuple[str, ...]], ...]]:
    """Every choice of pouches that bring what is lacking, none of them for nothing."""
    for n in range(len(lacking) + 1):
        for some in combinations(pouches, n):
            brought = [lacking.intersection(contents) for _, contents in some]
            if frozenset().union(*brought) == lacking and not any(
                mine <= frozenset().union(*brought[:m], *brought[m + 1 :]) for m, mine in enumerate(brought)
            ):
                yield some


def _sets(packing: Packing, group: Sequence[str], lean: bool) -> Iterator[SetKind]:
    demand = packing.demand
    wanted = [i for i in demand.instruments if any(i in demand.wants[p] for p in group)]
    always = {i for i in wanted if all(packing.is_always_wanted(i, p) for p in group)} if lean else set()
    fixed = always | demand.mirrors
    others = [i for i in wanted if i not in fixed]
    for n in range(len(others) + 1):
        for inside in combinations(others, n):
            kit = SetKind(demand.in_order({*inside, *fixed}), tuple(group))
            if packing.set_is_allowed(kit):
                yield kit


def _pouches(packing: Packing, kits: Sequence[SetKind]) -> Iterator[list[PouchKind]]:
    demand = packing.demand
    lacking: dict[str, list[str]] = {}
    for kit in kits:
        for p in kit.procedures:
            for i in demand.wants[p]:
                if i not in kit.contents:
                    lacking.setdefault(i, []).append(p)

    def pouch(role: PouchRole, held: Sequence[str]) -> PouchKind:
        takers = [p for p in demand.procedures if any(p in lacking[i] for i in held)]
        return PouchKind(role, demand.in_order(held), tuple(takers))

    for where in product(_ROLES, repeat=len(lacking)):
        by_role = [[i for i, its in zip(lacking, where, strict=True) if its == role] for role in _ROLES]
        choices = [
            [[pouch(role, held) for held in parted] for parted in partitions(left)]
            for role, left in zip(_ROLES, by_role, strict=True)
        ]
        allowed = [[parted for parted in choice if all(map(packing.pouch_is_allowed, parted))] for choice in choices]
        for add_ons, drawers in product(*allowed):
            yield [*add_ons, *drawers]
