"""The proposals as a folder keeps them: proposal.yaml, from which the planning report makes its section."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import Any, TypeVar

from kitdocs.planning.buying.design_figures import Figures, laid_out
from kitdocs.planning.buying.placement import walks_per_day
from kitdocs.planning.day.items import Takings
from kitdocs.planning.day.kept_visits import visits_per_day
from kitdocs.practice.model import InstrumentSet, Pouch, Practice
from kitdocs.practice.proposal import (
    DesignMade,
    DesignRecord,
    Elsewhere,
    ProposalRecord,
    TakenBefore,
    Takes,
    WhyThere,
)
from kitdocs.practice.quantities import share
from kitdocs.practice.values import Text, share_text
from kitdocs.practice.writing import quoted, scalar
from kitdocs.proposing.proposals import Proposal, Proposals

T = TypeVar("T")


def record_of(answer: Proposals, chosen: Proposal, why: Mapping[str, WhyThere] | None = None) -> ProposalRecord:
    """Return the short list with one chosen, beside what the folder had before; `why` the chosen is as it is."""
    return ProposalRecord.model_construct(
        chosen=chosen.weighing,
        days=chosen.plan.days.days,
        seed=chosen.plan.days.seed,
        bought_in="pieces" if answer.demand.in_pieces else "money",
        designs={proposal.weighing: _figures(proposal.figures) for proposal in answer.proposals},
        today=_figures(answer.today) if answer.today else None,
        made_of={
            proposal.weighing: _made(proposal, (why or {}) if proposal is chosen else {})
            for proposal in answer.proposals
        },
        before=dict(_before(answer.whole)) if answer.whole and answer.today else {},
    )


def _figures(figures: Figures) -> DesignRecord:
    return DesignRecord.model_construct(
        to_buy=figures.money,
        walks=round(figures.walks, 3),
        from_drawers=round(figures.openings, 3),
        kinds=figures.kinds,
        loads=round(figures.loads, 3),
        hands=round(figures.hands, 1),
        ends=round(figures.ends, 1),
    )


def _made(proposal: Proposal, why: Mapping[str, WhyThere]) -> DesignMade:
    practice, design = proposal.practice, proposal.design
    kept = tuple(filter(None, (*(kit.kept for kit in design.sets), *(pouch.kept for pouch in design.pouches))))
    return DesignMade.model_construct(
        kept=kept,
        sets=_without(practice.sets, kept),
        pouches=_without(practice.pouches, kept),
        procedures=MappingProxyType(
            {
                p: Takes.model_construct(set=record.set, add_ons=_as_read(record.add_ons))
                for p, record in practice.procedures.items()
            }
        ),
        drawers=MappingProxyType({c: chair.drawer for c, chair in practice.chairs.items() if chair.drawer}),
        why=MappingProxyType(dict(why)),
    )


def _without(records: Mapping[str, T], kept: Collection[str]) -> Mapping[str, T]:
    return MappingProxyType({id_: record for id_, record in records.items() if id_ not in kept})


def _as_read(shares: Mapping[str, float]) -> Mapping[str, float]:
    """Shares as they come back from what is written."""
    return MappingProxyType({id_: share(often(one)) for id_, one in shares.items()})


def often(one: float) -> str:
    """Return a share as a folder writes it."""
    return "always" if one == 1 else share_text(one)


def _before(practice: Practice) -> Iterator[tuple[str, TakenBefore]]:
    takings, visits = Takings(practice), visits_per_day(practice)
    drawer = {kind.id for kind in takings.kinds if kind.role == "drawer"}
    for p, record in practice.procedures.items():
        opened = {
            pouch: None
            for chair in practice.chairs_for(p)
            for pouch, share in takings.mean_taken(p, chair).items()
            if pouch in drawer and share
        }
        yield (
            p,
            TakenBefore.model_construct(
                set=practice.sets[record.set].name,
                pouches=tuple(practice.pouches[pouch].name for pouch in (*record.add_ons, *opened)),
                laid_out=laid_out(practice, p),
                walks=round(walks_per_day(practice, {p: visits.get(p, 0.0)}), 3),
            ),
        )


def record_lines(record: ProposalRecord) -> Iterator[str]:
    """Yield the lines of proposal.yaml, which are read back as the record."""
    yield f"chosen: {record.chosen}"
    yield f"days: {record.days}"
    yield f"seed: {record.seed}"
    if record.bought_in != "money":
        yield f"bought_in: {record.bought_in}"
    yield "designs:"
    for weighing, figures in record.designs.items():
        yield f"  {weighing}: {_flow(_written(figures))}"
    if record.today:
        yield f"today: {_flow(_written(record.today))}"
    yield "made_of:"
    for weighing, design in record.made_of.items():
        yield f"  {weighing}:"
        yield from _design_lines(design)
    if record.before:
        yield "before:"
    for procedure, taken in record.before.items():
        yield f"  {procedure}:"
        yield f"    set: {_text(taken.set)}"
        if taken.pouches:
            yield f"    pouches: [{', '.join(map(_text, taken.pouches))}]"
        yield f"    laid_out: [{', '.join(taken.laid_out)}]"
        yield f"    walks: {taken.walks}"


def _design_lines(design: DesignMade) -> Iterator[str]:
    if design.kept:
        yield f"    kept: [{', '.join(design.kept)}]"
    for name, packs in (("sets", design.sets), ("pouches", design.pouches)):
        if packs:
            yield f"    {name}:"
        yield from (f"      {id_}: {_flow(dict(pack_fields(pack)))}" for id_, pack in packs.items())
    yield "    procedures:"
    for procedure, takes in design.procedures.items():
        add_ons = {"add_ons": _flow({id_: often(one) for id_, one in takes.add_ons.items()})} if takes.add_ons else {}
        yield f"      {procedure}: {_flow({'set': takes.set, **add_ons})}"
    if design.drawers:
        yield "    drawers:"
    yield from (f"      {chair}: {_flow(drawer)}" for chair, drawer in design.drawers.items())
    if design.why:
        yield "    why:"
    for pack, why in design.why.items():
        yield f"      {pack}:" if why.pack or why.instruments else f"      {pack}: {{}}"
        if why.pack:
            yield f"        pack: {_listed(why.pack)}"
        if why.instruments:
            yield "        instruments:"
        yield from (f"          {i}: {_listed(others)}" for i, others in why.instruments.items())


def _listed(others: Iterable[Elsewhere]) -> str:
    return f"[{', '.join(_flow(_told(other)) for other in others)}]"


def _told(other: Elsewhere) -> dict[str, Any]:
    """What is said of another place; what changes nothing is left out."""
    values = {name: getattr(other, name) for name in Elsewhere.model_fields}
    return {name: f"[{', '.join(v)}]" if isinstance(v, tuple) else v for name, v in values.items() if v}


def pack_fields(record: InstrumentSet | Pouch) -> Iterator[tuple[str, str]]:
    """Yield the fields of a proposed set or pouch, as YAML on one line each."""
    yield "name", _text(record.name)
    yield "code", scalar(record.code)
    if isinstance(record, InstrumentSet):
        yield from (("cassette", record.cassette), ("mark", record.mark))
    else:
        yield from (("kind", record.kind), ("size", record.size))
    if record.implant_related:
        yield "implant_related", "true"
    yield "contents", f"[{', '.join(record.contents)}]"


def _written(figures: DesignRecord) -> dict[str, Any]:
    minutes = {"hands", "ends"}
    values = {name: getattr(figures, name) for name in DesignRecord.model_fields}
    return {name: f"{value} min" if name in minutes else value for name, value in values.items()}


def _flow(values: Mapping[str, Any]) -> str:
    return "{" + ", ".join(f"{name}: {value}" for name, value in values.items()) + "}"


def _text(text: Text) -> str:
    return (
        quoted(text.plain) if text.plain else _flow({language: quoted(words) for language, words in text.by_language})
    )
