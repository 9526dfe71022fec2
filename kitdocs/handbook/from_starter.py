"""The mark on cards whose facts or figures come from the starter's example, and not from the practice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from kitdocs.document.blocks import Block, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.practice.kinds import PartOfTheStarter

_ROOM: tuple[PartOfTheStarter, ...] = ("room",)
_DAY: tuple[PartOfTheStarter, ...] = ("day", "room")
_CASSETTES: tuple[PartOfTheStarter, ...] = ("cassettes", "room")
#: What cards print of each part, or work out from it: by id, or by what stands before the stroke in it.
#: tests/importing/test_from_starter.py finds the cards by changing each part.
_RESTS_ON: Mapping[str, tuple[PartOfTheStarter, ...]] = {
    "r": _DAY,
    "drawer": _DAY,
    "d": _CASSETTES,
    "s": _CASSETTES,
    "t": _CASSETTES,
    "load": _CASSETTES,
    "key": _CASSETTES,
    "wrap-guide": _CASSETTES,
    "storage-map": ("day", *_CASSETTES),
    "store-poster": ("day", *_CASSETTES),
    "stock": _DAY,
    "forms/count-sheet": ("day", *_CASSETTES),
    "forms/round": _DAY,
    "move/first-week": _DAY,
    "move/plan": _DAY,
    "move/start": _DAY,
    "move/mark": ("day", *_CASSETTES),
    "move/order": ("day", *_CASSETTES),
    "pouch-guide": _ROOM,
    "chair-side": _ROOM,
    "care": _ROOM,
    "round": _ROOM,
    "forms/load-log": _ROOM,
    "forms/maintenance-log": _ROOM,
    "forms/training": _ROOM,
    "move/self-test": _ROOM,
    "move/self-test-answers": _ROOM,
}


def starter_mark(brief: Brief, *parts: PartOfTheStarter, short: bool = False) -> Iterator[Block]:
    """Yield one line that names those of the parts that the practice never stated; nothing where it stated all."""
    words = brief.words
    if unstated := [part for part in brief.practice.settings.from_starter if part in parts]:
        line, named = ("short", "short-") if short else ("line", "")
        what = brief.listed(words(f"card.from-starter.{named}{part}") for part in unstated)
        yield said(words(f"card.from-starter.{line}", what=what))


def with_starter_mark(brief: Brief, card: Card) -> Card:
    """Return a card with a line that says what on it is not the practice's own; a short one on a wall card."""
    parts = _RESTS_ON.get(card.id) or _RESTS_ON.get(card.id.partition("/")[0], ())
    mark = starter_mark(brief, *parts, short=card.form in ("wall", "template"))
    return replace(card, front=(*mark, *card.front))
