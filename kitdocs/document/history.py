"""Printed editions, withdrawn cards, and the replacement of what is posted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

#: What to do where a card is posted.
Action: TypeAlias = Literal["replace", "add", "take-out"]


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierEdition:
    """An edition that was printed on the date `printed` (ISO 8601). `changes` says in sentences what differs now."""

    edition: str
    printed: str
    changes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WithdrawnCard:
    """A printed card that the handbook no longer has. `hangs` says where to take it down.

    `editions` are the printed ones, the latest first.
    """

    id: str
    title: str
    subtitle: str = ""
    hangs: str = ""
    editions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Replacement:
    """A card to add, replace or take out, so that what is posted is what the handbook says.

    `old_edition` is empty for a card that is added, `new_edition` for one that is taken out. `changes` are sentences.
    `old_title`, `old_subtitle`, `old_section` and `old_hangs` are the printed card's, where one is posted.
    `marked` are the new parts of a card that is replaced: ``front.1`` is its second block, ``front.1.bird-beak`` a row
    of that block by its id, ``front.2.4`` a row by its number. `sheets` label the old card's sheets in the binder.
    """

    card: str
    action: Action
    title: str
    subtitle: str = ""
    hangs: str = ""
    old_title: str = ""
    old_subtitle: str = ""
    old_section: str = ""
    old_hangs: str = ""
    old_edition: str = ""
    new_edition: str = ""
    changes: tuple[str, ...] = ()
    marked: frozenset[str] = frozenset()
    sheets: tuple[str, ...] = ()
