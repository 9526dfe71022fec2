"""Why each thing of a proposal lies where it lies: what the plan says of the nearest other place, on the same days."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from kitdocs.planning.buying.design_figures import Figures
from kitdocs.practice.message import Joined, Message, Share, Value, counted, message
from kitdocs.proposing.design import Design, PouchKind, PouchRole, SetKind, tidied
from kitdocs.proposing.proposals import Proposal, Proposals

_RULES = (
    "cassette",
    "pouch",
    "stages",
    "apart",
    "together",
    "implant",
    "always",
    "mostly-wanted",
    "made-for",
    "mirror",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reasons:
    """Sentences by the id of a set or pouch of the proposal."""

    of: Mapping[str, tuple[Message, ...]]
    kept: frozenset[str]
    """What stays as it was."""


def reasons(proposals: Proposals, proposal: Proposal) -> Reasons:
    """Return why each set and pouch of a proposal is as it is; each other place is judged by the plan."""
    said = _Said(proposals, proposal)
    sets = dict(zip(proposal.named.sets, proposal.design.sets, strict=True))
    pouches = dict(zip(proposal.named.pouches, proposal.design.pouches, strict=True))
    return Reasons(
        of={
            **{id_: tuple(said.of_set(id_, kit)) for id_, kit in sets.items()},
            **{id_: tuple(said.of_pouch(pouch)) for id_, pouch in pouches.items()},
        },
        kept=frozenset(proposals.demand.practice.sets) | frozenset(proposals.demand.practice.pouches),
    )


class _Said:
    def __init__(self, proposals: Proposals, proposal: Proposal) -> None:
        self._demand, self._judge = proposals.demand, proposals.judge
        self._design, self._proposal = proposal.design, proposal
        self._weights = proposals.weights(proposal)
        self._practice = proposal.practice

    # sets -------------------------------------------------------------------------------------

    def of_set(self, id_: str, kit: SetKind) -> Iterator[Message]:
        practice, demand = self._practice, self._demand
        visits = counted("propose.visits", round(demand.rate(kit.procedures), 1))
        procedures = Joined(tuple(practice.procedures[p].name for p in kit.procedures))
        cassette = practice.cassettes[practice.sets[id_].cassette].name
        if kit.kept:
            yield counted("propose.why.set-kept", len(kit.procedures), procedures=procedures, visits=visits)
            return
        yield counted("propose.why.set", len(kit.procedures), procedures=procedures, visits=visits, cassette=cassette)
        wanted = {i: self._wanted(kit, i) for i in kit.contents}
        rare = sorted((share, i) for i, share in wanted.items() if share < 0.9995 and i not in demand.mirrors)
        others = [i for i in kit.contents if i not in {i for _, i in rare}]
        if always := [i for i in others if wanted[i] >= 0.9995]:
            yield message("propose.why.always", instruments=self._named(always))
        if mirrors := [i for i in others if i not in always]:
            yield message("propose.why.mirror", instruments=self._named(mirrors))
        for share, i in rare:
            yield message(
                "propose.why.in-set" if share >= 0.5 else "propose.why.in-set-seldom",
                instrument=practice.instruments[i].name,
                share=Share(share, 0),
                otherwise=Joined(tuple(self._outside(kit, i)), "; "),
            )

    def _wanted(self, kit: SetKind, instrument: str) -> float:
        """The share of the visits with a set that want an instrument."""
        demand = self._demand
        wants = ((demand.visits[p], demand.wants[p].get(instrument)) for p in kit.procedures)
        rate = demand.rate(kit.procedures)
        return sum(visits * want.share for visits, want in wants if want) / rate if rate else 0.0

    def _outside(self, kit: SetKind, instrument: str) -> Iterator[Message]:
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
            yield self._otherwise(f"as-{role}", tidied(demand, sets, [*design.pouches, alone]), alone)

    # pouches ----------------------------------------------------------------------------------

    def of_pouch(self, pouch: PouchKind) -> Iterator[Message]:
        demand, practice, design = self._demand, self._practice, self._design
        procedures = Joined(
            tuple(
                message(
                    "propose.why.taken-by",
                    procedure=practice.procedures[p].name,
                    share=Share(self._taken(pouch, p), 0),
                )
                for p in pouch.procedures
            )
        )
        key = "propose.why.pouch-kept" if pouch.kept else f"propose.why.{pouch.role}"
        yield message(key, procedures=procedures)
        if pouch.kept:
            return
        if len(pouch.contents) > 1:
            yield message("propose.why.in-pouch", instruments=Joined(tuple(self._for_whom(pouch)), "; "))
        role: PouchRole = "drawer" if pouch.role == "add-on" else "add-on"
        rest = [other for other in design.pouches if other != pouch]
        turned = PouchKind(role, pouch.contents, pouch.procedures)
        inside = [self._with(kit, pouch) for kit in design.sets]
        others = [self._otherwise("in-set", tidied(demand, inside, rest), *inside)]
        if "always" not in self._broken(turned):
            others.append(self._otherwise(f"as-{role}", tidied(demand, design.sets, [*rest, turned]), turned))
        yield message("propose.why.otherwise", otherwise=Joined(tuple(others), "; "))

    def _for_whom(self, pouch: PouchKind) -> Iterator[Message]:
        """Each instrument of a pouch with the procedures that take the pouch for it."""
        demand, names = self._demand, self._practice.procedures
        for i in pouch.contents:
            takers = [p for p in pouch.procedures if i in demand.wants[p]]
            shares = (
                message("propose.why.taken-by", procedure=names[p].name, share=Share(demand.wants[p][i].share, 0))
                for p in takers
            )
            instrument = self._practice.instruments[i].name
            yield message("propose.why.for-whom", instrument=instrument, procedures=Joined(tuple(shares)))

    def _named(self, instruments: Iterable[str]) -> Joined:
        return Joined(tuple(self._practice.instruments[i].name for i in instruments))

    def _taken(self, pouch: PouchKind, procedure: str) -> float:
        held = set(self._design.set_of(procedure).contents)
        return self._demand.share(procedure, [i for i in pouch.contents if i not in held])

    def _with(self, kit: SetKind, pouch: PouchKind) -> SetKind:
        """The set with what its procedures take the pouch for."""
        takers = [p for p in kit.procedures if p in pouch.procedures]
        more = {i for p in takers for i in pouch.contents if i in self._demand.wants[p]}
        return SetKind(self._demand.in_order(more.union(kit.contents)), kit.procedures, kit.kept) if more else kit

    # what another place comes to --------------------------------------------------------------

    def _otherwise(self, place: str, other: Design | None, *kinds: SetKind | PouchKind) -> Message:
        where = message(f"propose.otherwise.{place}")
        figures = self._judge(other) if other else None
        now = self._judge(self._design)
        if figures is None or now is None:
            why = self._why_never(other, kinds)
            return message("propose.otherwise.never", where=where, why=why)
        return message("propose.otherwise.costs", where=where, changes=changes(now, figures, self._demand.bought_in))

    def _why_never(self, other: Design | None, kinds: Sequence[SetKind | PouchKind]) -> Message:
        broken = [rule for kind in kinds for rule in self._broken(kind)]
        if rule := next((rule for rule in _RULES if rule in broken), ""):
            return message(f"propose.rule.{rule}")
        if other and any(self._judge.packing.pouches_over(other)):
            return counted("propose.rule.pouches", self._demand.pouches)
        return message("propose.rule.other")

    def _broken(self, kind: SetKind | PouchKind) -> list[str]:
        packing = self._judge.packing
        if kind.kept:
            return []
        if isinstance(kind, PouchKind):
            return list(packing.against_pouch(kind))
        return list(packing.against_set(kind.contents, kind.procedures))


def changes(now: Figures, other: Figures, currency: Value) -> Value:
    """Return what another design changes, a few words each; that it changes nothing, where it does not."""
    parts: list[Message] = []
    if money := other.money - now.money:
        parts.append(message("propose.change.money", amount=signed(money), currency=currency))
    for name, before, after in (
        ("walks", now.walks, other.walks),
        ("openings", now.openings, other.openings),
        ("hands", now.hands, other.hands),
        ("kinds", float(now.kinds), float(other.kinds)),
    ):
        if abs(after - before) >= 0.05:
            more = after - before
            parts.append(counted(f"propose.change.{name}", abs(round(more, 1)), amount=signed(more)))
    return Joined(tuple(parts), ", ") if parts else message("propose.change.none")


def signed(number: float | Decimal) -> str:
    """Return a difference with its sign: whole numbers and money without decimals, others with one."""
    rounded = round(float(number), 1)
    places = 0 if isinstance(number, Decimal) or rounded == int(rounded) else 1
    return f"{'−' if rounded < 0 else '+'}{abs(rounded):,.{places}f}"
