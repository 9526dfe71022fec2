"""What the change to sets saves, from what the practice counted before."""

from __future__ import annotations

from kitdocs.document.blocks import Cell, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.practice.numbers import plain
from kitdocs.report.telling import report_card, table


def savings_card(brief: Brief, section: str) -> Card:
    rows = [
        (
            Cell(text=each.name, detail=f"{each.why[:1].upper()}{each.why[1:]}"),
            f"{plain(each.before)} {each.unit}",
            f"{plain(each.after)} {each.unit}",
            _difference(each.saved),
        )
        for each in brief.plan.savings
    ]
    return report_card(
        "savings",
        "What the change saves",
        section,
        (
            said(
                "Before is what the practice counted; after is the plan's busy day. What nobody counted is not "
                "compared."
            ),
            table("A busy day, before and after", ("What", "Before", "After", "Difference"), rows, numbers=(1, 2, 3)),
        ),
    )


def _difference(saved: float) -> str:
    """In words, because a minus before a saving is easily read the wrong way."""
    return f"{plain(abs(saved))} {'less' if saved > 0 else 'more'}" if saved else "the same"
