"""Every figure of a plan with the sentence that says how it comes about, from the plan of the example practice."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from kitdocs.document.blocks import Cell
from kitdocs.document.card import Card
from kitdocs.document.catalog import built_in_catalog
from kitdocs.guide.page import guide_card
from kitdocs.handbook.layout import table
from kitdocs.planning.figure import Figure
from kitdocs.planning.plan import make_plan
from kitdocs.practice.reading.reader import read_practice
from kitdocs.report.amounts import amount_of
from kitdocs.shipped import shipped_folder

#: As many busy days as show how a sentence reads.
_DAYS = 200


def figure_cards(section: str) -> Iterator[Card]:
    """Yield a card for each part of the plan, with one figure of each kind in it."""
    words = built_in_catalog("en")
    parts: dict[str, dict[str, Figure]] = {}
    for figure in example_figures():
        parts.setdefault(figure.section, {}).setdefault(figure.name.key, figure)
    for part, figures in parts.items():
        rows = [
            (Cell(text=words.say(one.name), detail=one.id), amount_of(words, one), words.say(one.why))
            for one in figures.values()
        ]
        title = words(f"report.reasons.section.{part}")
        listed = table("", ("Figure and its id", "Value", "How it comes about"), rows)
        yield guide_card(f"figures-{part}", f"Figures: {title}", section, [listed])


@cache
def example_figures() -> tuple[Figure, ...]:
    """Return the figures of the example practice that came with kitdocs."""
    return tuple(make_plan(read_practice(shipped_folder("example_practice")), days=_DAYS).figures)
