"""Set, add-on or drawer: what each place for an instrument would come to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kitdocs.document.blocks import Cell, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.planning.buying.placement import PlacementStudy
from kitdocs.planning.buying.placements import Where
from kitdocs.practice.numbers import money, percent, plain
from kitdocs.report.telling import CellText, counted, report_card, table

_HEAD: Mapping[Where, str] = {"set": "In the sets", "add-on": "In add-ons", "drawer": "In the drawers"}
_NOW: Mapping[Where, str] = {"set": "the sets", "add-on": "add-ons", "drawer": "the drawers"}


def placement_card(brief: Brief, studies: Sequence[PlacementStudy], section: str) -> Card:
    head = ("Instrument", "Wanted", "Lies now in", *_HEAD.values())
    rows: list[tuple[CellText, ...]] = [
        (
            brief.instrument(study.instrument),
            percent(study.wanted),
            _now(study),
            *(_place(study, where) for where in _HEAD),
        )
        for study in studies
    ]
    now = studies[0].now
    return report_card(
        "placement",
        "Set, add-on or drawer?",
        section,
        (
            said(
                f"For every instrument that some but not all visits want: the same {studies[0].days:,} busy days are "
                "run again with it in each kind of place. The large number is how much more (or, with a minus, less) "
                f"would have to be bought than the {money(now.money, brief.plan.orders.currency)} that these days ask "
                "for as it is now, of this instrument and of everything else. A walk is one to the store during a "
                f"visit, and costs a pair of gloves; now there are {plain(now.walks_per_day)} a day. On so few days "
                "totals differ a little from the order list."
            ),
            table("What each place would come to", head, rows, numbers=(1, 3, 4, 5)),
        ),
    )


def _now(study: PlacementStudy) -> Cell:
    where = _NOW[study.is_now] if study.is_now else "several places"
    return Cell(text=where, detail=f"{study.now.own} to own, {study.now.buy} to buy")


def _place(study: PlacementStudy, where: Where) -> Cell:
    placing = study.places[where]
    if placing is None:
        return Cell(text="does not fit")
    if study.is_now == where:
        return Cell(text="as now")
    more = placing.money - study.now.money
    walks = counted(round(placing.walks_per_day, 1), "walk")
    return Cell(text=f"{'+' if more > 0 else ''}{plain(float(more), 0)}", detail=f"{placing.own} to own, {walks}")
