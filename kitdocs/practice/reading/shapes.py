"""Plain data becomes records; what does not fit becomes problems, and the rest is kept for the rules."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from kitdocs.practice.locations import SourceLocations
from kitdocs.practice.problems import Problem, path_of, written
from kitdocs.practice.reading.teaching import taught
from kitdocs.practice.reading.unread import LENIENT, or_unread
from kitdocs.practice.reading.yaml_file import YamlFile
from kitdocs.practice.schema import SHAPES


def shaped(stem: str, file: YamlFile, places: SourceLocations) -> tuple[Any, list[Problem]]:
    """The records of one file and every mistake in them; a broken value is `UNREAD` in its record."""
    adapter = SHAPES[stem]
    try:
        return adapter.validate_python(file.data), []
    except ValidationError as error:
        problems = taught(stem, file.data, error.errors(include_url=False), places)
    silent = {written(path) for path in file.silent}
    return unshaped(stem, file.data), [problem for problem in problems if not _within(problem.path, silent)]


def _within(path: str, silent: set[str]) -> bool:
    """Whether something has been said already about a value, or about what it lies in."""
    parts = path_of(path)
    return any(written(parts[:length]) in silent for length in range(1, len(parts) + 1))


def unshaped(stem: str, data: Any) -> Any:
    """What can be kept of a file that holds mistakes or is missing altogether."""
    adapter = SHAPES[stem]
    empty: Any = () if stem == "schedule" else {}
    kept = or_unread(data, lambda part: adapter.validate_python(part, context=LENIENT))
    if kept or stem not in ("practice", "room"):
        return kept or empty
    return adapter.validate_python({}, context=LENIENT)
