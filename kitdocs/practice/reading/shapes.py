"""Plain data becomes records; what does not fit becomes problems, and whole records are kept for the rules."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache, partial
from typing import Annotated, Any

from pydantic import Field, TypeAdapter, ValidationError

from kitdocs.practice.locations import Path, SourceLocations
from kitdocs.practice.model import Settings
from kitdocs.practice.problems import MOST, Problem, path_of, written
from kitdocs.practice.reading.teaching import taught
from kitdocs.practice.reading.yaml_file import YamlFile
from kitdocs.practice.record import Record
from kitdocs.practice.room import Room
from kitdocs.practice.schema import SHAPES

_BROKEN: Any = object()
#: Mistakes of one file that are looked at. A record with one mistake has a few follow-ups, and `MOST` are told.
_MOST_ERRORS = 20 * MOST
#: The files that hold a single record, not a table of them.
SINGLE: Mapping[str, type[Record]] = {"practice": Settings, "room": Room}


@dataclass(frozen=True, slots=True, kw_only=True)
class Shaped:
    """What one file holds as records.

    `whole` is all of it, None when there is a mistake. `parts` are the records, or the values of a single record, that
    have no mistake, by key or line; `broken` are the paths of the others.
    """

    whole: Any = None
    parts: Mapping[Any, Any] = field(default_factory=dict)
    broken: frozenset[Path] = frozenset()
    problems: tuple[Problem, ...] = ()


def shaped(stem: str, file: YamlFile, places: SourceLocations) -> Shaped:
    """Return the records of one file and every mistake in them."""
    try:
        whole = SHAPES[stem].validate_python(file.data)
    except ValidationError as error:
        problems = taught(stem, file.data, error.errors(include_url=False)[:_MOST_ERRORS], places)
    else:
        return Shaped(whole=whole, parts=_parts_of(whole))
    silent = {written(path) for path in file.silent}
    parts, broken = _kept(stem, file.data)
    return Shaped(
        parts=parts,
        broken=frozenset((stem, *path) for path in broken),
        problems=tuple(problem for problem in problems if not _within(problem.path, silent)),
    )


def unshaped(stem: str) -> Shaped:
    """Return what is known of a file that could not be read at all: nothing."""
    return Shaped(broken=frozenset({(stem,)}))


def _parts_of(whole: Any) -> Mapping[Any, Any]:
    if isinstance(whole, Record):
        return {name: getattr(whole, name) for name in type(whole).model_fields}
    return whole if isinstance(whole, Mapping) else dict(enumerate(whole))


def _within(path: str, silent: set[str]) -> bool:
    """Whether something has been said already about a value, or about what it lies in."""
    parts = path_of(path)
    return any(written(parts[:length]) in silent for length in range(1, len(parts) + 1))


def _kept(stem: str, data: Any) -> tuple[dict[Any, Any], set[Path]]:
    """Return what is whole in a file that holds a mistake, and the paths of what is not."""
    if stem in SINGLE and isinstance(data, dict):
        return _values(SINGLE[stem], data)
    if isinstance(data, dict):
        return _entries(data, SHAPES[stem])
    if isinstance(data, list):
        return _each({line: partial(_line, SHAPES[stem], part) for line, part in enumerate(data)})
    return {}, {()}


def _values(record: type[Record], data: dict[str, Any]) -> tuple[dict[Any, Any], set[Path]]:
    """Return the whole values of a single record; of a table within it, the whole entries."""
    parts, broken = _each({name: partial(_value, record, name, data) for name in record.model_fields})
    for name in record.model_fields:
        if (name,) in broken and isinstance(data.get(name), dict) and _is_table(record, name):
            parts[name], inner = _entries(data[name], _alone(record, name))
            broken = {*broken, *((name, *path) for path in inner)} - {(name,)}
    return parts, broken


def _value(record: type[Record], name: str, data: dict[str, Any]) -> Any:
    field_ = record.model_fields[name]
    if name in data or field_.is_required():
        return _alone(record, name).validate_python(data.get(name))
    return field_.get_default(call_default_factory=True, validated_data={})


def _entries(data: dict[str, Any], table: TypeAdapter[Any]) -> tuple[dict[Any, Any], set[Path]]:
    return _each({key: partial(_entry, table, key, value) for key, value in data.items()})


def _entry(table: TypeAdapter[Any], key: str, value: Any) -> Any:
    return table.validate_python({key: value})[key]


def _line(lines: TypeAdapter[Any], value: Any) -> Any:
    return lines.validate_python([value])[0]


def _each(readers: Mapping[Any, Callable[[], Any]]) -> tuple[dict[Any, Any], set[Path]]:
    """Return what can be read by itself, by key; and the paths of what cannot."""
    parts = {key: part for key, read in readers.items() if (part := _or_broken(read)) is not _BROKEN}
    return parts, {(key,) for key in readers if key not in parts}


def _or_broken(read: Callable[[], Any]) -> Any:
    try:
        return read()
    except ValidationError:
        return _BROKEN


def _is_table(record: type[Record], name: str) -> bool:
    """Whether a field holds records by id, each of which can be whole by itself."""
    schema = _alone(record, name).json_schema()
    return schema.get("type") == "object" and "properties" not in schema and "$ref" not in schema


@cache
def _alone(record: type[Record], name: str) -> TypeAdapter[Any]:
    field_ = record.model_fields[name]
    parts = (field_.annotation, Field(), *field_.metadata)
    annotated: Any = Annotated
    return TypeAdapter(annotated[parts])
