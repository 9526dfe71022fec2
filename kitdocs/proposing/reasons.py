"""Why each thing of a proposal lies where it lies: what the plan says of other places for it, on the same days."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import get_args

from kitdocs.planning.buying.design_figures import Figures
from kitdocs.planning.buying.why_there import Explained
from kitdocs.practice.message import Joined, Message, message
from kitdocs.practice.proposal import Elsewhere, Hindrance, Place, WhyThere
from kitdocs.proposing.design import Design, PouchKind, PouchRole, SetKind, tidied
from kitdocs.proposing.proposals import Proposal, Proposals

#: What rules a kind out by itself, what says most first.
_OF_A_KIND: tuple[Hindrance, ...] = get_args(Hindrance)[:10]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reasons:
    """Sentences by the id of a set or pouch of the proposal, and what the folder keeps to say them again."""

    of: Mapping[str, tuple[Message, ...]]
    kept: frozenset[str]
    """What stays as it was."""
    why: Mapping[str, WhyThere]
    """Without what stays as it was."""


def reasons(proposals: Proposals, proposal: Proposal) -> Reasons:
    """Return why each set and pouch of a proposal is as it is; each other place is judged by the plan."""
    asked = _Asked(proposals, proposal)
    sets = dict(zip(proposal.named.sets, proposal.design.sets, strict=True))
    pouches = dict(zip(proposal.named.pouches, proposal.design.pouches, strict=True))
    why = {id_: asked.of_set(kit) for id_, kit in sets.items() if not kit.kept}
    why |= {id_: asked.of_pouch(pouch) for id_, pouch in pouches.items() if not pouch.kept}
    currency = None if proposals.demand.in_pieces else proposals.demand.practice.settings.currency
    said = Explained(proposal.practice, why, currency)
    return Reasons(
        of={id_: tuple(_lines(proposal, said, id_)) for id_ in (*sets, *pouches)},
        kept=frozenset(proposals.demand.practice.sets) | frozenset(proposals.demand.practice.pouches),
        why=MappingProxyType(why),
    )


def _lines(proposal: Proposal, said: Explained, id_: str) -> Iterator[Message]:
    """What is said of a set or pouch, then of each instrument; of those of which the same is said, at once."""
    yield from said.of_pack(id_)
    alike: dict[Message, list[str]] = {}
    for instrument, why in said.of_instruments(id_):
        alike.setdefault(why, []).append(instrument)
    for why, instruments in alike.items():
        names = Joined(tuple(proposal.practice.instruments[i].name for i in instruments))
        yield message("propose.why.of", instruments=names, why=why)


@dataclass
class _Asked:
    """Other places for what lies in a design."""

    proposals: Proposals
    proposal: Proposal
    sets: dict[SetKind, str] = field(init=False)

    def __post_init__(self) -> None:
        self._demand, self._judge = self.proposals.demand, self.proposals.judge
        self._design = self.proposal.design
        self.sets = dict(zip(self._design.sets, self.proposal.named.sets, strict=True))

    def of_set(self, kit: SetKind) -> WhyThere:
        """Ask of each instrument that not every visit wants what it comes to beside the set."""
        demand = self._demand
        rare = [i for i in kit.contents if i not in demand.mirrors and not self._always(kit, i)]
        return WhyThere.model_construct(instruments={i: tuple(self._outside(kit, i)) for i in rare})

    def _always(self, kit: SetKind, instrument: str) -> bool:
        wants = self._demand.wants
        return all(instrument in wants[p] and wants[p][instrument].always for p in kit.procedures)

    def _outside(self, kit: SetKind, instrument: str) -> Iterator[Elsewhere]:
        demand, design = self._demand, self._design
        block = demand.blocks[instrument]
        less = SetKind(tuple(i for i in kit.contents if i not in block), kit.procedures)
        sets = [less if other == kit else other for other in design.sets]
        wanting = tuple(p for p in kit.procedures if block & set(demand.wants[p]))
        roles: tuple[PouchRole, ...] = ("add-on", "drawer")
        for role in roles:
            alone = PouchKind(role, demand.in_order(block), wanting)
            if "always" in self._broken(alone):
                continue  # what is wanted at every visit of a procedure lies in no drawer: nobody asks
            yield self._elsewhere(role, wanting, tidied(demand, sets, [*design.pouches, alone]), alone)

    def of_pouch(self, pouch: PouchKind) -> WhyThere:
        """Ask of each instrument what it comes to in a set that the pouch is laid on, and of the pouch as a whole."""
        alone = {i: tuple(self._in_sets(pouch, i)) for i in pouch.contents}
        return WhyThere.model_construct(pack=tuple(self._turned(pouch)), instruments=alone)

    def _in_sets(self, pouch: PouchKind, instrument: str) -> Iterator[Elsewhere]:
        demand, design = self._demand, self._design
        block = demand.blocks[instrument]
        for kit in design.sets:
            wanting = [p for p in kit.procedures if p in pouch.procedures and block & set(demand.wants[p])]
            if kit.kept or not wanting or block <= set(kit.contents):
                continue
            more = SetKind(demand.in_order(block.union(kit.contents)), kit.procedures)
            sets = [more if other == kit else other for other in design.sets]
            yield self._elsewhere("set", (self.sets[kit],), tidied(demand, sets, design.pouches), more)

    def _turned(self, pouch: PouchKind) -> Iterator[Elsewhere]:
        """The pouch as what it is not, an add-on or in drawers: for all who take it, or else for each that it can be.

        What every visit wants lies in no drawer, and nobody asks.
        """
        role: PouchRole = "drawer" if pouch.role == "add-on" else "add-on"
        whole = self._turned_for(pouch, role, pouch.procedures)
        if whole.never is None:
            yield whole
            return
        able: list[str] = []
        unable: dict[tuple[Hindrance | None, int], list[Elsewhere]] = {}
        for p in pouch.procedures:
            alone = whole if len(pouch.procedures) == 1 else self._turned_for(pouch, role, (p,))
            if alone.never is None:
                able.append(p)
            elif alone.never != "always":
                unable.setdefault((alone.never, alone.most), []).append(alone)
        for others in unable.values():
            of = tuple(p for other in others for p in other.of)
            over = tuple(dict.fromkeys(p for other in others for p in other.over))
            yield others[0].model_copy(update={"of": of, "over": over})
        if able:
            yield self._turned_for(pouch, role, tuple(able))

    def _turned_for(self, pouch: PouchKind, role: PouchRole, procedures: tuple[str, ...]) -> Elsewhere:
        demand, design = self._demand, self._design
        wanted = {i for p in procedures for i in demand.wants[p] if i not in design.set_of(p).contents}
        turned = PouchKind(role, demand.in_order(wanted.intersection(pouch.contents)), procedures)
        left = tuple(p for p in pouch.procedures if p not in procedures)
        pouches = [other for other in design.pouches if other != pouch]
        if left:
            pouches.append(PouchKind(pouch.role, pouch.contents, left))
        return self._elsewhere(role, procedures, tidied(demand, design.sets, [*pouches, turned]), turned)

    # what another place comes to --------------------------------------------------------------

    def _elsewhere(
        self, place: Place, of: tuple[str, ...], other: Design | None, kind: SetKind | PouchKind
    ) -> Elsewhere:
        figures = self._judge(other) if other else None
        now = self._judge(self._design)
        if figures is not None and now is not None:
            return difference(now, figures, place, of)
        never = next((rule for rule in _OF_A_KIND if rule in self._broken(kind)), None)
        over = tuple(self._judge.packing.pouches_over(other)) if other and never is None else ()
        if over:
            most = self._demand.pouches
            return Elsewhere.model_construct(place=place, of=of, never="pouches", over=over, most=most)
        hindered = never or (self._judge.packing.hindrance(other) if other else None) or "room"
        return Elsewhere.model_construct(place=place, of=of, never=hindered)

    def _broken(self, kind: SetKind | PouchKind) -> Sequence[str]:
        packing = self._judge.packing
        if isinstance(kind, PouchKind):
            return list(packing.against_pouch(kind))
        return list(packing.against_set(kind.contents, kind.procedures))


def difference(now: Figures, other: Figures, place: Place = "set", of: tuple[str, ...] = ()) -> Elsewhere:
    """Return what another design changes, for something that lies at another place in it."""
    return Elsewhere.model_construct(
        place=place,
        of=of,
        to_buy=round(float(other.money - now.money), 2),
        walks=round(other.walks - now.walks, 2),
        from_drawers=round(other.openings - now.openings, 2),
        hands=round(other.hands - now.hands, 1),
        handled=round(other.handled - now.handled, 1),
        kinds=float(other.kinds - now.kinds),
    )
