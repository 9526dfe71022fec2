"""Plain data becomes records; what does not fit becomes problems, and whole records are kept for the rules."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Annotated, Any

from pydantic import Field, TypeAdapter, ValidationError

from kitdocs.practice.locations import Path, SourceLocations
from kitdocs.practice.problems import MOST, Problem, path_of, written
from kitdocs.practice.proposal import ProposalRecord
from kitdocs.practice.reading.teaching import taught
from kitdocs.practice.reading.yaml_file import YamlFile
from kitdocs.practice.record import Record
from kitdocs.practice.room import Room
from kitdocs.practice.schema import SHAPES
from kitdocs.practice.settings import Settings

#: Mistakes of one file that are looked at. A record with one mistake has a few follow-ups, and `MOST` are told.
_MOST_ERRORS = 20 * MOST
#: The files that hold a single record, not a table of them.
SINGLE: Mapping[str, type[Record]] = {"practice": Settings, "room": Room, "proposal": ProposalRecord}


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


def shaped(stem: str, file: YamlFile, places: SourceLocations, context: Mapping[str, Any]) -> Shaped:
    """Return the records of one file and every mistake in them. `context` is what other files say of its values."""
    try:
        whole = SHAPES[stem].validate_python(file.data, context=dict(context))
    except ValidationError as error:
        errors = error.errors(include_url=False)
    else:
        return Shaped(whole=whole, parts=_parts_of(whole))
    problems = taught(stem, file.data, errors[:_MOST_ERRORS], places)
    silent = {written(path) for path in file.silent}
    parts, broken = _kept(stem, file.data, {error["loc"] for error in errors})
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


def _kept(stem: str, data: Any, wrong: set[Path]) -> tuple[Mapping[Any, Any], set[Path]]:
    """Return what is whole in a file that is `wrong` in these places, and the paths of what is not."""
    if stem in SINGLE and isinstance(data, dict):
        return _values(SINGLE[stem], data, wrong)
    if isinstance(data, dict):
        return _entries(SHAPES[stem], data, wrong)
    if isinstance(data, list):
        broken = {path[0] for path in wrong} if all(wrong) else set(range(len(data)))
        lines = [line for line in range(len(data)) if line not in broken]
        whole = SHAPES[stem].validate_python([data[line] for line in lines]) if lines else ()
        return dict(zip(lines, whole, strict=True)), {(line,) for line in broken}
    return {}, {()}


def _entries(table: TypeAdapter[Any], data: dict[str, Any], wrong: set[Path]) -> tuple[Mapping[Any, Any], set[Path]]:
    """Return the whole records of a table, and the paths of the others."""
    broken = {path[0] for path in wrong if path}
    good = {key: value for key, value in data.items() if key not in broken}
    return table.validate_python(good) if good else {}, {(key,) for key in broken}


def _values(record: type[Record], data: dict[str, Any], wrong: set[Path]) -> tuple[Mapping[Any, Any], set[Path]]:
    """Return the whole values of a single record; of a table within it, the whole entries."""
    parts: dict[Any, Any] = {}
    broken: set[Path] = set()
    for name, field_ in record.model_fields.items():
        inside = {path[1:] for path in wrong if path[0] == name}
        if inside and isinstance(data.get(name), dict) and _is_table(record, name):
            parts[name], entries = _entries(_alone(record, name), data[name], inside)
            broken |= {(name, *path) for path in entries}
        elif inside:
            broken.add((name,))
        elif name in data:
            parts[name] = _alone(record, name).validate_python(data[name])
        else:
            parts[name] = field_.get_default(call_default_factory=True, validated_data={})
    return parts, broken


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
