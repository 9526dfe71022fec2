"""How the report writes numbers, and how it sets a table, so that every card does both in one way."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import TypeAlias

from kitdocs.handbook.blocks import Block, Cell, Matrix
from kitdocs.handbook.card import Card

Words: TypeAlias = "str | Cell"

_PLURALS = {"box": "boxes", "pouch": "pouches", "person": "people"}


def counted(number: float, noun: str) -> str:
    """``1 pouch``, ``2 pouches``, ``0 pouches``."""
    return f"{plain(number)} {noun if number == 1 else plural(noun)}"


def plural(noun: str) -> str:
    return _PLURALS.get(noun, f"{noun}s")


def plain(number: float, places: int = 1) -> str:
    """A number without needless decimals: ``46``, ``7.3``, ``1,234``."""
    text = f"{number:,.{places}f}"
    if not text.strip("-0."):
        return "0"
    return (text.rstrip("0").rstrip(".") if "." in text else text).replace("-", "−")


def percent(share: float, places: int = 0) -> str:
    return f"{plain(100 * share, places)} %"


def money(amount: Decimal, currency: str = "") -> str:
    """``USD 1,234.50``; without the currency where the column's head names it."""
    return f"{currency} {amount:,.2f}".strip().replace("-", "−")


def and_list(names: Iterable[str]) -> str:
    """``a, b and c``."""
    *most, last = list(names) or ["nothing"]
    return f"{', '.join(most)} and {last}" if most else last


def table(title: str, head: Sequence[str], rows: Iterable[Sequence[Words]], numbers: Sequence[int] = ()) -> Matrix:
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
