"""Drawer pouches: how many in each drawer, how many to own, and when the drawers can be full again."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Cell, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.practice.message import Clock, Share
from kitdocs.practice.numbers import plain
from kitdocs.report.layout import NOTHING, report_card, table

_MOST_COLUMNS = 6


def drawers_card(brief: Brief, section: str) -> Card:
    """Return the part about the drawers at the chairs."""
    intro = said(brief.words("report.drawers.intro", service=Share(brief.plan.days.service)))
    blocks: tuple[Block, ...] = (intro, *_pars(brief), _pouches(brief), _restocking(brief))
    return report_card("drawers", brief.words("report.drawers.title"), section, blocks)


def _pars(brief: Brief) -> Iterator[Block]:
    """Yield chairs down, pouches across; a second table where there are many pouches."""
    pouches = list(brief.plan.days.drawer_pouches)
    chairs = [id_ for id_, chair in brief.practice.chairs.items() if chair.drawer]
    columns = _MOST_COLUMNS - 1
    for first in range(0, len(pouches), columns):
        shown = pouches[first : first + columns]
        yield table(
            "" if first else brief.words("report.drawers.table"),
            (brief.words("report.drawers.chair"), *(brief.pouch(pouch) for pouch in shown)),
            [(brief.chair(chair), *(_par(brief, chair, pouch) for pouch in shown)) for chair in chairs],
            numbers=range(1, len(shown) + 1),
        )


def _par(brief: Brief, chair: str, pouch: str) -> Cell:
    par = brief.plan.days.pars.get((chair, pouch))
    if par is None:
        return Cell(text=NOTHING)
    differs = par.written not in (None, par.computed)
    return Cell(
        text=str(par.par), detail=brief.words("report.drawers.as-written", computed=par.computed) if differs else ""
    )


def _pouches(brief: Brief) -> Block:
    words = brief.words
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
    head = [words(f"report.drawers.head.{name}") for name in ("pouch", "opened", "drawers", "back", "spares", "own")]
    return table(words("report.drawers.own"), head, rows, numbers=(1, 2, 3, 4, 5))


def _restocking(brief: Brief) -> Block:
    words = brief.words
    rows = [
        tuple(
            words.say(Clock(time / 60))
            for time in (restocking.at, restocking.complete.median, restocking.complete.high)
        )
        for restocking in brief.plan.days.restockings
    ]
    head = [words(f"report.drawers.restock-head.{name}") for name in ("at", "median", "high")]
    return table(words("report.drawers.restock"), head, rows, numbers=(1, 2))
