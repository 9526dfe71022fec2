"""Source locations of values: file, line, column, and the line itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class SourceLocation:
    """A point in a file of the practice folder. Line and column count from 1, as editors do."""

    file: str
    line: int = 1
    column: int = 1
    text: str = field(default="", compare=False)
    also: str = field(default="", compare=False)
    """Where the same record stands as well, when it is put together of two."""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceLocations:
    """The place of every key and value of a practice folder, by path.

    A path starts with the file's stem: ``("sets", "core", "contents", 2)``.
    """

    keys: Mapping[Path, SourceLocation] = field(default_factory=dict)
    values: Mapping[Path, SourceLocation] = field(default_factory=dict)

    def value(self, *path: str | int) -> SourceLocation:
        """The place of the value at `path`, or of the nearest thing around it that was written."""
        return self._nearest(path, self.values, self.keys)

    def key(self, *path: str | int) -> SourceLocation:
        """The place of the key (the word before the colon) at `path`, or of the nearest thing around it."""
        return self._nearest(path, self.keys, self.values)

    @staticmethod
    def _nearest(
        path: Path, first: Mapping[Path, SourceLocation], second: Mapping[Path, SourceLocation]
    ) -> SourceLocation:
        if path in first:
            return first[path]
        for length in range(len(path), 0, -1):
            place = second.get(path[:length]) or first.get(path[:length])
            if place:
                return place
        return SourceLocation(file=str(path[0]) if path else ".")
