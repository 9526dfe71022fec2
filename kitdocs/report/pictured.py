"""The report's charts as blocks: a picture, a sentence that says what it shows, and its numbers as a table."""

from __future__ import annotations

import re

from kitdocs.document.blocks import Chart, Matrix
from kitdocs.drawings.drawing import Drawing
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.pictures import drawn_once

#: A chart for half a page's width, true to size on a phone too; one with longer names; and one for the whole
#: width of an A4 sheet between its margins, so that no paper makes its letters smaller than they were drawn.
HALF_MM, NAMED_MM, FULL_MM = 86.0, 108.0, 174.0


def chart(brief: Brief, title: str, drawing: Drawing, summary: str, numbers: Matrix) -> Chart:
    """Return a chart under its title; its alternative text points to the sentence and the numbers beside it."""
    stem = "chart-" + re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:40]
    alt = brief.words("report.chart-alt", title=title)
    return Chart(title=title, picture=drawn_once(stem, drawing, alt), summary=summary, table=numbers)
