"""Output of `kitdocs changes`: posted cards that are out of date, why, and the replacement sheets written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from kitdocs.command.console import say, trimmed
from kitdocs.command.printed import cards_counted
from kitdocs.command.terminal import table
from kitdocs.document.catalog import built_in_catalog
from kitdocs.document.history import Replacement
from kitdocs.planning.figure import Figure
from kitdocs.report.amounts import number, unit_text
from kitdocs.revisions.inputs import Moved
from kitdocs.revisions.since import Since

_DO = {"replace": "replace", "add": "add", "take-out": "take out"}


def show_changes(console: Console, since: Since, figures: Sequence[Figure], folder: Path) -> None:
    """Print, card by card, what to replace and what has changed; then the figures and inputs that moved."""
    if not since.since:
        say(console, "no print run is recorded yet, so there is nothing to compare with")
        say(
            console,
            f"print it (kitdocs handbook {folder} --to OUT), post the cards, then run: kitdocs printed {folder}",
        )
        return
    with trimmed(console):
        _show_since(console, since, figures, folder)


def _show_since(console: Console, since: Since, figures: Sequence[Figure], folder: Path) -> None:
    cards = _by_card(since.replacements)
    amounts = [(sum(each.action == action for each, _ in cards), do) for action, do in _DO.items()]
    said = ", ".join(f"{cards_counted(n)} to {do}" for n, do in amounts if n)
    by = f" by {since.by}" if since.by else ""
    head = f"since the print run of {since.date}{by}: {said}"
    say(console, head if said else f"printed on {since.date}{by}: everything posted is current")
    for replacement, languages in cards:
        console.print()
        _show_replacement(console, replacement, languages)
    _show_moved(console, since, {figure.id: figure for figure in figures}, folder)


def _by_card(replacements: Mapping[str, Sequence[Replacement]]) -> list[tuple[Replacement, dict[str, Replacement]]]:
    """Return each card once, in the first language that needs it replaced, with its replacement in each language."""
    found: dict[tuple[str, str], dict[str, Replacement]] = {}
    for language, of in replacements.items():
        for replacement in of:
            found.setdefault((replacement.card, replacement.action), {})[language] = replacement
    return [(next(iter(of.values())), of) for of in found.values()]


def _show_replacement(console: Console, replacement: Replacement, languages: Mapping[str, Replacement]) -> None:
    named = replacement.title + (f" · {replacement.subtitle}" if replacement.subtitle else "")
    editions = [f"{_editions(each)} {language}" for language, each in languages.items()]
    where = " · ".join(filter(None, (replacement.hangs, *editions)))
    console.print(Text.assemble((f"{_DO[replacement.action]}: ", "cyan"), (named, "bold")), soft_wrap=True)
    console.print(Padding(Text(where, style="dim"), (0, 0, 0, 2)))
    for language, each in languages.items():
        if each.changes and (each is replacement or each.marked - replacement.marked):
            said = "; ".join(each.changes)
            console.print(Padding(Text(said if each is replacement else f"{language}: {said}"), (0, 0, 0, 2)))


def _editions(replacement: Replacement) -> str:
    return " → ".join(filter(None, (replacement.old_edition, replacement.new_edition)))


def _show_moved(console: Console, since: Since, figures: Mapping[str, Figure], folder: Path) -> None:
    if since.figures:
        console.print(Padding(Text("Figures that changed", style="bold"), (1, 0, 0, 0)))
        drawn = table(("Figure", "Then", "Now"), numbers=(1, 2))
        for each in since.figures:
            figure = figures.get(each.id)
            name = (str(figure.name), _unit(figure)) if figure else (each.id, "")
            drawn.add_row(Text(", ".join(filter(None, name))), *_then_and_now(each))
        console.print(Padding(drawn, (1, 0, 0, 0)))
    if since.inputs:
        head = "Inputs that changed"
        console.print(Padding(Text(head, style="bold"), (1, 0, 0, 0)))
        drawn = table(("Written in the folder", "Then", "Now"), numbers=(1, 2))
        for each in since.inputs:
            drawn.add_row(Text(each.id), *_then_and_now(each))
        console.print(Padding(drawn, (1, 0, 0, 0)))
        back = next((each for each in since.inputs if None not in (each.before, each.after)), None)
        if back and since.figures:
            console.print()
            asked = f"kitdocs plan {folder} --set {back.id}={_as_written(back)}"
            say(console, f"to see what one of them did to the figures: {asked}")


def _unit(figure: Figure) -> str:
    """Return the unit of a number whose name does not give it."""
    return unit_text(built_in_catalog("en"), figure.unit) if isinstance(figure.value, float) else ""


def _then_and_now(each: Moved) -> tuple[Text, Text]:
    before, after = (
        Text("–" if value is None else number(built_in_catalog("en"), value)) for value in (each.before, each.after)
    )
    return before, after


def _as_written(moved: Moved) -> str:
    text = f"{moved.before:g}" if isinstance(moved.before, float) else str(moved.before)
    return f"'{text}'" if " " in text else text


def show_files(console: Console, files: Sequence[Path], to: Path) -> None:
    """Print which PDFs were written, or that `to` was not needed."""
    console.print()
    for file in files:
        say(console, f"wrote {file}")
    if not files:
        say(console, f"nothing to replace, so {to} was not written")


def changes_json(since: Since, figures: Sequence[Figure], files: Sequence[Path] = ()) -> dict[str, Any]:
    """Return the same as JSON data; `marked` as in the replacement, `files` are the PDFs that were written."""
    names = {figure.id: (str(figure.name), unit_text(built_in_catalog("en"), figure.unit)) for figure in figures}
    return {
        "current": since.current,
        "since": {"act": since.since, "date": since.date, "by": since.by} if since.since else None,
        "exchanges": [
            {
                "card": replacement.card,
                "language": language,
                "action": replacement.action,
                "title": replacement.title,
                "subtitle": replacement.subtitle,
                "hangs": replacement.hangs,
                "old_title": replacement.old_title,
                "old_subtitle": replacement.old_subtitle,
                "old_hangs": replacement.old_hangs,
                "old_edition": replacement.old_edition,
                "new_edition": replacement.new_edition,
                "changes": list(replacement.changes),
                "marked": sorted(replacement.marked),
                "sheets": list(replacement.sheets),
            }
            for language, of in since.replacements.items()
            for replacement in of
        ],
        "figures": [
            {"id": m.id, "name": names.get(m.id, ("", ""))[0], "unit": names.get(m.id, ("", ""))[1], **_values(m)}
            for m in since.figures
        ],
        "inputs": [{"path": m.id, **_values(m)} for m in since.inputs],
        "files": [str(file) for file in files],
    }


def _values(moved: Moved) -> dict[str, Any]:
    return {"before": moved.before, "after": moved.after}
