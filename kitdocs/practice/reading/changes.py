"""What-if changes: another value for one place of the practice folder, without touching a file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kitdocs.practice.locations import SourceLocation
from kitdocs.practice.problems import Problem, nearest, path_of, problem_at, written
from kitdocs.practice.reading.text_file import text_file
from kitdocs.practice.reading.yaml_file import YamlFile, read_yaml

FILE = "(change)"


def apply(changes: Mapping[str, str], files: Mapping[str, YamlFile]) -> list[Problem]:
    """Overwrite values in `files` (by stem) before they are checked; what cannot be changed is a problem."""
    return [problem for where, value in changes.items() for problem in _change(where, value, files)]


def _change(where: str, value: str, files: Mapping[str, YamlFile]) -> list[Problem]:
    path = path_of(where)
    if len(path) < 2:
        return [_wrong(where, value, "change.no-value")]
    file = files.get(str(path[0]))
    if not file:
        return [_wrong(where, value, "change.no-file", file=path[0], nearest=nearest(str(path[0]), files))]
    holder: Any = file.data
    for depth, part in enumerate(path[1:-1], 1):
        if not _has(holder, part):
            near = nearest(str(part), holder if isinstance(holder, dict) else ())
            return [_wrong(where, value, "change.unknown", path=written(path[: depth + 1]), nearest=near)]
        holder = holder[part]
    last = path[-1]
    if not (isinstance(holder, dict) and isinstance(last, str)) and not _has(holder, last):
        return [_wrong(where, value, "change.unknown", path=where, nearest="")]
    # The value stands after 'path=', so that the caret finds it.
    source = text_file(FILE, path, value)
    read = read_yaml(source)
    if read.problems:
        return [_wrong(where, value, "change.yaml", problem=problem) for problem in read.problems]
    holder[last] = read.data
    place = SourceLocation(file=FILE, line=1, column=len(where) + 2, text=f"{where}={value}")
    for table in (file.keys, file.values):
        for inner in [p for p in table if p[: len(path)] == path]:
            del table[inner]
    for inner in (*read.values, path):
        file.values[inner] = place
    for inner in (*read.keys, path):
        file.keys[inner] = SourceLocation(file=FILE, line=1, column=1, text=place.text)
    return []


def _has(holder: Any, part: str | int) -> bool:
    if isinstance(holder, dict):
        return part in holder
    return isinstance(holder, list) and isinstance(part, int) and 0 <= part < len(holder)


def _wrong(where: str, value: str, name: str, /, **values: Any) -> Problem:
    place = SourceLocation(file=FILE, line=1, column=1, text=f"{where}={value}")
    return replace(problem_at(place, (), name, **values), path=where)
