"""What hung before, and what must be exchanged: printed editions, printed cards that are no more, exchanges."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

#: What to do at the place where a card hangs or lies.
Action: TypeAlias = Literal["replace", "add", "take-out"]


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierEdition:
    """An edition that was printed on the date `printed` (ISO 8601). `changes` says in sentences what differs now."""

    edition: str
    printed: str
    changes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WithdrawnCard:
    """A card that was printed and that the handbook no longer has. `hangs` says where it is to be taken down.

    `editions` are the printed ones, the latest first.
    """

    id: str
    title: str
    subtitle: str = ""
    hangs: str = ""
    editions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Replacement:
    """A card that must be exchanged so that what hangs is what the handbook says.

    `old_edition` is empty for a card that is added, `new_edition` for one that is taken out. `changes` are sentences.
    `old_title`, `old_subtitle`, `old_section` and `old_hangs` are what the printed card is called, its part of the
    binder and where it hangs, for a card that is replaced or taken out.
    `marked` says what is new on a card that is replaced: ``front.1`` is its second block, ``front.1.bird-beak`` the row
    (or the place of a table, ``front.2.4``) in it. `sheets` are the labels of the old card's sheets in the binder.
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
