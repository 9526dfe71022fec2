"""Set, add-on or drawer: what each place for an instrument would come to."""

from __future__ import annotations

from collections.abc import Sequence

from kitdocs.document.blocks import Cell, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.planning.buying.placement import PlacementStudy
from kitdocs.planning.buying.placements import WHERE, Where
from kitdocs.practice.message import counted
from kitdocs.practice.numbers import money, percent, plain
from kitdocs.report.layout import CellText, report_card, table


def placement_card(brief: Brief, studies: Sequence[PlacementStudy], section: str) -> Card:
    """Return what each place for each studied instrument comes to."""
    words, now = brief.words, studies[0].now
    rows: list[tuple[CellText, ...]] = [
        (
            brief.instrument(study.instrument),
            percent(study.wanted),
            _now(brief, study),
            *(_place(brief, study, where) for where in WHERE),
        )
        for study in studies
    ]
    intro = words(
        "report.placement.intro",
        days=studies[0].days,
        money=money(now.money, brief.plan.orders.currency),
        walks=plain(now.walks_per_day),
        gloves=plain(now.glove_pairs_per_day),
    )
    head = [words(f"report.placement.head.{name}") for name in ("instrument", "wanted", "now", *WHERE)]
    blocks = (said(intro), table(words("report.placement.table"), head, rows, numbers=(1, 3, 4, 5)))
    return report_card("placement", words("report.placement.title"), section, blocks)


def _now(brief: Brief, study: PlacementStudy) -> Cell:
    words, now = brief.words, study.now
    where = words(f"report.placement.now.{study.is_now or 'several'}")
    return Cell(text=where, detail=words("report.placement.own-and-buy", own=now.own, buy=now.buy))


def _place(brief: Brief, study: PlacementStudy, where: Where) -> Cell:
    words, placing = brief.words, study.places[where]
    if placing is None:
        return Cell(text=words("report.placement.does-not-fit"))
    if study.is_now == where:
        return Cell(text=words("report.placement.as-now"))
    more = placing.money - study.now.money
    walks = counted("report.placement.walks", round(placing.walks_per_day, 1))
    gloves = counted("report.placement.pairs", round(placing.glove_pairs_per_day, 1))
    return Cell(
        text=f"{'+' if more > 0 else ''}{plain(float(more), 0)}",
        detail=words("report.placement.own-and-walks", own=placing.own, walks=walks, gloves=gloves),
    )
