"""Set, add-on or drawer: what each place for an instrument would come to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kitdocs.handbook.blocks import Cell
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.card import Card
from kitdocs.handbook.report.telling import Words, counted, percent, report_card, said, table
from kitdocs.planning.placement import PlacementStudy, Placing
from kitdocs.planning.placements import Where

_HEAD: Mapping[Where, str] = {"set": "In the sets", "add-on": "In add-ons", "drawer": "In the drawers"}


def placement_card(brief: Brief, studies: Sequence[PlacementStudy], section: str) -> Card:
    currency = brief.plan.orders.currency
    head = ("Instrument", "Wanted", "As it is now", *_HEAD.values())
    rows: list[tuple[Words, ...]] = [
        (
            brief.instrument(study.instrument),
            percent(study.wanted),
            _placing(study.now, currency),
            *(_place(study, where, currency) for where in _HEAD),
        )
        for study in studies
    ]
    return report_card(
        "placement",
        "Set, add-on or drawer?",
        section,
        (
            said(
                f"For every instrument that some but not all visits want: the same {studies[0].days:,} busy days are "
                "run again with it in each kind of place. Money is all that would then have to be bought, of this "
                "instrument and of everything else. A walk is one to the store during a visit, and costs a pair of "
                "gloves. On so few days the totals differ a little from the order list; compare them with one "
                "another only."
            ),
            table("What each place would come to", head, rows, numbers=(1, 2, 3, 4, 5)),
        ),
    )


def _place(study: PlacementStudy, where: Where, currency: str) -> Cell:
    placing = study.places[where]
    if placing is None:
        return Cell(text="–", detail="does not fit")
    return Cell(text="as now") if study.is_now == where else _placing(placing, currency)


def _placing(placing: Placing, currency: str) -> Cell:
    walks = counted(round(placing.walks_per_day, 1), "walk")
    return Cell(text=f"{currency} {placing.money:,.0f}", detail=f"own {placing.own}, buy {placing.buy}; {walks} a day")
