"""What `kitdocs printed` takes and says: which cards were hung, on which day, by whom."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from kitdocs.command.terminal import say, trimmed
from kitdocs.document.card import Handbook
from kitdocs.practice.printed import LONGEST_NAME, PRINTED, PrintRecord, day
from kitdocs.practice.problems import nearest
from kitdocs.practice.reading.text_file import UNPRINTABLE
from kitdocs.revisions.record import NewAct, known_names

#: So many cards are named; of more, only the number is said.
_NAMED = 12


def day_of(text: str) -> str:
    """A day as ``2026-11-25``; today without one. Raises ValueError with what is right."""
    return day(text) if text else date.today().isoformat()


def named(by: str) -> str:
    """Who hung the cards, as the record keeps it: on one line. Raises ValueError when it cannot be kept so."""
    name = " ".join(by.split())
    if UNPRINTABLE.search(name):
        raise ValueError("this holds a sign that cannot be printed; a name or role in letters is meant, as in lead")
    if len(name) > LONGEST_NAME:
        raise ValueError(f"this is {len(name)} letters long, and {LONGEST_NAME} are kept; a name or role will do")
    return name


def chosen_cards(texts: Sequence[str] | None, handbooks: Sequence[Handbook], record: PrintRecord) -> tuple[str, ...]:
    """Ids, kinds and places of cards, with or without commas; none when nothing was asked for.

    Raises ValueError when there is no such card, and when a choice was asked for that names none: that is a slip, and
    everything would be recorded.
    """
    known = known_names(handbooks, record)
    names = tuple(name.strip() for text in texts or () for name in text.split(",") if name.strip())
    if texts and not names:
        raise ValueError("no card is named; leave --cards out to record them all")
    for name in names:
        if name not in known:
            remedy = nearest(name, known) or f"'kitdocs printed --help' tells how; the places: {_places(handbooks)}"
            raise ValueError(f"no card, kind or place is called '{name}'; {remedy}")
    return names


def _places(handbooks: Sequence[Handbook]) -> str:
    return ", ".join(sorted({card.place for handbook in handbooks for card in handbook.kept if card.place}))


def refuse_hidden(new: NewAct, record: PrintRecord) -> None:
    """Raise ValueError when a card in `new` is recorded for a later day already, and would hang as it is there.

    A slip in a year does that, or a day that is told too late.
    """
    keys = [card.key for card in new.act.cards] + [(gone.card, gone.language) for gone in new.act.taken_out]
    later = [record.hanging[key] for key in keys if key in record.hanging and record.hanging[key].date > new.act.date]
    if later:
        last = max(later, key=lambda hanging: hanging.date)
        raise ValueError(
            f"{PRINTED}/{last.act}.yaml says that '{last.card.title}' was hung on {last.date}, which is after "
            f"{new.act.date}; give a later day, or delete that record if its day is a slip"
        )


def show_recorded(console: Console, new: NewAct | None) -> None:
    """Print what was recorded, in a few lines."""
    if new is None:
        say(console, "nothing new to record: what hangs is recorded already")
        return
    with trimmed(console):
        _show_act(console, new)


def _show_act(console: Console, new: NewAct) -> None:
    act = new.act
    languages = dict.fromkeys(card.language for card in act.cards)
    amounts = ", ".join(f"{sum(card.language == each for card in act.cards)} {each}" for each in languages)
    if act.cards:
        say(console, f"printed and hung: {cards_counted(len(act.cards))} ({amounts})")
        _names(console, [f"{card.title} ({card.language})" for card in act.cards])
    if act.taken_out:
        say(console, f"taken out: {cards_counted(len(act.taken_out))}")
        _names(console, [f"{gone.card} ({gone.language})" for gone in act.taken_out])
    say(console, f"recorded in {PRINTED}/{new.name}.yaml")


def recorded_json(new: NewAct | None) -> dict[str, Any]:
    """What was recorded, for another program."""
    if new is None:
        return {"recorded": None, "cards": [], "taken_out": []}
    cards = [{"card": c.card, "language": c.language, "edition": c.edition, "sheets": c.sheets} for c in new.act.cards]
    gone = [{"card": gone.card, "language": gone.language} for gone in new.act.taken_out]
    return {"recorded": f"{PRINTED}/{new.name}.yaml", "cards": cards, "taken_out": gone}


def _names(console: Console, names: Sequence[str]) -> None:
    if len(names) <= _NAMED:
        console.print(Padding(Text(", ".join(names), style="dim"), (0, 0, 0, 2)))


def cards_counted(number: int) -> str:
    """``1 card``, ``2 cards``."""
    return f"{number} card{'' if number == 1 else 's'}"
