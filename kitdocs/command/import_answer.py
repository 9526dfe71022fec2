"""Answer of `kitdocs import`: what was recognised, will change, was merged, was not used, and is still open."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from rich.console import Console

from kitdocs.command.console import say
from kitdocs.importing.bringing import Brought
from kitdocs.importing.folder_changes import FolderChanges, ValueChange
from kitdocs.importing.found import About, Doubt, MergedName, UnusedCells, as_about
from kitdocs.importing.memory import MEMORY
from kitdocs.importing.names import CERTAIN
from kitdocs.practice.message import Message, counted, message, said
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.practice.writing import scalar

#: So many of a kind are listed; the rest with --all.
_LISTED = 12

Say = Callable[[Message | str], str]


def sayer(language: str) -> Say:
    """Return what says a message in a language that kitdocs speaks."""
    sentences = shipped_sentences(language)
    return lambda text: said(text, sentences, language)


def show_brought(console: Console, brought: Brought, changes: FolderChanges, *, everything: bool) -> None:
    """Print what was recognised, the review list, what was not used, and what will change in the folder."""
    tell = sayer(brought.known.language)
    for sheet, kind in brought.lists:
        what = tell(message(f"import.kind.{kind}")) if kind else tell(message("import.told.unclear"))
        say(console, tell(message("import.told.list", sheet=sheet, what=what)))
    for told in brought.found.told:
        say(console, tell(told))
    if brought.found.details:
        details = brought.found.details if everything else [counted("import.told.details", len(brought.found.details))]
        for told in details:
            say(console, tell(told))
    show_merged(console, brought.found.merged, tell, everything, brought.known.folder)
    show_unused(console, brought.found.unused, tell, everything)
    _changes(console, changes, tell)


def show_merged(
    console: Console, merged: Sequence[MergedName], tell: Say, everything: bool, folder: Path | None = None
) -> None:
    """Print the review list: which names were taken for what, how surely, and why; and how one is corrected.

    `folder` is where import.yaml keeps what names mean; None where it keeps none of these.
    """
    if not merged:
        return
    names = {(each.written.casefold(), each.meant): each for each in merged if not _is_its_id(each)}
    if not names:
        return
    say(console, "\n" + tell(counted("import.told.merged", len(names))))
    least_sure_first = sorted(names.values(), key=lambda each: (each.sure, each.meant))
    lines = [
        f"  {each.written} → {each.meant}"
        + (f"  ({round(100 * each.sure)}%: {tell(each.why)})" if each.sure < 1 else "")
        for each in least_sure_first
    ]
    _listed(console, lines, tell, everything)
    if folder is not None:
        first = least_sure_first[0]
        name = scalar(as_about(first.written)[0])
        say(console, tell(message("import.told.correct", file=str(folder / MEMORY), name=name, id=first.meant)))


def _is_its_id(merged: MergedName) -> bool:
    """Whether a name is its own id, in other letters: nothing was matched."""
    return "-".join(merged.written.casefold().split()) == merged.meant


def show_unused(
    console: Console, unused: Sequence[UnusedCells], tell: Say, everything: bool, *, key: str = "import.told.unused"
) -> None:
    """Print what was not used, and why, under the sentence of that key."""
    if unused:
        say(console, "\n" + tell(counted(key, len(unused))))
        _listed(console, [f"  {each.where} ({tell(each.why)})" for each in unused], tell, everything)


def _listed(console: Console, lines: Sequence[str], tell: Say, everything: bool) -> None:
    shown = lines if everything or len(lines) <= _LISTED + 2 else lines[:_LISTED]
    for line in shown:
        say(console, line)
    if len(shown) < len(lines):
        say(console, "  " + tell(counted("import.told.more", len(lines) - len(shown))))


def _changes(console: Console, changes: FolderChanges, tell: Say) -> None:
    say(console, "")
    for stem, ids in changes.added.items():
        file = f"{stem}.csv" if stem in ("stock", "schedule") else f"{stem}.yaml"
        ids_shown = [*dict.fromkeys(ids)]
        some = ", ".join(ids_shown[:6]) + (" …" if len(ids_shown) > 6 else "")
        say(console, tell(counted("import.told.added", len(ids), file=file, ids=some)))
    for change in itertools.islice(changes.filled, 40):
        say(console, tell(message("import.told.filled", what=_what(change), after=_value(change.after))))
    for change in changes.changed:
        said_ = message(
            "import.told.changed", what=_what(change), before=_value(change.before), after=_value(change.after)
        )
        say(console, tell(said_))


def _what(change: ValueChange) -> str:
    return ".".join(filter(None, (change.file.rpartition(".")[0], change.id, change.field)))


def _value(value: Any) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{key}: {inner}" for key, inner in value.items())
    return str(value)


def show_open(console: Console, doubts: Iterable[Doubt], tell: Say) -> None:
    """Print the questions that nobody has answered."""
    open_ = list(doubts)
    if open_:
        say(console, "\n" + tell(counted("import.told.open", len(open_))))
    for doubt in open_:
        suggested = f"  [{doubt.suggested}]" if doubt.suggested else ""
        say(console, f"  {tell(doubt.asked)}{suggested}")


def show_refused(console: Console, doubts: Iterable[Doubt], answers: Mapping[About, str], tell: Say) -> None:
    """Print which answers were not taken, and why."""
    for doubt in doubts:
        given = answers.get(as_about(*doubt.about), "")
        if given and (refused := doubt.refuses(given)):
            say(console, "\n" + tell(message("import.refused.answer", question=tell(doubt.asked), answer=given)))
            for why in refused.why:
                say(console, f"  {tell(why)}")


def brought_json(brought: Brought, changes: FolderChanges, written: Sequence[str]) -> dict[str, object]:
    """Return all that is told as plain data; ids and cells as they are, sentences in the language of the folder."""
    tell = sayer(brought.known.language)
    found = brought.found
    return {
        "lists": [{"sheet": sheet, "kind": kind} for sheet, kind in brought.lists],
        "added": {stem: list(ids) for stem, ids in changes.added.items()},
        "filled": [_change_json(change) for change in changes.filled],
        "changed": [_change_json(change) for change in changes.changed],
        "merged": [
            {
                "written": each.written,
                "id": each.meant,
                "sure": each.sure,
                "certain": each.sure >= CERTAIN,
                "why": tell(each.why),
                "cells": list(each.sources),
            }
            for each in found.merged
        ],
        "told": [tell(told) for told in (*found.told, *found.details)],
        "unused": [{"cells": each.where, "why": tell(each.why)} for each in found.unused],
        "questions": [question_json(each, tell) for each in found.doubts],
        "written": list(written),
    }


def question_json(doubt: Doubt, tell: Say) -> dict[str, object]:
    """Return a question as plain data."""
    return {
        "about": list(doubt.about),
        "question": tell(doubt.asked),
        "choices": {value: tell(meaning) for value, meaning in doubt.choices.items()},
        "suggested": doubt.suggested,
        "needed": doubt.needed,
        "cells": list(doubt.sources),
    }


def _change_json(change: ValueChange) -> dict[str, object]:
    return {
        "file": change.file,
        "id": change.id,
        "field": change.field,
        "before": change.before,
        "after": change.after,
        "cells": list(change.sources),
    }
