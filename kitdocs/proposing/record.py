"""The proposals as a folder keeps them: proposal.yaml, from which the planning report makes its section."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from kitdocs.planning.buying.design_figures import Figures, laid_out
from kitdocs.planning.buying.placement import walks_per_day
from kitdocs.planning.day.items import Takings
from kitdocs.planning.day.kept_visits import visits_per_day
from kitdocs.practice.model import Practice
from kitdocs.practice.proposal import DesignRecord, ProposalRecord, TakenBefore
from kitdocs.practice.values import Text
from kitdocs.practice.writing import quoted
from kitdocs.proposing.proposals import Proposal, Proposals


def record_of(answer: Proposals, chosen: Proposal) -> ProposalRecord:
    """Return the short list with one chosen, beside what the folder had before."""
    return ProposalRecord.model_construct(
        chosen=chosen.weighing,
        days=chosen.plan.days.days,
        seed=chosen.plan.days.seed,
        designs={proposal.weighing: _figures(proposal.figures) for proposal in answer.proposals},
        today=_figures(answer.today) if answer.today else None,
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
    yield "designs:"
    for weighing, figures in record.designs.items():
        yield f"  {weighing}: {_flow(_written(figures))}"
    if record.today:
        yield f"today: {_flow(_written(record.today))}"
    if record.before:
        yield "before:"
    for procedure, taken in record.before.items():
        yield f"  {procedure}:"
        yield f"    set: {_text(taken.set)}"
        if taken.pouches:
            yield f"    pouches: [{', '.join(map(_text, taken.pouches))}]"
        yield f"    laid_out: [{', '.join(taken.laid_out)}]"
        yield f"    walks: {taken.walks}"


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
