"""What reprocessing uses up, what it costs a day, and when to order again."""

from __future__ import annotations

from decimal import Decimal

from kitdocs.document.blocks import Cell, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.planning.buying.supplies import SupplyUse
from kitdocs.practice.numbers import money, percent, plain
from kitdocs.report.telling import counted, report_card, table


def supplies_card(brief: Brief, section: str) -> Card:
    currency = brief.plan.orders.currency
    rows = [_row(brief, use) for use in brief.plan.supplies]
    cost = day_cost(brief)
    rows.append(tuple(Cell(text=t) for t in ("Together", "", "", "", "", money(cost))))
    head = ("Supply", "A busy day", "In a box", "Order at", "That is", f"A day, {currency}")
    return report_card(
        "supplies",
        "What is used up",
        section,
        (
            said(
                "Order again when so many are left. They last until the order comes, with "
                f"{percent(brief.plan.days.service, 1)} certainty, if every working day is a busy one."
            ),
            table("Use, and when to order", head, rows, numbers=(1, 2, 3, 4, 5)),
        ),
    )


def day_cost(brief: Brief) -> Decimal:
    """Of everything whose price is stated, a busy day."""
    return sum((use.cost_per_day for use in brief.plan.supplies if use.cost_per_day is not None), Decimal(0))


def _row(brief: Brief, use: SupplyUse) -> tuple[Cell, ...]:
    return (
        Cell(text=brief.supply(use), detail=brief.words.say(use.why_per_day)),
        Cell(text=plain(use.per_day)),
        Cell(text=plain(use.pack)),
        Cell(text=plain(use.reorder_at)),
        Cell(text=counted(use.boxes_at_reorder, "box")),
        Cell(text=money(use.cost_per_day) if use.cost_per_day is not None else "not stated"),
    )
