"""Figures in a terminal: one figure with its inputs, and what a change moves."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal, InvalidOperation

from rich.console import Console, RenderableType
from rich.padding import Padding
from rich.text import Text

from kitdocs.command.terminal import table
from kitdocs.planning.compare import Change, Comparison
from kitdocs.planning.figure import Figure, Input

#: Width in characters from which ids fit beside the names.
_WIDE = 110


def show_figures(console: Console, figures: Iterable[Figure], before: Mapping[str, Figure] | None = None) -> None:
    """Print each figure with its reason and inputs, and its value `before` a change."""
    for figure in figures:
        console.print()
        console.print(Text.assemble((figure.id, "bold"), "  ", figure.name))
        was = before.get(figure.id) if before else None
        earlier = f"  (before: {amount(was.value, was.unit)})" if was and was.value != figure.value else ""
        console.print(Text.assemble("  ", (amount(figure.value, figure.unit), "bold cyan"), earlier))
        console.print(Padding(Text(figure.why), (0, 0, 0, 2)))
        if figure.inputs:
            console.print(Padding(_inputs(figure.inputs), (1, 0, 0, 2)))


def show_comparison(console: Console, comparison: Comparison, changes: Mapping[str, str]) -> None:
    """Print the figures that a change moves, before and after, and how many stay the same."""
    console.print()
    for path, value in changes.items():
        console.print(Text.assemble("what if ", (f"{path}={value}", "bold")))
    if comparison.changed:
        ids = console.width >= _WIDE
        head = ("Figure", "Before", "After", "Change", "Unit", "Id")
        drawn = table(head if ids else head[:-1], numbers=(1, 2, 3))
        for change in comparison.changed:
            drawn.add_row(*(_row(change) if ids else _row(change)[:-1]))
        console.print(Padding(drawn, (1, 0, 1, 0)))
    changed, unchanged = len(comparison.changed), comparison.unchanged
    console.print(Text(f"{changed} figures change, {unchanged} do not"))


def number(value: int | float | str) -> str:
    """Format a number: ``1,234``, ``7.3``, ``9,515.50``. Text stays as it is."""
    if isinstance(value, int):
        return f"{value:,}"
    if isinstance(value, float):
        return f"{value:,.2f}".rstrip("0").rstrip(".")
    try:
        return f"{Decimal(value):,.2f}"
    except InvalidOperation:
        return value


def amount(value: int | float | str, unit: str) -> str:
    """Format a number with its unit: ``22 sets``. A time of day stands alone: ``19:30``."""
    return number(value) if unit in ("", "time of day") else f"{number(value)} {unit}"


def _inputs(inputs: Iterable[Input]) -> RenderableType:
    drawn = table(("Input", "Value", "Written in"), numbers=(1,))
    for each in inputs:
        drawn.add_row(Text(each.name), Text(amount(each.value, each.unit)), Text(each.source or "–", style="dim"))
    return drawn


def _row(change: Change) -> tuple[Text, ...]:
    before, after = ("–" if value is None else number(value) for value in (change.before, change.after))
    return (
        Text(change.name),
        Text(before),
        Text(after, style="bold"),
        Text(_difference(change)),
        Text(change.unit),
        Text(change.id, style="dim"),
    )


def _difference(change: Change) -> str:
    """Format a difference: ``+2``, ``−1.5``, or nothing if the values are not numbers."""
    try:
        by = Decimal(str(change.after)) - Decimal(str(change.before))
    except InvalidOperation:
        return ""
    return f"{'−' if by < 0 else '+'}{number(float(abs(by)))}"
