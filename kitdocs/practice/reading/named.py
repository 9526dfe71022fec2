"""Names by which one record refers to another, as written: also those in records that could not be read."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from kitdocs.practice.draft import Name
from kitdocs.practice.locations import Path
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
    return tuple(
        Name(path=(stem, key, *path), id=id_, table=table, at_key=where[-1] == _KEYS)
        for stem, named in _NAMED.items()
        for key, record in _records(files[stem].data)
        for where, table in named.items()
        for path, id_ in _found(record, where)
        if isinstance(id_, str) and re.fullmatch(ID_PATTERN, id_)
    )


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
