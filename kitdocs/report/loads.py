"""Loads: what fills one, what the chamber can hold at the most, and the stated cycle beside the published times."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Fact, Facts, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.guides import packed_name
from kitdocs.planning.measures.chamber import chamber_bound
from kitdocs.planning.measures.loads import LoadGuide
from kitdocs.planning.measures.steam import least_times
from kitdocs.practice.room import MachineStage, Steam
from kitdocs.report.layout import NOTHING, report_card, table


def loads_card(brief: Brief, section: str) -> Card:
    """Return what each machine takes."""
    blocks = [block for guide in brief.plan.load_guides for block in _machine(brief, guide)]
    return report_card(
        "loads", brief.words("report.loads.title"), section, (said(brief.words("report.loads.rule")), *blocks)
    )


def _machine(brief: Brief, guide: LoadGuide) -> Iterator[Block]:
    words, stage = brief.words, brief.practice.room.stages[guide.stage]
    assert isinstance(stage, MachineStage)
    columns = ("kind", "capacity", "points", *(("chamber",) if stage.chamber else ()))
    head = [words(f"report.loads.head.{name}", whole=guide.points_in_a_load) for name in columns]
    rows = [
        (_goes_in(brief, stage, kind), str(stage.capacity[kind]), str(points), _bound(brief, stage, kind))
        for kind, points in guide.points.items()
    ]
    yield table(brief.say(stage.name), head, [row[: len(head)] for row in rows], numbers=range(1, len(head)))
    if stage.steam is not None:
        yield Facts(
            facts=(
                Fact(label=words("report.loads.cycle"), value=_cycle(brief, stage.steam)),
                Fact(label=words("report.loads.table"), value=_least(brief, stage.steam)),
            )
        )


def _goes_in(brief: Brief, stage: MachineStage, kind: str) -> str:
    """Return what it is called in that machine: before packing there is no pouch yet, only what was in it."""
    name = packed_name(brief, kind)
    packed = stage.area == "sterilization" or kind in brief.practice.cassettes
    return name if packed else brief.words("report.loads.contents", pouch=name)


def _bound(brief: Brief, stage: MachineStage, kind: str) -> str:
    cassette = brief.practice.cassettes.get(kind)
    if cassette is None or stage.chamber is None:
        return NOTHING
    return str(chamber_bound(cassette.outside, stage.chamber).most)


def _cycle(brief: Brief, steam: Steam) -> str:
    return brief.words(
        f"report.loads.{steam.type}",
        temperature=steam.temperature,
        exposure=steam.exposure,
        drying=steam.drying,
    )


def _least(brief: Brief, steam: Steam) -> str:
    least = least_times(steam)
    if least is None:
        return brief.words("report.loads.no-times")
    return brief.words(
        "report.loads.least", exposure=least.exposure, drying=least.drying, temperature=least.temperature
    )
