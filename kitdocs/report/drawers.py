"""Drawer pouches: how many in each drawer, how many to own, and when the drawers can be full again."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Cell, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.practice.numbers import percent, plain
from kitdocs.practice.values import clock_text
from kitdocs.report.telling import report_card, table

_MOST_COLUMNS = 6


def drawers_card(brief: Brief, section: str) -> Card:
    days = brief.plan.days
    blocks: tuple[Block, ...] = (
        said(
            "In a drawer lie as many as are opened at that chair between two restockings on "
            f"{percent(days.service, 1)} of busy days, and at least one. A number that the practice has written "
            "stands as it is."
        ),
        *_pars(brief),
        _pouches(brief),
        _restocking(brief),
    )
    return report_card("drawers", "Pouches in the drawers at the chairs", section, blocks)


def _pars(brief: Brief) -> Iterator[Block]:
    """Chairs down, pouches across; a second table where there are many pouches."""
    pouches = list(brief.plan.days.drawer_pouches)
    chairs = [chair for chair, of in brief.practice.chairs.items() if of.drawer]
    each = _MOST_COLUMNS - 1
    for first in range(0, len(pouches), each):
        shown = pouches[first : first + each]
        yield table(
            "How many in each drawer" if not first else "",
            ("Chair", *(brief.pouch(pouch) for pouch in shown)),
            [(brief.chair(chair), *(_par(brief, chair, pouch) for pouch in shown)) for chair in chairs],
            numbers=range(1, len(shown) + 1),
        )


def _par(brief: Brief, chair: str, pouch: str) -> Cell:
    par = brief.plan.days.pars.get((chair, pouch))
    if par is None:
        return Cell(text="–")
    written = f"as written; worked out: {par.computed}" if par.written not in (None, par.computed) else ""
    return Cell(text=str(par.par), detail=written)


def _pouches(brief: Brief) -> Block:
    rows = [
        (
            brief.pouch(pouch.id),
            plain(pouch.opened_per_day),
            str(pouch.par),
            str(pouch.needed_beyond),
            str(pouch.spares),
            str(pouch.own),
        )
        for pouch in brief.plan.days.drawer_pouches.values()
    ]
    head = ("Pouch", "Opened a day", "In all drawers", "On their way back", "Spares", "Own")
    return table("Drawer pouches to own", head, rows, numbers=(1, 2, 3, 4, 5))


def _restocking(brief: Brief) -> Block:
    rows = [
        (clock_text(each.at / 60), clock_text(each.complete.median / 60), clock_text(each.complete.high / 60))
        for each in brief.plan.days.restockings
    ]
    head = ("Restocking at", "All back, on half of the days by", "On 95 % of days by")
    return table("When everything opened since the restocking before is back", head, rows, numbers=(1, 2))
