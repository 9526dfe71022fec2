"""Question before a printing is recorded that the last handbook does not have; and the last record taken back."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import typer

from kitdocs.command.console import console, say
from kitdocs.command.posted import cards_counted, show_names
from kitdocs.document.card import Handbook
from kitdocs.practice import recording
from kitdocs.practice.last_handbook import editions_of_last_handbook, remember_handbook
from kitdocs.practice.printed import PRINTED, PrintedCard
from kitdocs.practice.reading.reader import read_practice
from kitdocs.revisions.record import NewRun
from kitdocs.revisions.replacements import Since


def make_sure(folder: Path, tell: Callable[[str], None], *, asks: bool) -> Callable[[NewRun], bool]:
    """Return whether a run may be recorded: it has the last handbook's editions, or somebody says so.

    Where nobody can be asked, it is told what would have been asked. Raises `typer.Exit` when the answer is no.
    """

    def sure(new: NewRun) -> bool:
        last = editions_of_last_handbook(folder)
        other = [card for card in new.run.cards if last is None or last.get(_key(card)) != card.edition]
        if not other:
            return True
        tell("")
        out = console(stderr=True)
        if last is None:
            say(
                out,
                f"no handbook made of {folder} is known, so only you know how {cards_counted(len(other))} were printed",
            )
        else:
            say(out, f"{cards_counted(len(other))} of {len(new.run.cards)} not as in the last handbook, for example:")
            show_names(out, [f"{card.title} ({card.language})" for card in other[:3]])
        if not (asks and sys.stdin.isatty()):
            return True
        if typer.confirm("Were they printed as they are now?", err=True):
            return True
        say(out, f"nothing was recorded; make the handbook anew (kitdocs handbook {folder} --to OUT) and print them")
        raise typer.Exit(1)

    return sure


def refuse_unknown(language: str, handbooks: Sequence[Handbook]) -> None:
    """Raise `typer.BadParameter` for a language that the practice does not print."""
    known = [handbook.language for handbook in handbooks]
    if language and language not in known:
        said = f"the practice does not print '{language}'; practice.yaml lists {', '.join(known)}"
        raise typer.BadParameter(said, param_hint="--language")


def remember_replacements(folder: Path, since: Since, handbooks: Sequence[Handbook]) -> None:
    """Keep that sheets to replace were made: their cards are printed as they are now, as if by a new handbook."""
    if (last := editions_of_last_handbook(folder)) is not None:
        made = {(language, each.card) for language, cards in since.replacements.items() for each in cards}
        now = {
            f"{book.language} {card.id}": card.edition
            for book in handbooks
            for card in book.kept
            if (book.language, card.id) in made
        }
        remember_handbook(folder, {**last, **now})


def _key(card: PrintedCard) -> str:
    return f"{card.language} {card.card}"


def take_back(folder: Path, *, as_json: bool, quiet: bool) -> None:
    """Take the last record of printing back, and print which it was."""
    practice = read_practice(folder)
    run = practice.printed.runs[practice.printed.latest[-1]] if practice.printed.latest else None
    name = f"{PRINTED}/{recording.take_back(folder, practice.printed)}.yaml"
    if as_json:
        print(json.dumps({"taken_back": name}))
    elif not quiet and run:
        by = f" by {run.by}" if run.by else ""
        say(console(), f"took back {name}: {cards_counted(len(run.cards))}, recorded for {run.date}{by}")
        left = "what was recorded before it counts again" if run.follows else "nothing is recorded as printed now"
        say(console(), left)
