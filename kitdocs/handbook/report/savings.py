"""What the change to sets saves, from what the practice counted before."""

from __future__ import annotations

from collections.abc import Sequence

from kitdocs.handbook.blocks import Cell
from kitdocs.handbook.card import Card
from kitdocs.handbook.report.telling import plain, report_card, said, table
from kitdocs.planning.savings import Saving


def savings_card(saved: Sequence[Saving], section: str) -> Card:
    rows = [
        (
            Cell(text=each.name, detail=f"{each.why[:1].upper()}{each.why[1:]}"),
            f"{plain(each.before)} {each.unit}",
            f"{plain(each.after)} {each.unit}",
            plain(each.saved),
        )
        for each in saved
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
            table("A busy day, before and after", ("What", "Before", "After", "Saved"), rows, numbers=(1, 2, 3)),
        ),
    )
