"""Every figure with its reason, section by section: for whoever checks the plan with a pencil."""

from __future__ import annotations

from collections.abc import Mapping

from kitdocs.document.blocks import Cell
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.planning.figure import Figure
from kitdocs.report.amounts import amount_of
from kitdocs.report.telling import report_card, table

_TITLES: Mapping[str, str] = {
    "day": "The busy day",
    "buying": "What to buy",
    "fit": "Sets in cassettes",
    "wrap": "Sheets and pouches",
    "loads": "Loads",
    "colours": "Colours",
    "legibility": "Letters and codes",
    "storage": "Shelves",
    "supplies": "What is used up",
    "placement": "Set, add-on or drawer",
    "savings": "What the change saves",
}


def reasons_card(brief: Brief, section: str) -> Card:
    """One table a section."""
    words = brief.words
    by_section: dict[str, list[Figure]] = {}
    for figure in brief.plan.figures:
        by_section.setdefault(figure.section, []).append(figure)
    tables = [
        table(
            _TITLES.get(name, name.capitalize()),
            ("Figure", "Why"),
            [(Cell(text=words.say(f.name), detail=amount_of(words, f)), _sentence(words.say(f.why))) for f in figures],
        )
        for name, figures in by_section.items()
    ]
    subtitle = "The same numbers and words as “kitdocs plan --why” gives."
    return report_card("reasons", "Every figure and why", section, tables, subtitle)


def _sentence(why: str) -> str:
    return why[:1].upper() + why[1:]
