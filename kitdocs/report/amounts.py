"""A figure's value and unit in words, alike in the report, the tables and the terminal."""

from __future__ import annotations

from kitdocs.document.catalog import MessageCatalog
from kitdocs.planning.figure import Figure, Unit
from kitdocs.practice.message import Clock, Message, Value


def number(words: MessageCatalog, value: Value) -> str:
    """Return ``1,234``, ``7.3``, ``9,515.50``, ``19:30``."""
    return words.number(value, 2) if isinstance(value, float) else words.say(value)


def unit_text(words: MessageCatalog, unit: Unit, n: float | None = None) -> str:
    """Return the unit beside `n` of it; by itself, as the head of a column has it: ``sets``."""
    if isinstance(unit, Message) and f"{unit.key}.other" in words.sentences:
        return words(f"{unit.key}.other") if n is None else words.count(unit.key, n)
    return words.say(unit)


def amount(words: MessageCatalog, value: Value, unit: Unit) -> str:
    """Return a value with its unit: ``1 set``, ``22 sets``; a time of day alone."""
    n = value if isinstance(value, int | float) else None
    return " ".join(filter(None, (number(words, value), "" if isinstance(value, Clock) else unit_text(words, unit, n))))


def amount_of(words: MessageCatalog, figure: Figure) -> str:
    """Return a figure's value with its unit."""
    return amount(words, figure.value, figure.unit)
