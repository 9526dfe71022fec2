"""Report on supplies: daily use, daily cost, and reorder points."""

from __future__ import annotations

from decimal import Decimal

from kitdocs.document.blocks import Cell, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.planning.buying.supplies import SupplyUse
from kitdocs.practice.message import Share
from kitdocs.practice.numbers import money, plain
from kitdocs.report.layout import report_card, table


def supplies_card(brief: Brief, section: str) -> Card:
    """Return the part about what is used up."""
    words, currency = brief.words, brief.plan.orders.currency
    rows = [_row(brief, use) for use in brief.plan.supplies]
    rows.append(tuple(Cell(text=text) for text in (words("report.together"), "", "", "", "", money(day_cost(brief)))))
    heads = ("supply", "per-day", "pack", "at", "boxes", "cost")
    head = [words(f"report.supplies.head.{name}", currency=currency) for name in heads]
    blocks = (
        said(words("report.supplies.intro", service=Share(brief.plan.days.service))),
        table(words("report.supplies.table"), head, rows, numbers=(1, 2, 3, 4, 5)),
    )
    return report_card("supplies", words("report.supplies.title"), section, blocks)


def day_cost(brief: Brief) -> Decimal:
    """Return what a busy day uses up of everything whose price is stated."""
    return sum((use.cost_per_day for use in brief.plan.supplies if use.cost_per_day is not None), Decimal(0))


def _row(brief: Brief, use: SupplyUse) -> tuple[Cell, ...]:
    words, cost = brief.words, use.cost_per_day
    return (
        Cell(text=brief.supply(use), detail=words.say(use.why_per_day)),
        Cell(text=plain(use.per_day)),
        Cell(text=plain(use.pack)),
        Cell(text=plain(use.reorder_at)),
        Cell(text=words.count("report.boxes", use.boxes_at_reorder)),
        Cell(text=money(cost) if cost is not None else words("report.supplies.no-price")),
    )
