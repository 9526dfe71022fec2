"""How a part of the report is laid out: its card, its tables, a number that has none."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeAlias

from kitdocs.document.blocks import Block, Cell, Matrix
from kitdocs.document.card import Card

CellText: TypeAlias = "str | Cell"

#: What stands in a cell that has nothing to say.
NOTHING = "–"


def table(title: str, head: Sequence[str], rows: Iterable[Sequence[CellText]], numbers: Sequence[int] = ()) -> Matrix:
    """Return a table of words and cells; `numbers` are the columns set flush right."""
    return Matrix(
        title=title,
        head=tuple(head),
        rows=tuple(tuple(cell if isinstance(cell, Cell) else Cell(text=cell) for cell in row) for row in rows),
        numbers=tuple(numbers),
    )


def sentence(text: str) -> str:
    """Return a text with its first letter as a sentence has it."""
    return text[:1].upper() + text[1:]


def report_card(name: str, title: str, section: str, blocks: Iterable[Block], subtitle: str = "") -> Card:
    """Return a card of the report, still without edition."""
    return Card(
        id=f"plan/{name}",
        kind="plan",
        form="sheet",
        title=title,
        subtitle=subtitle,
        section=section,
        front=tuple(blocks),
    )
