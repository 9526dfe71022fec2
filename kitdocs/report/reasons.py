"""Every figure with its reason, section by section: for whoever checks the plan with a pencil."""

from __future__ import annotations

from collections.abc import Mapping

from kitdocs.document.blocks import Cell
from kitdocs.document.card import Card
from kitdocs.document.numbers import plain
from kitdocs.handbook.brief import Brief
from kitdocs.planning.figure import Figure
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

_ONE = {"sets": "set", "pouches": "pouch", "pieces": "piece", "sheets": "sheet", "rolls": "roll", "tests": "test"}


def reasons_card(brief: Brief, section: str) -> Card:
    """One table a section."""
    by_section: dict[str, list[Figure]] = {}
    for figure in brief.plan.figures:
        by_section.setdefault(figure.section, []).append(figure)
    tables = [
        table(
            _TITLES.get(name, name.capitalize()),
            ("Figure", "Why"),
            [(Cell(text=figure.name, detail=value_words(figure)), _sentence(figure.why)) for figure in figures],
        )
        for name, figures in by_section.items()
    ]
    subtitle = "The same numbers and words as “kitdocs plan --why” gives."
    return report_card("reasons", "Every figure and why", section, tables, subtitle)


def value_words(figure: Figure) -> str:
    """The value with its unit, as ``11 sets``."""
    value = plain(figure.value, 2) if isinstance(figure.value, int | float) else figure.value
    if figure.unit in ("", "time of day"):
        return value
    return f"{value} {_ONE.get(figure.unit, figure.unit) if value == '1' else figure.unit}"


def _sentence(why: str) -> str:
    return why[:1].upper() + why[1:]
