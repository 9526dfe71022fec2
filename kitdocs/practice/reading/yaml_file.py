"""YAML read by its events: plain values, the place of each, and nothing that a file could run or blow up.

A plain word is a number, true, false or null only where YAML 1.2 says so and nobody could mean
something else: ``08:30``, ``yes``, ``1_000``, ``007`` and ``2025-01-01`` stay text. Keys are always text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any, NoReturn

import yaml

from kitdocs.practice.locations import Path, SourceLocation
from kitdocs.practice.message import message
from kitdocs.practice.problems import MOST, Problem, at_most, problem_at, written
from kitdocs.practice.reading.syntax import CUT_OFF, syntax_problem
from kitdocs.practice.reading.text_file import UNPRINTABLE, TextFile

DEEPEST = 20
MOST_REPEATED = 10_000
MOST_VALUES = 100_000

_CONSTANTS = {"": None, "~": None, "null": None, "Null": None, "NULL": None} | {
    word: word.lower() == "true" for word in ("true", "True", "TRUE", "false", "False", "FALSE")
}
_INTEGER = re.compile(r"[-+]?(?:0|[1-9][0-9]{0,14})")
_DECIMAL = re.compile(r"[-+]?(?:0|[1-9][0-9]{0,14})?\.[0-9]{1,15}")


def plain(text: str) -> Any:
    """What a word without quotes means."""
    if text in _CONSTANTS:
        return _CONSTANTS[text]
    if _INTEGER.fullmatch(text):
        return int(text)
    return float(text) if _DECIMAL.fullmatch(text) else text


@dataclass(slots=True)
class YamlFile:
    """What a file holds, where each value was written, and what is wrong with it as YAML."""

    data: Any = None
    keys: dict[Path, SourceLocation] = field(default_factory=dict)
    values: dict[Path, SourceLocation] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    silent: set[Path] = field(default_factory=set)
    """Values that were left out, or made up, after a problem that has been noted: nothing more is said of them."""


#: How much of a large file is read a second time around a mistake. The example's longest record has 40 lines.
_NEAR_LINES = 400
_NEAR_LETTERS = 50_000


class _StopError(Exception):
    """The rest of the file cannot be read; the problem is already noted."""


@dataclass(slots=True)
class _Anchor:
    data: Any
    path: Path
    size: int


class _Reader:
    """One walk through the events of one file, from its line `start` on."""

    def __init__(self, source: TextFile, events: Iterator[Any], start: int = 0) -> None:
        self.source = source
        self.start = start
        self.events = events
        self.out = YamlFile()
        self.anchors: dict[str, _Anchor | None] = {}
        self.size = 0
        self.repeated = 0
        self.skipping = False

    def read(self) -> YamlFile:
        try:
            self._next(yaml.StreamStartEvent)
            if isinstance(event := next(self.events), yaml.DocumentStartEvent):
                self.out.data = self._value(next(self.events), self.source.at)
                self._next(yaml.DocumentEndEvent)
                event = next(self.events)
            if isinstance(event, yaml.DocumentStartEvent):
                self._stop(event.start_mark, "documents")
        except _StopError:
            self.out.data = None
        return self.out

    def _next(self, kind: type) -> None:
        event = next(self.events)
        assert isinstance(event, kind), event

    def _place(self, mark: Any) -> SourceLocation:
        return self.source.place(self.start + mark.line + 1, mark.column + 1)

    def _note(self, mark: Any, name: str, path: Path, /, **values: Any) -> None:
        self.out.problems.append(problem_at(self._place(mark), path, name, **values))
        if len(self.out.problems) > MOST:
            *listed, last = at_most(self.out.problems)
            self.out.problems = [*listed, replace(last, path=written(self.source.at))]
            raise _StopError

    def _stop(self, mark: Any, name: str, /, **values: Any) -> NoReturn:
        self._note(mark, name, self.source.at, **values)
        raise _StopError

    def _value(self, event: Any, path: Path) -> Any:
        if len(path) > DEEPEST:
            self._stop(event.start_mark, "too-deep.yaml", most=DEEPEST)
        if self.size > MOST_VALUES:
            self._stop(event.start_mark, "too-many-values", most=MOST_VALUES)
        self._keep(self.out.values, path, self._place(event.start_mark))
        if isinstance(event, yaml.AliasEvent):
            return self._alias(event, path)
        if event.tag and not (isinstance(event, yaml.ScalarEvent) and event.tag == "!"):
            self._note(event.start_mark, "tag", path)
            self.out.silent.add(path)
        if event.anchor:
            self.anchors[event.anchor] = None
        before = self.size
        self.size += 1
        if isinstance(event, yaml.ScalarEvent):
            data = self._scalar(event, path)
        elif isinstance(event, yaml.SequenceStartEvent):
            data = self._list(path)
        else:
            data = self._mapping(path)
        if event.anchor:
            self.anchors[event.anchor] = _Anchor(data, path, self.size - before)
        return data

    def _scalar(self, event: Any, path: Path) -> Any:
        if strange := UNPRINTABLE.search(event.value):
            self._note(event.start_mark, "not-text.value", path, code=ord(strange[0]))
            self.out.silent.add(path)
            return ""
        if event.implicit[0]:
            self._warn_if_cut(event, path)
            return plain(event.value)
        return event.value

    def _warn_if_cut(self, event: Any, path: Path) -> None:
        """Note what stands directly after a value and is read by nobody, though it looks like part of it."""
        lines, ends = self.source.lines, self.start + event.end_mark.line
        rest = lines[ends][event.end_mark.column :] if ends < len(lines) else ""  # a value may end the file
        if "#" in rest and event.value and (cut := CUT_OFF.match(rest)) and len(self.out.problems) < MOST:
            place = self._place(event.start_mark)
            said = {"value": event.value, "rest": cut[0].strip(), "whole": event.value + cut[0].rstrip()}
            self.out.problems.append(
                Problem(
                    rule="cut-off",
                    severity="warning",
                    place=place,
                    path=written(path),
                    message=message("problems.cut-off.message", **said),
                    remedy=message("problems.cut-off.remedy", **said),
                )
            )

    def _list(self, path: Path) -> list[Any]:
        items: list[Any] = []
        while not isinstance(event := next(self.events), yaml.SequenceEndEvent):
            items.append(self._value(event, (*path, len(items))))
        return items

    def _mapping(self, path: Path) -> dict[str, Any]:
        entries: dict[str, Any] = {}
        while not isinstance(event := next(self.events), yaml.MappingEndEvent):
            key = self._key(event, path)
            place = self._place(event.start_mark)
            if key in entries:
                first = self.out.keys.get((*path, key), place)
                self._note(event.start_mark, "same-key.yaml", (*path, key), key=key, line=first.line)
                self._skip(path)
                continue
            self._keep(self.out.keys, (*path, key), place)
            entries[key] = self._value(next(self.events), (*path, key))
        return entries

    def _key(self, event: Any, path: Path) -> str:
        if not isinstance(event, yaml.ScalarEvent):
            self._stop(event.start_mark, "key")
        if event.value == "<<" and event.implicit[0]:
            self._stop(event.start_mark, "merge")
        return str(event.value)

    def _keep(self, table: dict[Path, SourceLocation], path: Path, place: SourceLocation) -> None:
        if not self.skipping:
            table[path] = place

    def _skip(self, path: Path) -> None:
        """Read a value for its mistakes only; its places are not kept."""
        before, self.skipping = self.skipping, True
        self._value(next(self.events), path)
        self.skipping = before

    def _alias(self, event: Any, path: Path) -> Any:
        anchor = self.anchors.get(event.anchor)
        if anchor is None:
            self._stop(event.start_mark, "alias", anchor=event.anchor)
        self.size += anchor.size
        self.repeated += anchor.size
        if self.repeated > MOST_REPEATED:
            self._stop(event.start_mark, "too-many-repeats", most=MOST_REPEATED)
        if not self.skipping:
            self._repeat(anchor.data, anchor.path, path)
        return anchor.data

    def _repeat(self, data: Any, source: Path, target: Path) -> None:
        """Places of what lies inside a repeat: it is mended where it was written."""
        inside = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
        for key, part in inside:
            written_at, repeated_at = (*source, key), (*target, key)
            for table in (self.out.keys, self.out.values):
                if written_at in table:
                    table[repeated_at] = table[written_at]
            self._repeat(part, written_at, repeated_at)


def read_yaml(source: TextFile) -> YamlFile:
    """Return the data of a YAML text, with the place of every key and value and every mistake in it as YAML."""
    fast = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    reader = _Reader(source, yaml.parse(source.text, Loader=fast))
    try:
        return reader.read()
    except yaml.MarkedYAMLError as error:
        reader.out.data = None
        return _read_again(source, error) or _with(reader.out, syntax_problem(source, error))


def _read_again(source: TextFile, error: yaml.MarkedYAMLError) -> YamlFile | None:
    """Read what the fast parser stumbled over with the slow one, which tells more causes apart.

    A small file is read as a whole, of a large one only the records around the mistake. Return None when nothing is
    found there, or only at the end of what was read.
    """
    is_large = len(source.text) > _NEAR_LETTERS
    marks = [mark for mark in (error.problem_mark, error.context_mark) if mark]
    for start in [_record_start(source, mark.line) for mark in marks] if is_large else [0]:
        text = "\n".join(source.lines[start : start + _NEAR_LINES])[:_NEAR_LETTERS] if is_large else source.text
        reader = _Reader(source, yaml.parse(text, Loader=yaml.SafeLoader), start)
        try:
            found = reader.read()
        except yaml.MarkedYAMLError as slow:
            reader.out.data = None
            found = _with(reader.out, syntax_problem(source, slow, start))
            if is_large and slow.problem_mark and slow.problem_mark.index >= len(text) - 1:
                continue
        if found.problems:
            return found
    return None


def _with(file: YamlFile, problem: Problem) -> YamlFile:
    """Return what was read up to a mistake of YAML, with that mistake; its cause may have been warned of."""
    file.problems = [*(p for p in file.problems if p.severity == "error"), problem]
    return file


def _record_start(source: TextFile, line: int) -> int:
    """The last line at or above `line` that begins a record, counted from 0."""
    lines = range(min(line, len(source.lines) - 1), -1, -1)
    return next((number for number in lines if source.lines[number][:1].strip(" \t#-]}")), 0)
