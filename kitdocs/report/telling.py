"""How the report writes numbers, and how it sets a table, so that every card does both in one way."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeAlias

from kitdocs.document.blocks import Block, Cell, Matrix
from kitdocs.document.card import Card
from kitdocs.practice.numbers import plain

CellText: TypeAlias = "str | Cell"

_PLURALS = {"box": "boxes", "pouch": "pouches", "person": "people"}


def counted(number: float, noun: str) -> str:
    """``1 pouch``, ``2 pouches``, ``0 pouches``."""
    return f"{plain(number)} {noun if number == 1 else plural(noun)}"


def plural(noun: str) -> str:
    return _PLURALS.get(noun, f"{noun}s")


def and_list(names: Iterable[str]) -> str:
    """``a, b and c``."""
    *most, last = list(names) or ["nothing"]
    return f"{', '.join(most)} and {last}" if most else last


def table(title: str, head: Sequence[str], rows: Iterable[Sequence[CellText]], numbers: Sequence[int] = ()) -> Matrix:
    """A table of words and cells."""
    return Matrix(
        title=title,
        head=tuple(head),
        rows=tuple(tuple(cell if isinstance(cell, Cell) else Cell(text=cell) for cell in row) for row in rows),
        numbers=tuple(numbers),
    )


def report_card(name: str, title: str, section: str, blocks: Iterable[Block], subtitle: str = "") -> Card:
    """A card of the report, still without edition."""
    return Card(
        id=f"plan/{name}",
        kind="plan",
        form="sheet",
        title=title,
        subtitle=subtitle,
        section=section,
        front=tuple(blocks),
    )
