"""The planning report on paper: a document that is read through, the owner's page first."""

from __future__ import annotations

from kitdocs.document.card import Handbook
from kitdocs.document.edition import edition_of
from kitdocs.publish.print.data import PrintData
from kitdocs.publish.print.render_pdf import render_pdf

#: The long list for whoever checks: in small type, on pages of its own.
_SMALL = ("plan/reasons",)


def plan_report(report: Handbook) -> bytes:
    """The report as PDF/UA-1, with its contents on the first page and a bookmark for every card."""
    data = PrintData(report)
    data.add(
        report.cards,
        report.words("print.plan"),
        edition=edition_of([card.edition for card in report.cards]),
        small=list(_SMALL),
    )
    return render_pdf("plan.typ", data)
