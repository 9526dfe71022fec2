"""Names by which one record refers to another, as written: also those in records that could not be read."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from kitdocs.practice.draft import Name
from kitdocs.practice.locations import Path
from kitdocs.practice.message import message
from kitdocs.practice.problems import Problem, by_name, written
from kitdocs.practice.reading.yaml_file import YamlFile
from kitdocs.practice.values import ID_PATTERN

_KEYS, _ITEMS = "(keys)", "(items)"

#: Where in a record of each file another record is named, and the table in which that must be.
_NAMED: Mapping[str, Mapping[Path, Path]] = {
    "chairs": {("drawer", _KEYS): ("pouches",)},
    "instruments": {("skips", _ITEMS): ("room", "stages"), ("also", _ITEMS): ("room", "stages")},
    "sets": {("cassette",): ("cassettes",), ("contents", _ITEMS): ("instruments",)},
    "pouches": {("size",): ("room", "pouch_sizes"), ("contents", _ITEMS): ("instruments",)},
    "procedures": {
        ("set",): ("sets",),
        ("add_ons", _KEYS): ("pouches",),
        ("needs", _KEYS): ("instruments",),
        ("chairs", _ITEMS): ("chairs",),
    },
    "stock": {("instrument",): ("instruments",)},
    "schedule": {("chair",): ("chairs",), ("procedure",): ("procedures",)},
}


def names_in(files: Mapping[str, YamlFile]) -> tuple[Name, ...]:
    """Return every name in the files (by stem) that is written as an id."""
    return tuple(name for name in _names(files) if re.fullmatch(ID_PATTERN, name.id))


def _names(files: Mapping[str, YamlFile]) -> Iterator[Name]:
    for stem, named in _NAMED.items():
        for key, record in _records(files[stem].data):
            for where, table in named.items():
                for path, id_ in _found(record, where):
                    if isinstance(id_, str):
                        yield Name(path=(stem, key, *path), id=id_, table=table, at_key=where[-1] == _KEYS)


def called_in(files: Mapping[str, YamlFile]) -> Mapping[Path, Mapping[str, str]]:
    """Return the ids of each table by what their records are called, in small letters, in every language."""
    tables = {table for named in _NAMED.values() for table in named.values()}
    return MappingProxyType({table: MappingProxyType(dict(_called(files, table))) for table in tables})


def _called(files: Mapping[str, YamlFile], table: Path) -> Iterator[tuple[str, str]]:
    data = files[str(table[0])].data
    for part in table[1:]:
        data = data.get(part) if isinstance(data, dict) else None
    for id_, record in data.items() if isinstance(data, dict) else ():
        name = record.get("name") if isinstance(record, dict) else None
        for text in name.values() if isinstance(name, dict) else (name,):
            if isinstance(text, str):
                yield " ".join(text.replace("-", " ").casefold().split()), id_


#: A count before the name: `2 Mouth mirror`.
_COUNTED = re.compile(r"([1-9]\d?\s+(?:[x×]\s+)?)(\D.*)")


def _meant(text: str, called: Mapping[str, str]) -> str:
    """The id of what is called so, with the count that stands before its name; '' where nothing is."""
    counted = _COUNTED.fullmatch(text)
    id_ = by_name(counted[2], called) if counted else ""
    return f"{counted[1]}{id_}" if counted and id_ else by_name(text, called)


def with_ids_by_name(problems: Iterable[Problem], files: Mapping[str, YamlFile]) -> tuple[Problem, ...]:
    """Return the problems; where a record is named by what it is called, the remedy of its problem is its id."""
    called = called_in(files)
    names = {written(name.path): name for name in _names(files) if not re.fullmatch(ID_PATTERN, name.id)}

    def mended(problem: Problem) -> Problem:
        name = names.get(problem.path)
        meant = _meant(name.id, called[name.table]) if name and problem.rule in ("id", "value") else ""
        return replace(problem, remedy=str(message("problems.nearest", word=meant))) if meant else problem

    once = {(p.place, str(p.message), "" if p.path in names else p.path): p for p in map(mended, problems)}
    return tuple(once.values())  # `Explorer: 2` is one mistake


def _records(data: Any) -> Iterator[tuple[str | int, Any]]:
    if isinstance(data, dict):
        yield from data.items()
    elif isinstance(data, list):
        yield from enumerate(data)


def _found(record: Any, where: Path) -> Iterator[tuple[Path, Any]]:
    """Yield the values that a record holds at a place, each with its path."""
    held = record.get(where[0]) if isinstance(record, dict) else None
    if len(where) == 1:
        yield where, held
    elif where[1] == _KEYS and isinstance(held, dict):
        yield from (((where[0], key), key) for key in held)
    elif where[1] == _ITEMS and isinstance(held, list):
        yield from (((where[0], index), item) for index, item in enumerate(held))
