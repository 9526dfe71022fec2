"""Choices for a record of printing: which cards were posted, on which day, by whom."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from kitdocs.document.card import Handbook
from kitdocs.practice.printed import LONGEST_NAME, PRINTED, PrintRecord, day
from kitdocs.practice.problems import nearest
from kitdocs.practice.reading.text_file import UNPRINTABLE
from kitdocs.revisions.record import NewRun, known_names


def day_of(text: str) -> str:
    """Return a day as ``2026-11-25``, today if none is given. Raises ValueError saying what to write."""
    return day(text) if text else date.today().isoformat()


def posted_by(name: str) -> str:
    """Return who posted the cards, on one line. Raises ValueError if the record cannot keep it."""
    name = " ".join(name.split())
    if UNPRINTABLE.search(name):
        raise ValueError("this contains a character that cannot be printed; write a name or role, for example lead")
    if len(name) > LONGEST_NAME:
        raise ValueError(f"this is {len(name)} characters, and the limit is {LONGEST_NAME}; a name or role will do")
    return name


def chosen_cards(texts: Sequence[str] | None, handbooks: Sequence[Handbook], record: PrintRecord) -> tuple[str, ...]:
    """Return the ids, kinds and places of cards that were asked for, with or without commas.

    Raises ValueError for an unknown card, and for a choice that names none: that is a slip, and would record
    everything.
    """
    known = known_names(handbooks, record)
    names = tuple(name.strip() for text in texts or () for name in text.split(",") if name.strip())
    if texts and not names:
        raise ValueError("no card named; leave --cards out to record them all")
    for name in names:
        if name not in known:
            remedy = nearest(name, known) or f"see 'kitdocs printed --help'; the places are: {_places(handbooks)}"
            raise ValueError(f"no card, kind or place is named '{name}'; {remedy}")
    return names


def _places(handbooks: Sequence[Handbook]) -> str:
    return ", ".join(sorted({card.place for handbook in handbooks for card in handbook.kept if card.place}))


def refuse_hidden(new: NewRun, record: PrintRecord) -> None:
    """Raise ValueError if a card in `new` is already recorded for a later day, which would win.

    Causes: a slip in the year, or a day recorded late.
    """
    keys = [card.key for card in new.run.cards] + [(gone.card, gone.language) for gone in new.run.taken_out]
    later = [record.posted[key] for key in keys if key in record.posted and record.posted[key].date > new.run.date]
    if later:
        last = max(later, key=lambda posted: posted.date)
        raise ValueError(
            f"{PRINTED}/{last.run}.yaml says that '{last.card.title}' was posted on {last.date}, after "
            f"{new.run.date}; give a later day, or delete that record if its date is wrong"
        )
