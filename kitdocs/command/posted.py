"""Output of `kitdocs printed` and `kitdocs changes`: cards recorded as posted; those out of date, and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from kitdocs.command.console import say, trimmed
from kitdocs.command.terminal import table
from kitdocs.document.catalog import built_in_catalog
from kitdocs.document.history import Replacement
from kitdocs.planning.figure import Figure
from kitdocs.practice.printed import PRINTED, PrintRecord
from kitdocs.report.amounts import number, unit_text
from kitdocs.revisions.inputs import Moved
from kitdocs.revisions.label_exchange import BETWEEN, LabelExchange
from kitdocs.revisions.record import NewRun, edited_runs
from kitdocs.revisions.replacement_list import label_remarks, label_title
from kitdocs.revisions.replacements import Since

_DO = {"replace": "replace", "add": "add", "take-out": "take out"}

#: Fields of a replacement that stand in JSON under the same name.
_SAME = ("action", "title", "subtitle", "hangs", "old_title", "old_subtitle", "old_hangs", "old_edition", "new_edition")

#: Fields of a label's exchange that stand in JSON under the same name.
_OF_LABEL = ("kind", "label", "action", "old", "new", "taken", "put", "other_cassette")

#: At most this many cards are listed by name; beyond it, only the number.
_NAMED = 12


def show_changes(console: Console, since: Since, figures: Sequence[Figure], folder: Path, record: PrintRecord) -> None:
    """Print, card by card, what to replace and what has changed; then the figures and inputs that moved."""
    if not since.since:
        say(console, "no print run is recorded yet, so there is nothing to compare with")
        say(
            console,
            f"print it (kitdocs handbook {folder} --to OUT), post the cards, then run: kitdocs printed {folder}",
        )
        return
    with trimmed(console):
        _show_since(console, since, figures, folder, record)


def _show_since(console: Console, since: Since, figures: Sequence[Figure], folder: Path, record: PrintRecord) -> None:
    cards = _by_card(since.replacements)
    amounts = [(sum(each.action == action for each, _ in cards), do) for action, do in _DO.items()]
    said = ", ".join(f"{cards_counted(n)} to {do}" for n, do in amounts if n)
    labels = [each for of in since.labels.values() for each in of]
    by = f" by {since.by}" if since.by else ""
    said = ", ".join(filter(None, (said, _labels_counted(labels))))
    head = f"since the print run of {since.date}{by}: {said}"
    say(console, head if said else f"printed on {since.date}{by}: everything posted is current")
    for name in edited_runs(folder, record):
        say(console, f"{PRINTED}/{name}.yaml was edited or cut short after kitdocs wrote it; what it says now counts")
    for line in _not_recorded(since, folder):
        say(console, line)
    for replacement, languages in cards:
        console.print()
        _show_replacement(console, replacement, languages)
    for language, exchanges in since.labels.items():
        console.print()
        for each in exchanges:
            _show_label(console, each, language)
    _show_moved(console, since, {figure.id: figure for figure in figures}, folder)


def _not_recorded(since: Since, folder: Path) -> Iterator[str]:
    """Yield what the record says nothing about, and how it is recorded."""
    record = f"kitdocs printed {folder}"
    for language in since.new_languages:
        new = f"nothing is recorded as printed in {language}, so all of it is new"
        yield f"{new}; what is posted already: {record} --language {language}"
    if since.without_labels:
        named = " and ".join(since.without_labels)
        yield f"no labels are recorded in {named}, so none are compared; those in use: {record} --cards labels"


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


def _labels_counted(labels: Sequence[LabelExchange]) -> str:
    """Return how many labels come off and go on; of those that go with packs, nobody knows how many are left."""
    off, on = sum(each.taken for each in labels), sum(each.put for each in labels)
    counted = ((off, "to take off"), (on, "to put on"))
    said = [f"{_counted(number, 'label')} {do}" for number, do in counted if number]
    return ", ".join(said) or ("labels to throw away" if labels else "")


def _show_label(console: Console, each: LabelExchange, language: str) -> None:
    words = built_in_catalog("en")
    numbers = ((each.taken, "take off"), (each.put, "put on"))
    do = ", ".join(f"{verb} {number}" for number, verb in numbers if number)
    if each.old and not each.taken:
        do = ", ".join(filter(None, ("throw away what is left", do)))
    text = " → ".join(dict.fromkeys(BETWEEN.join(text.split(BETWEEN)[:2]) for text in (each.old, each.new) if text))
    remarks = [remark if remark.endswith(".") else f"{remark}." for remark in label_remarks(words, each)]
    said = f": {do}. {' '.join(remarks)}".rstrip()
    head = (f"{label_title(words, each.kind)} ({language}): ", "cyan")
    console.print(Text.assemble(head, (text, "bold"), said), soft_wrap=True)


def _editions(replacement: Replacement) -> str:
    return " → ".join(filter(None, (replacement.old_edition, replacement.new_edition)))


def _show_moved(console: Console, since: Since, figures: Mapping[str, Figure], folder: Path) -> None:
    if since.figures:
        names = [_named(figures.get(each.id), each.id) for each in since.figures]
        _show_table(console, "Figures that changed", "Figure", names, since.figures)
    if since.inputs:
        names = [each.id for each in since.inputs]
        _show_table(console, "Inputs that changed", "Written in the folder", names, since.inputs)
        back = next((each for each in since.inputs if None not in (each.before, each.after)), None)
        if back and since.figures:
            console.print()
            asked = f"kitdocs plan {folder} --set {back.id}={_as_written(back)}"
            say(console, f"to see what one of them did to the figures: {asked}")


def _show_table(console: Console, title: str, head: str, names: Sequence[str], moved: Sequence[Moved]) -> None:
    console.print(Padding(Text(title, style="bold"), (1, 0, 0, 0)))
    drawn, words = table((head, "Then", "Now"), numbers=(1, 2)), built_in_catalog("en")
    for name, each in zip(names, moved, strict=True):
        values = ("–" if value is None else number(words, value) for value in (each.before, each.after))
        drawn.add_row(Text(name), *map(Text, values))
    console.print(Padding(drawn, (1, 0, 0, 0)))


def _named(figure: Figure | None, otherwise: str) -> str:
    """Return a figure's name, with the unit of a number whose name does not give it."""
    if figure is None:
        return otherwise
    unit = unit_text(built_in_catalog("en"), figure.unit) if isinstance(figure.value, float) else ""
    return ", ".join(filter(None, (str(figure.name), unit)))


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
                **{name: getattr(replacement, name) for name in _SAME},
                "changes": list(replacement.changes),
                "marked": sorted(replacement.marked),
                "sheets": list(replacement.sheets),
            }
            for language, of in since.replacements.items()
            for replacement in of
        ],
        "labels": [
            {"language": language, **{name: getattr(each, name) for name in _OF_LABEL}}
            for language, of in since.labels.items()
            for each in of
        ],
        "not_recorded": {"cards": list(since.new_languages), "labels": list(since.without_labels)},
        "figures": [
            {"id": m.id, **dict(zip(("name", "unit"), names.get(m.id, ("", "")), strict=True)), **_values(m)}
            for m in since.figures
        ],
        "inputs": [{"path": m.id, **_values(m)} for m in since.inputs],
        "files": [str(file) for file in files],
    }


def _values(moved: Moved) -> dict[str, Any]:
    return {"before": moved.before, "after": moved.after}


def show_recorded(console: Console, new: NewRun | None) -> None:
    """Print a short summary of what was recorded."""
    if new is None:
        say(console, "nothing new to record: every posted card is already recorded")
        return
    with trimmed(console):
        _show_run(console, new)


def _show_run(console: Console, new: NewRun) -> None:
    run = new.run
    languages = dict.fromkeys(card.language for card in run.cards)
    amounts = ", ".join(f"{sum(card.language == each for card in run.cards)} {each}" for each in languages)
    if run.cards:
        say(console, f"printed and posted: {cards_counted(len(run.cards))} ({amounts})")
        show_names(console, [f"{card.title} ({card.language})" for card in run.cards])
    if run.labels:
        say(console, f"all labels and marks as they are now: {sum(label.count for label in run.labels)}")
    if run.taken_out:
        say(console, f"taken out: {cards_counted(len(run.taken_out))}")
        show_names(console, [f"{gone.card} ({gone.language})" for gone in run.taken_out])
    say(console, f"recorded in {PRINTED}/{new.name}.yaml: from now on they count as posted; --undo takes this back")


def recorded_json(new: NewRun | None) -> dict[str, Any]:
    """Return what was recorded as JSON data."""
    if new is None:
        return {"recorded": None, "cards": [], "taken_out": [], "labels": 0}
    cards = [{"card": c.card, "language": c.language, "edition": c.edition, "sheets": c.sheets} for c in new.run.cards]
    gone = [{"card": gone.card, "language": gone.language} for gone in new.run.taken_out]
    return {"recorded": f"{PRINTED}/{new.name}.yaml", "cards": cards, "taken_out": gone, "labels": len(new.run.labels)}


def show_names(console: Console, names: Sequence[str]) -> None:
    if len(names) <= _NAMED:
        console.print(Padding(Text(", ".join(names), style="dim"), (0, 0, 0, 2)))


def cards_counted(number: int) -> str:
    """Return ``1 card``, ``2 cards``."""
    return _counted(number, "card")


def _counted(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"
