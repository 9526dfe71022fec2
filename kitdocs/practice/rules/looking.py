"""Helpers for rules: which ids were written, what is whole, and the problems that a rule reports."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, TypeAlias

from kitdocs.practice.colours import Colour
from kitdocs.practice.draft import Draft, RoomDraft, SettingsDraft
from kitdocs.practice.locations import Path, SourceLocation
from kitdocs.practice.message import Message, Value
from kitdocs.practice.model import Records
from kitdocs.practice.problems import Problem, problem_at, written
from kitdocs.practice.record import Record
from kitdocs.practice.values import Text

Values: TypeAlias = dict[str, Any]
"""What fills the sentences of a problem, by the names in their braces."""


ANY = None
"""In a path given to `is_whole`: whatever stands there."""


def error(
    practice: Records, name: str, path: Path, /, *, at_key: bool = False, remedy: str = "remedy", **values: Any
) -> Problem:
    """Return the error of that name in ``words/errors.yaml``, at the value (or the key) of `path`."""
    return problem_at(_place(practice, path, at_key), path, name, remedy=remedy, **values)


def warning(
    practice: Records,
    key: str,
    path: Path,
    /,
    *,
    at_key: bool = False,
    message: Message | None = None,
    remedy: Message | str | None = None,
    **values: Value,
) -> Problem:
    """Return a warning at the value (or the key) of `path`; the planning report says it in every language.

    The last part of `key` is its rule. Where they are not given, `message` and `remedy` are the sentences that stand
    under the key, filled with `values`.
    """
    return Problem(
        rule=key.rpartition(".")[2],
        severity="warning",
        place=_place(practice, path, at_key),
        path=written(path),
        message=Message(f"{key}.message", tuple(values.items())) if message is None else message,
        remedy=Message(f"{key}.remedy", tuple(values.items())) if remedy is None else remedy,
    )


def _place(practice: Records, path: Path, at_key: bool) -> SourceLocation:
    return practice.places.key(*path) if at_key else practice.places.value(*path)


def where(practice: Draft, *path: str | int) -> str:
    """``chairs.yaml, line 12``: where the other of two things is written."""
    place = practice.places.key(*path)
    return f"{place.file}, line {place.line}"


def table(practice: Draft, path: Path) -> Mapping[str, Any]:
    """The records at a path such as ``("sets",)`` or ``("room", "pouch_sizes")``."""
    found: Any = practice
    for part in path:
        found = getattr(found, str(part))
    records: Mapping[str, Any] = found
    return records


def ids(practice: Draft, *path: str) -> frozenset[str]:
    """Every id of a table, also of records that could not be read."""
    return practice.ids.get(path, frozenset())


def written_texts(practice: Draft) -> Iterator[tuple[Path, Text]]:
    """Every `Text` that a person wrote in the YAML files, with its path; built-in names of colours stand in no file."""
    for stem in ("practice", "chairs", "instruments", "cassettes", "sets", "pouches", "procedures", "room"):
        for path, text in texts((stem,), practice.settings if stem == "practice" else getattr(practice, stem)):
            if path in practice.places.values:
                yield path, text


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
