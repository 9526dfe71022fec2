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
from kitdocs.practice.numbers import plain
from kitdocs.practice.room import MachineStage, Steam
from kitdocs.report.telling import report_card, table


def loads_card(brief: Brief, section: str) -> Card:
    """For each machine."""
    blocks = [block for guide in brief.plan.load_guides for block in _machine(brief, guide)]
    rule = said(
        "A load may mix sizes. What one of a kind takes is counted in points: a mix fits when its points add up to "
        "no more than a full load. The chamber's bound is geometry alone, bare of wrap and nothing stacked: a stated "
        "number above it cannot be right, one below it still needs the maker's word."
    )
    return report_card("loads", "Loads and cycles", section, (rule, *blocks))


def _machine(brief: Brief, guide: LoadGuide) -> Iterator[Block]:
    stage = brief.practice.room.stages[guide.stage]
    assert isinstance(stage, MachineStage)
    name = brief.say(stage.name)
    head = (
        "What goes in",
        "Fill a load",
        f"Points of {guide.points_in_a_load}",
        *(("Chamber, at most",) if stage.chamber else ()),
    )
    rows = [
        (
            _goes_in(brief, stage, kind),
            str(stage.capacity[kind]),
            str(points),
            *((_bound(brief, stage, kind),) if stage.chamber else ()),
        )
        for kind, points in guide.points.items()
    ]
    yield table(name, head, rows, numbers=range(1, len(head)))
    if stage.steam is not None:
        yield Facts(
            facts=(
                Fact(label="Stated cycle", value=_cycle(stage.steam)),
                Fact(label="CDC 2008, table 7", value=_least(stage.steam)),
            )
        )


def _goes_in(brief: Brief, stage: MachineStage, kind: str) -> str:
    """What it is called in that machine: before packing there is no pouch yet, only what was in it."""
    name = packed_name(brief, kind)
    return name if stage.area == "sterilization" or kind in brief.practice.cassettes else f"What was in: {name}"


def _bound(brief: Brief, stage: MachineStage, kind: str) -> str:
    cassette = brief.practice.cassettes.get(kind)
    if cassette is None or stage.chamber is None:
        return "–"
    return str(chamber_bound(cassette.outside, stage.chamber).most)


def _cycle(steam: Steam) -> str:
    kind = "gravity displacement" if steam.type == "gravity" else "dynamic air removal"
    return (
        f"{kind}, {plain(steam.temperature)} °C, {plain(steam.exposure)} min of exposure and "
        f"{plain(steam.drying)} min of drying"
    )


def _least(steam: Steam) -> str:
    least = least_times(steam)
    if least is None:
        return "gives no times for wrapped instruments at this temperature; the maker's instructions decide"
    return (
        f"at least {plain(least.exposure)} min of exposure and {plain(least.drying)} min of drying for wrapped "
        f"instruments at {plain(least.temperature)} °C; the makers' instructions decide"
    )
