"""The planning report on paper: a document that is read through, the owner's page first."""

from __future__ import annotations

from kitdocs.document.edition import edition_of
from kitdocs.publish.print.rendering import Rendering

#: The long list for whoever checks: in small type, on pages of its own.
_SMALL = ("plan/reasons",)


def plan_report(rendering: Rendering) -> bytes:
    """Render the report as PDF/UA-1, with its contents on the first page and a bookmark for every card."""
    report, data = rendering.handbook, rendering.data()
    data.add(
        report.cards,
        report.words("print.plan"),
        edition=edition_of([card.edition for card in report.cards]),
        small=list(_SMALL),
    )
    return rendering.render("plan.typ", data)
