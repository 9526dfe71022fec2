"""Every figure with its reason, section by section: for whoever checks the plan with a pencil."""

from __future__ import annotations

from kitdocs.document.blocks import Cell
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.planning.figure import Figure
from kitdocs.report.amounts import amount_of
from kitdocs.report.layout import report_card, sentence, table


def reasons_card(brief: Brief, section: str) -> Card:
    """Return one table a section."""
    words = brief.words
    by_section: dict[str, list[Figure]] = {}
    for figure in brief.plan.figures:
        by_section.setdefault(figure.section, []).append(figure)
    tables = [
        table(
            words(f"report.reasons.section.{name}"),
            (words("report.reasons.figure"), words("report.reasons.why")),
            [
                (Cell(text=words.say(figure.name), detail=amount_of(words, figure)), sentence(words.say(figure.why)))
                for figure in figures
            ],
        )
        for name, figures in by_section.items()
    ]
    return report_card("reasons", words("report.reasons.title"), section, tables, words("report.reasons.subtitle"))
