"""Output of `kitdocs printed`: which cards were recorded as posted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from kitdocs.command.console import say, trimmed
from kitdocs.practice.printed import PRINTED
from kitdocs.revisions.record import NewRun

#: At most this many cards are listed by name; beyond it, only the number.
_NAMED = 12


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
        _names(console, [f"{card.title} ({card.language})" for card in run.cards])
    if run.taken_out:
        say(console, f"taken out: {cards_counted(len(run.taken_out))}")
        _names(console, [f"{gone.card} ({gone.language})" for gone in run.taken_out])
    say(console, f"recorded in {PRINTED}/{new.name}.yaml")


def recorded_json(new: NewRun | None) -> dict[str, Any]:
    """Return what was recorded as JSON data."""
    if new is None:
        return {"recorded": None, "cards": [], "taken_out": []}
    cards = [{"card": c.card, "language": c.language, "edition": c.edition, "sheets": c.sheets} for c in new.run.cards]
    gone = [{"card": gone.card, "language": gone.language} for gone in new.run.taken_out]
    return {"recorded": f"{PRINTED}/{new.name}.yaml", "cards": cards, "taken_out": gone}


def _names(console: Console, names: Sequence[str]) -> None:
    if len(names) <= _NAMED:
        console.print(Padding(Text(", ".join(names), style="dim"), (0, 0, 0, 2)))


def cards_counted(number: int) -> str:
    """Return ``1 card``, ``2 cards``."""
    return f"{number} card{'' if number == 1 else 's'}"
