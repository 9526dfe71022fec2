"""A whole design from sets alone: pouches for what the sets leave out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from kitdocs.proposing.demand import Demand
from kitdocs.proposing.design import Design, PouchKind, PouchRole, SetKind, tidied
from kitdocs.proposing.packing import Packing


def kept_sets(demand: Demand) -> list[SetKind]:
    """Return the sets that are settled, with the procedures that the folder gives them."""
    procedures = demand.practice.procedures
    return [
        SetKind(demand.in_order(kit.contents), tuple(p for p in demand.procedures if procedures[p].set == id_), id_)
        for id_, kit in demand.practice.sets.items()
    ]


def kept_pouches(demand: Demand) -> list[PouchKind]:
    """Return the pouches that are settled, with the procedures that the folder lets take them."""
    practice = demand.practice
    kept = []
    for id_, pouch in practice.pouches.items():
        contents = demand.in_order(pouch.contents)
        if pouch.kind == "add-on":
            takers = [p for p in demand.procedures if id_ in practice.procedures[p].add_ons]
        else:
            there = {c for c, chair in practice.chairs.items() if id_ in chair.drawer}
            wanting = [p for p in demand.procedures if set(contents).intersection(demand.wants[p])]
            takers = [p for p in wanting if there.issuperset(practice.chairs_for(p))]
        kept.append(PouchKind(pouch.kind, contents, tuple(takers), id_))
    return kept


def filled_set(packing: Packing, procedures: Sequence[str], least: float = 1.0) -> SetKind:
    """Return a set for some procedures with what at least so many of their visits want, as long as it goes in.

    What fits no pouch goes in first, however few want it: it can lie nowhere else.
    """
    demand = packing.demand
    rate = demand.rate(procedures) or 1.0
    wanted = {
        i: sum(demand.visits[p] * demand.wants[p][i].share for p in procedures if i in demand.wants[p]) / rate
        for i in demand.instruments
        if any(i in demand.wants[p] for p in procedures)
    }
    held = set(demand.mirrors.intersection(wanted) or sorted(demand.mirrors)[:1])
    bulky = {i for i in wanted if packing.size(demand.pieces(demand.blocks[i], procedures)) is None}
    for i in sorted(wanted, key=lambda i: (i not in bulky, -wanted[i], demand.instruments.index(i))):
        if wanted[i] < least - 1e-9 and i not in bulky:
            break
        more = held | demand.blocks[i]
        if not any(packing.against_set(demand.in_order(more), procedures)):
            held = more
    return SetKind(demand.in_order(held), tuple(procedures))


def completed(
    packing: Packing, sets: Iterable[SetKind], pouches: Iterable[PouchKind] = (), *, drawers: bool = False
) -> Design | None:
    """Return the design with these sets and pouches, and pouches beside them for every want that they leave unmet.

    What some visits want lies in `drawers`, or in add-ons like what all want. None where something fits nowhere.
    """
    demand = packing.demand
    kits = list(sets)
    made = {pouch: list(pouch.procedures) for pouch in (*pouches,)}
    for kit in kits:
        for p in kit.procedures:
            left = [i for i in demand.wants[p] if i not in kit.contents]
            left = _met(demand, made, kit, p, left)
            for role, wanted in _by_role(demand, p, left, drawers):
                for contents in _packed(packing, role, p, wanted):
                    made.setdefault(PouchKind(role, contents, ()), []).append(p)
    design = tidied(
        demand,
        kits,
        [PouchKind(pouch.role, pouch.contents, tuple(takers), pouch.kept) for pouch, takers in made.items()],
    )
    return design if design and packing.holds(design) else None


def _met(demand: Demand, made: dict[PouchKind, list[str]], kit: SetKind, p: str, left: Sequence[str]) -> list[str]:
    """Let the procedure take pouches that there are, whole or, of what only some visits want, in part."""
    still = set(left)
    for pouch, takers in made.items():
        if p in takers:
            still -= set(pouch.contents)
    for pouch, takers in made.items():
        meets = still.intersection(pouch.contents)
        doubled = pouch.role == "add-on" and set(pouch.contents).intersection(kit.contents)
        always = any(i in demand.wants[p] and demand.wants[p][i].always for i in pouch.contents)
        if meets and not doubled and not (pouch.role == "drawer" and always) and len(meets) * 2 >= len(pouch.contents):
            takers.append(p)
            still -= meets
    return [i for i in left if i in still]


def _by_role(
    demand: Demand, procedure: str, left: Sequence[str], drawers: bool
) -> Iterable[tuple[PouchRole, list[str]]]:
    always = [i for i in left if demand.wants[procedure][i].always]
    sometimes = [i for i in left if not demand.wants[procedure][i].always]
    yield "add-on", always
    instruments = demand.practice.instruments
    yield "drawer" if drawers else "add-on", [i for i in sometimes if not instruments[i].implant_related]
    yield "add-on", [i for i in sometimes if instruments[i].implant_related]


def _packed(packing: Packing, role: PouchRole, procedure: str, wanted: Sequence[str]) -> list[tuple[str, ...]]:
    """Deal what is wanted out to as few pouches as the rules allow, one after the other."""
    demand = packing.demand
    packed: list[tuple[str, ...]] = []
    for i in wanted:
        block = set(demand.blocks[i])
        for n, held in enumerate(packed):
            if block.issubset(held):
                break
            more = demand.in_order(block.union(held))
            if packing.pouch_is_allowed(PouchKind(role, more, (procedure,))):
                packed[n] = more
                break
        else:
            packed.append(demand.in_order(block))
    return packed
