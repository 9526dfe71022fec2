"""A design: sets, pouches, and which procedures take them. It knows no names and no counts.

A design is *tidy* when nothing in it is useless: no set holds what none of its procedures wants (a mirror aside), no
pouch holds what all who take it have in their sets, and every want is met.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from kitdocs.proposing.demand import Demand

PouchRole = Literal["add-on", "drawer"]


@dataclass(frozen=True, slots=True, order=True)
class SetKind:
    """A set. `kept` is its id where it is settled: then what is in it stays."""

    contents: tuple[str, ...]
    procedures: tuple[str, ...]
    kept: str = ""


@dataclass(frozen=True, slots=True, order=True)
class PouchKind:
    """A pouch. An add-on is taken by the procedures; a drawer pouch lies at every chair where one of them is done."""

    role: PouchRole
    contents: tuple[str, ...]
    procedures: tuple[str, ...]
    kept: str = ""


@dataclass(frozen=True, slots=True)
class Design:
    """Sets and pouches, each in a settled order, so that two designs that are the same are equal."""

    sets: tuple[SetKind, ...]
    pouches: tuple[PouchKind, ...]

    @property
    def kinds(self) -> int:
        """How many kinds of set and pouch people must know."""
        return len(self.sets) + len(self.pouches)

    def set_of(self, procedure: str) -> SetKind:
        return next(kit for kit in self.sets if procedure in kit.procedures)

    def pouches_of(self, procedure: str) -> tuple[PouchKind, ...]:
        return tuple(pouch for pouch in self.pouches if procedure in pouch.procedures)


def tidied(demand: Demand, sets: Iterable[SetKind], pouches: Iterable[PouchKind]) -> Design | None:
    """Return a design without what is useless in it; None where a want is met by nothing."""
    tidy_sets = _tidy_sets(demand, sets)
    lacking = {p: [i for i in demand.wants[p] if i not in kit.contents] for kit in tidy_sets for p in kit.procedures}
    if len(lacking) < len(demand.wants):
        return None
    tidy_pouches: list[PouchKind] = []
    left = {p: set(wants) for p, wants in lacking.items()}
    for pouch in sorted(pouches, key=lambda p: (not p.kept, p.role, -len(p.contents), p)):
        held = set(pouch.contents)
        takers = [p for p in pouch.procedures if held & left[p]]
        if not takers and not pouch.kept:
            continue
        wanted = pouch.contents if pouch.kept else demand.in_order(held & {i for p in takers for i in left[p]})
        for p in takers:
            left[p] -= held
        procedures = pouch.procedures if pouch.kept else takers
        tidy_pouches.append(PouchKind(pouch.role, wanted, _listed(demand, procedures), pouch.kept))
    if any(left.values()):
        return None
    return Design(tuple(sorted(tidy_sets)), tuple(sorted(_alike_joined(demand, tidy_pouches))))


def _tidy_sets(demand: Demand, sets: Iterable[SetKind]) -> list[SetKind]:
    tidy: dict[tuple[tuple[str, ...], str], list[str]] = {}
    for kit in sets:
        if not kit.procedures and not kit.kept:
            continue
        wanted = {i for p in kit.procedures for i in demand.wants[p]}
        held = kit.contents if kit.kept else demand.in_order(set(kit.contents) & wanted | _mirror(demand, kit, wanted))
        tidy.setdefault((held, kit.kept), []).extend(kit.procedures)
    return [SetKind(held, _listed(demand, procedures), kept) for (held, kept), procedures in tidy.items()]


def _mirror(demand: Demand, kit: SetKind, wanted: set[str]) -> set[str]:
    """The mirrors that its procedures want belong in every set; where they want none, the first that there is does."""
    wished = demand.mirrors & wanted or sorted(demand.mirrors & set(kit.contents) or demand.mirrors)[:1]
    return set(wished)


def _alike_joined(demand: Demand, pouches: Iterable[PouchKind]) -> list[PouchKind]:
    """Two pouches with the same in them are one kind."""
    joined: dict[tuple[PouchRole, tuple[str, ...], str], list[str]] = {}
    for pouch in pouches:
        joined.setdefault((pouch.role, pouch.contents, pouch.kept), []).extend(pouch.procedures)
    return [PouchKind(role, held, _listed(demand, takers), kept) for (role, held, kept), takers in joined.items()]


def _listed(demand: Demand, procedures: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted(set(procedures), key=demand.place.__getitem__))
