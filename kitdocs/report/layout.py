"""Layout of a part of the report: its card, its tables and charts, a number that has none."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from kitdocs.document.blocks import Block, Cell, Chart, Matrix
from kitdocs.document.card import Card
from kitdocs.drawings.drawing import Drawing
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.from_starter import starter_mark
from kitdocs.handbook.pictures import drawn_once
from kitdocs.practice.kinds import PartOfTheStarter

#: What stands in a cell that has nothing to say.
NOTHING = "–"

#: The parts of the folder from which the figures of a section come.
_RESTS_ON: Mapping[str, tuple[PartOfTheStarter, ...]] = {
    "first": ("day", "cassettes", "room"),
    "day": ("day", "room"),
    "buying": ("cassettes", "room"),
    "room": ("cassettes", "room"),
}

#: A chart for half a page's width, true to size on a phone too; one with longer names; and one for the whole
#: width of an A4 sheet between its margins, so that no paper makes its letters smaller than they were drawn.
HALF_MM, NAMED_MM, FULL_MM = 86.0, 108.0, 174.0

#: A chart for a phone, shown larger than it is drawn: 7 pt become 12 CSS px where it is 344 CSS px wide.
NARROW_MM = 70.0


def sentence(text: str) -> str:
    """Return a text with its first letter as a sentence has it."""
    return text[:1].upper() + text[1:]


def report_card(
    brief: Brief, section: str, name: str, blocks: Iterable[Block], *, title: str = "", subtitle: str = ""
) -> Card:
    """Return a card of the report, still without edition; its title is ``report.<name>.title`` by default.

    It begins with what of its figures is still the starter's example.
    """
    return Card(
        id=f"plan/{name}",
        kind="plan",
        title=title or brief.words(f"report.{name}.title"),
        subtitle=subtitle,
        section=brief.words(f"report.section.{section}"),
        front=(*starter_mark(brief, *_RESTS_ON.get(section, ())), *blocks),
    )


def with_reason(figure: str, text: str, detail: str = "") -> Cell:
    """Return a number as a cell that leads to its reason, which stands under the id of that figure."""
    return Cell(text=text, detail=detail, more=f"plan/reasons#{figure}")


def chart(
    brief: Brief, title: str, drawing: Drawing, summary: str, numbers: Matrix, *, narrow: Drawing | None = None
) -> Chart:
    """Return a chart under its title; its alternative text points to the sentence and the numbers beside it.

    `narrow` is drawn for a phone; without it, a phone shows the same drawing.
    """
    stem = "chart-" + re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:40]
    alt = brief.words("report.chart-alt", title=title)
    picture, small = (drawn_once(stem, each, alt) for each in (drawing, narrow or drawing))
    return Chart(title=title, picture=picture, summary=summary, table=numbers, narrow=small)
