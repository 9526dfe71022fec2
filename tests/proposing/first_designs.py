"""Ten poor first designs, as people make them before anybody works anything out, to hold proposals against.

Each keeps what physics and hygiene ask for (cassettes that hold what is in them, a mirror in every set, implants and
stages apart) and nothing of what makes a design lean. Nothing of the program, the search or `completing` is in it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from random import Random

from kitdocs.planning.buying.design_figures import Figures, figures_of
from kitdocs.proposing.design import Design, PouchKind, PouchRole, SetKind, tidied
from kitdocs.proposing.judge import practice_of_design
from kitdocs.proposing.packing import Packing

_LEANNESS = {"mostly-wanted", "made-for"}
"""The rules of a lean design, which a poor one may break."""


class Poor:
    """Makes the designs for one demand."""

    def __init__(self, packing: Packing) -> None:
        self._packing, self._demand = packing, packing.demand

    def designs(self) -> dict[str, Design]:
        """Return the designs that can be packed, by what they are."""
        procedures = self._demand.procedures
        busy = sorted(procedures, key=lambda p: -self._demand.visits[p])
        made: Mapping[str, Callable[[], Design | None]] = {
            "everything in one big set": lambda: self._of([procedures], 0.0, "add-on", whole=True),
            "one big set, the rest loose in the drawers": lambda: self._of([procedures], 0.0, "drawer", whole=False),
            "one set per procedure, all it ever wants": lambda: self._of([[p] for p in procedures], 0.0),
            "one set per procedure, the rest in add-ons": lambda: self._of([[p] for p in procedures], 1.0),
            "one set per procedure, the rest in drawers": lambda: self._of([[p] for p in procedures], 1.0, "drawer"),
            "a bare exam set, all else in single add-ons": lambda: self._of([procedures], 2.0, whole=False),
            "two sets: one for the busy half, one for the rest": lambda: self._of(
                [busy[: len(busy) // 2], busy[len(busy) // 2 :]], 0.0
            ),
            **{
                f"at random, {name}": lambda seed=seed: self._at_random(seed)
                for seed, name in enumerate(("first", "second", "third"), 1)
            },
        }
        return {name: design for name, make in made.items() if (design := make())}

    def _of(
        self, groups: Iterable[Sequence[str]], least: float, role: PouchRole = "add-on", *, whole: bool = True
    ) -> Design | None:
        """Sets for groups of procedures with what at least a share of their visits wants, the rest in pouches.

        `whole`: what a procedure lacks lies in as few pouches as hold it; else each instrument in one of its own.
        """
        kits = [self._set(group, lambda p, i: self._demand.wants[p][i].share >= least - 1e-9) for group in groups]
        return self._with_pouches(kits, role, whole)

    def _set(self, group: Sequence[str], lies_in: Callable[[str, str], bool]) -> SetKind:
        demand = self._demand
        often = {i: sum(demand.visits[p] for p in group if i in demand.wants[p]) for i in demand.instruments}
        held = set(demand.mirrors.intersection(i for p in group for i in demand.wants[p])) or set(
            sorted(demand.mirrors)[:1]
        )
        for i in sorted(often, key=lambda i: -often[i]):
            if any(i in demand.wants[p] and lies_in(p, i) for p in group):
                more = demand.in_order({*held, i})
                if _LEANNESS.issuperset(self._packing.against_set(more, group)):
                    held = set(more)
        return SetKind(demand.in_order(held), tuple(group))

    def _with_pouches(self, kits: Sequence[SetKind], role: PouchRole, whole: bool) -> Design | None:
        demand = self._demand
        pouches: list[PouchKind] = []
        for kit in kits:
            for p in kit.procedures:
                mine: list[PouchKind] = []
                for i in (i for i in demand.wants[p] if i not in kit.contents):
                    always = demand.wants[p][i].always or demand.practice.instruments[i].implant_related
                    alone = PouchKind("add-on" if always else role, (i,), (p,))
                    fuller = [q for q in mine if q.role == alone.role and whole and self._holds(q, i)]
                    if fuller:
                        mine.remove(fuller[0])
                        alone = PouchKind(alone.role, demand.in_order({*fuller[0].contents, i}), (p,))
                    mine.append(alone)
                pouches += mine
        return tidied(demand, kits, pouches)

    def _holds(self, pouch: PouchKind, instrument: str) -> bool:
        more = PouchKind(pouch.role, self._demand.in_order({*pouch.contents, instrument}), pouch.procedures)
        return _LEANNESS.issuperset(self._packing.against_pouch(more))

    def _at_random(self, seed: int) -> Design | None:
        random, demand = Random(seed), self._demand
        groups: list[list[str]] = [[] for _ in range(max(2, len(demand.procedures) // 3))]
        for p in demand.procedures:
            random.choice(groups).append(p)
        kits = [self._set(group, lambda p, i: random.random() < 0.5) for group in groups if group]
        return self._with_pouches(kits, random.choice(("add-on", "drawer")), random.random() < 0.5)


def first_figures(packing: Packing, run: Callable[..., object], designs: Mapping[str, Design]) -> dict[str, Figures]:
    """Return what the plan says of each design."""
    found = {}
    for name, design in designs.items():
        practice = practice_of_design(packing, design)
        found[name] = figures_of(practice, run(practice))  # type: ignore[arg-type]
    return found
