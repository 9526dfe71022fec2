"""Helpers for rules: which ids were written, what is whole, and the problems that a rule reports."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Protocol, TypeAlias

from kitdocs.practice.colours import Colour
from kitdocs.practice.draft import Draft, RoomDraft, SettingsDraft
from kitdocs.practice.locations import Path, SourceLocations
from kitdocs.practice.message import Message
from kitdocs.practice.problems import Problem, Severity, written
from kitdocs.practice.record import Record
from kitdocs.practice.values import Text

Said: TypeAlias = "Message | str"


class Located(Protocol):
    """A practice, or a draft of one: whatever knows where its values are written."""

    @property
    def places(self) -> SourceLocations: ...


ANY = None
"""In a path given to `whole`: whatever stands there."""


def error(
    practice: Located, rule: str, path: Path, message: Said, remedy: Said = "", *, at_key: bool = False
) -> Problem:
    """An error at the value (or the key) of `path`."""
    return _problem(practice, rule, "error", path, message, remedy, at_key)


def warning(
    practice: Located, rule: str, path: Path, message: Message, remedy: Said = "", *, at_key: bool = False
) -> Problem:
    """Return a warning at the value (or the key) of `path`; the planning report says it in every language."""
    return _problem(practice, rule, "warning", path, message, remedy, at_key)


def _problem(
    practice: Located, rule: str, severity: Severity, path: Path, message: Said, remedy: Said, at_key: bool
) -> Problem:
    find = practice.places.key if at_key else practice.places.value
    return Problem(rule=rule, severity=severity, place=find(*path), path=written(path), message=message, remedy=remedy)


def where(practice: Draft, *path: str | int) -> str:
    """``chairs.yaml, line 12``: where the other of two things is written."""
    place = practice.places.key(*path)
    return f"{place.file}, line {place.line}"


def table(practice: Draft, path: Path) -> Mapping[str, Any]:
    """The records at a path such as ``("sets",)`` or ``("room", "pouch_sizes")``."""
    found: Any = practice
    for part in path:
        found = getattr(found, str(part))
    return found if isinstance(found, Mapping) else {}


def ids(practice: Draft, *path: str) -> frozenset[str]:
    """Every id of a table, also of records that could not be read."""
    return practice.ids.get(path, frozenset())


def whole(practice: Draft, *path: str | int | None) -> bool:
    """Whether everything at, in or around `path` was read, and no error has been found there.

    What is not whole has been reported; a rule that would speak of something *missing* there stays silent.
    """
    return practice.is_whole(path)


def texts(path: Path, value: Any) -> Iterator[tuple[Path, Text]]:
    """Every `Text` in a record or a table, with its path."""
    if isinstance(value, Text):
        yield path, value
    elif isinstance(value, Record):
        for name in type(value).model_fields:
            yield from texts((*path, name), getattr(value, name))
    elif isinstance(value, SettingsDraft | RoomDraft):
        yield from texts(path, value.read)
    elif isinstance(value, Colour):
        yield from texts((*path, "name"), value.name)
    elif isinstance(value, tuple):
        for index, part in enumerate(value):
            yield from texts((*path, index), part)
    elif isinstance(value, Mapping):
        for key, part in value.items():
            yield from texts((*path, key), part)
