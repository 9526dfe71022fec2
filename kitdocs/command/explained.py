"""Figures in a terminal: one figure with its inputs, and what a change moves."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal

from rich.console import Console, RenderableType
from rich.padding import Padding
from rich.text import Text

from kitdocs.command.terminal import table
from kitdocs.document.catalog import MessageCatalog
from kitdocs.planning.compare import Change, Comparison
from kitdocs.planning.figure import Figure, Input
from kitdocs.report.amounts import amount, amount_of, number, unit_text

#: Width in characters from which ids fit beside the names.
_WIDE = 110


def show_figures(
    console: Console, words: MessageCatalog, figures: Iterable[Figure], before: Mapping[str, Figure] | None = None
) -> None:
    """Print each figure with its reason and its inputs; `before` holds the figures before a change, by id."""
    for figure in figures:
        console.print()
        console.print(Text.assemble((figure.id, "bold"), "  ", words.say(figure.name)))
        old = before.get(figure.id) if before else None
        earlier = words("terminal.before", value=amount_of(words, old)) if old and old.value != figure.value else ""
        console.print(Text.assemble("  ", (amount_of(words, figure), "bold cyan"), f"  {earlier}" if earlier else ""))
        console.print(Padding(Text(words.say(figure.why)), (0, 0, 0, 2)))
        if figure.inputs:
            console.print(Padding(_inputs(words, figure.inputs), (1, 0, 0, 2)))


def show_comparison(
    console: Console, words: MessageCatalog, comparison: Comparison, changes: Mapping[str, str]
) -> None:
    """Print the figures that a change moves, before and after, and how many it leaves alone."""
    console.print()
    for path, value in changes.items():
        console.print(Text.assemble(words("terminal.what-if"), " ", (f"{path}={value}", "bold")))
    if comparison.changed:
        ids = console.width >= _WIDE
        head = [words(f"terminal.compared.{name}") for name in ("figure", "before", "after", "change", "unit", "id")]
        drawn = table(head if ids else head[:-1], numbers=(1, 2, 3))
        for change in comparison.changed:
            row = _row(words, change)
            drawn.add_row(*(row if ids else row[:-1]))
        console.print(Padding(drawn, (1, 0, 1, 0)))
    changed = words.count("terminal.changed", len(comparison.changed))
    unchanged = words.count("terminal.unchanged", comparison.unchanged)
    console.print(Text(f"{changed}, {unchanged}"))


def _inputs(words: MessageCatalog, inputs: Iterable[Input]) -> RenderableType:
    drawn = table([words(f"terminal.input.{name}") for name in ("name", "value", "source")], numbers=(1,))
    for given in inputs:
        value = amount(words, given.value, given.unit)
        drawn.add_row(Text(words.say(given.name)), Text(value), Text(words.say(given.source) or "–", style="dim"))
    return drawn


def _row(words: MessageCatalog, change: Change) -> tuple[Text, ...]:
    before, after = ("–" if value is None else number(words, value) for value in (change.before, change.after))
    return (
        Text(words.say(change.name)),
        Text(before),
        Text(after, style="bold"),
        Text(_difference(words, change)),
        Text(unit_text(words, change.unit)),
        Text(change.id, style="dim"),
    )


def _difference(words: MessageCatalog, change: Change) -> str:
    """Format a difference: ``+2``, ``−1.5``, or nothing if the values are not numbers."""
    before, after = change.before, change.after
    if not isinstance(before, int | float | Decimal) or not isinstance(after, int | float | Decimal):
        return ""
    difference = Decimal(str(after)) - Decimal(str(before))
    return f"{'−' if difference < 0 else '+'}{number(words, float(abs(difference)))}"
