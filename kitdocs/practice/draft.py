"""A practice as far as its folder could be read: what the rules between records are given.

It holds whole records and whole values only. A record with a mistake in it is not there. A value of practice.yaml or
room.yaml that could not be read is None, so that the type checker finds a rule that forgets it. `broken` tells what
could not be read, so that a rule about something *missing* stays silent there (`is_whole`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Literal

from kitdocs.practice.locations import Path as ValuePath
from kitdocs.practice.model import Procedure, Records, Visit
from kitdocs.practice.paper import Labels
from kitdocs.practice.problems import path_of
from kitdocs.practice.room import AnyStage, Person, PouchSize, Sheet, Supplies
from kitdocs.practice.settings import Accepted, WorkingDay
from kitdocs.practice.shelves import Drawer, Hook, Shelf


@dataclass(frozen=True, slots=True, kw_only=True)
class Name:
    """A record named by another: where it is named, and the table (`("room", "pouch_sizes")`) in which it must be."""

    path: ValuePath
    id: str
    table: ValuePath
    at_key: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingsDraft:
    """practice.yaml as far as it could be read; `read` holds every whole value by its key."""

    read: Mapping[str, Any] = field(default_factory=dict)
    day: WorkingDay | None = None
    languages: tuple[str, ...] | None = None
    paper: Literal["letter", "a4"] | None = None
    labels: Labels | None = None
    accepted: tuple[Accepted, ...] = ()
    from_starter: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomDraft:
    """room.yaml as far as it could be read; `read` holds every whole value by its key."""

    read: Mapping[str, Any] = field(default_factory=dict)
    restock: tuple[int, ...] | None = None
    stages: Mapping[str, AnyStage] = field(default_factory=dict)
    people: Mapping[str, Person] = field(default_factory=dict)
    opens: int | None = None
    closes: int | None = None
    sheets: Mapping[str, Sheet] = field(default_factory=dict)
    pouch_sizes: Mapping[str, PouchSize] = field(default_factory=dict)
    supplies: Supplies | None = None
    drawers: Mapping[str, Drawer] = field(default_factory=dict)
    hooks: Mapping[str, Hook] = field(default_factory=dict)
    shelves: Mapping[str, Shelf] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Draft(Records):
    """The whole records of a folder, by id; visits by their line, counted from 0. `problems` are those found so far."""

    settings: SettingsDraft
    room: RoomDraft
    schedule: Mapping[int, Visit]
    names: tuple[Name, ...] = ()
    """The names by which records refer to each other, also those in records that could not be read."""
    called: Mapping[ValuePath, Mapping[str, str]] = field(default_factory=dict)
    """The ids of each table by what their records are called, in small letters."""
    ids: Mapping[ValuePath, frozenset[str]] = field(default_factory=dict)
    """Every id of each table, also of records that could not be read; a wrong id as it should have been, too."""
    broken: frozenset[ValuePath] = frozenset()
    """Records and values that could not be read, by path; a path of one part means the whole file."""

    def carried(self, procedure: Procedure) -> Counter[str]:
        """How many of each instrument are in the set and the add-ons of a procedure."""
        packs = [self.sets.get(procedure.set), *(self.pouches.get(pouch) for pouch in procedure.add_ons)]
        return Counter(instrument for pack in packs if pack for instrument in pack.contents)

    @cached_property
    def _faults(self) -> frozenset[ValuePath]:
        """The paths of what could not be read, and of the errors found so far."""
        return self.broken | {path_of(problem.path) for problem in self.problems if problem.severity == "error"}

    @cached_property
    def _around_faults(self) -> frozenset[ValuePath]:
        return frozenset(path[:length] for path in self._faults for length in range(len(path) + 1))

    @cached_property
    def _asked(self) -> dict[tuple[str | int | None, ...], bool]:
        return {}

    def has_broken(self, *stems: str) -> bool:
        """Whether one of these files, or something in it, could not be read."""
        return any(path[0] in stems for path in self.broken)

    def is_whole(self, *path: str | int | None) -> bool:
        """Whether everything at, in or around `path` was read without an error. None in it stands for any part.

        What is not whole has been reported; a rule that would speak of something *missing* there stays silent.
        """
        if None not in path:
            inside = path in self._around_faults
            return not inside and not any(path[:length] in self._faults for length in range(len(path)))
        if path not in self._asked:
            self._asked[path] = not any(_meet(path, fault) for fault in self._faults)
        return self._asked[path]


def _meet(path: tuple[str | int | None, ...], other: ValuePath) -> bool:
    """Whether one of two paths lies at or within the other."""
    return all(wanted in (None, part) for wanted, part in zip(path, other, strict=False))
