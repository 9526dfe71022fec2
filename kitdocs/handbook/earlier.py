"""What hung before: the printed editions of a card, and the printed cards that the handbook no longer has."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """An edition that was printed, on the date `printed` (ISO 8601). `changes` says in sentences what is different now."""

    edition: str
    printed: str
    changes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawn:
    """A card that was printed and that the handbook no longer has. `hangs` says where it is to be taken down.

    `editions` are the printed ones, the latest first.
    """

    id: str
    title: str
    subtitle: str = ""
    hangs: str = ""
    editions: tuple[str, ...] = ()
