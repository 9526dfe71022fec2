"""Records as the lines of a YAML file: one line a field, what is only usual marked, notes above as comments."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from typing import Any

from kitdocs.importing.found import BroughtRecord
from kitdocs.practice.message import said
from kitdocs.practice.reading.yaml_file import plain
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.practice.writing import scalar
from kitdocs.shipped import shipped_languages

_WIDTH = 116
#: Measures and shares, which need no quotes: ``140 mm``, ``5 1/2 in``, ``12%``.
_MEASURE = re.compile(r"\d[\d.,/½¼¾ -]*(?: ?(?:mm|cm|m|in|ft|min|s|h|%))?")

#: Fields of which there is nothing to measure: what stands there was chosen for a new record.
_CHOSEN = ("colour", "mark")


def record_lines(record: BroughtRecord, language: str) -> Iterator[str]:
    """Yield the lines of a new record."""
    sentences = shipped_sentences(language)
    yield f"{scalar(record.id)}:"
    yield from _note_lines(record, language)
    for name, value in record.fields.items():
        usual = "chosen" if name in _CHOSEN else "usual"
        mark = f"  # {sentences[f'import.note.{usual}']}" if name in record.usual else ""
        line = f"  {name}: {value_text(value)}{mark}"
        if isinstance(value, Mapping) and len(line) > _WIDTH:
            yield f"  {name}:{mark}"
            yield from (f"    {scalar(str(key))}: {value_text(inner)}" for key, inner in value.items())
        else:
            yield line


def with_notes_of(text: str, record: BroughtRecord, fields: Collection[str], language: str) -> str:
    """Return a file in which what import wrote beside values that have changed since speaks of the new ones.

    `fields` are those of the record that changed. Its sentences on what figures rest are those that begin with its id;
    a mark that a value is only usual goes. What people wrote stays.
    """
    lines = text.splitlines(keepends=True)
    start = next((n for n, line in enumerate(lines) if re.match(rf"{re.escape(scalar(record.id))}\s*:", line)), None)
    if start is None:
        return text
    end = next((n for n in range(start + 1, len(lines)) if re.match(r"[^\s#]", lines[n])), len(lines))
    figures = f"  # {record.id}: "
    told = [line for line in _note_lines(record, language) if line.startswith(figures)]
    block = [_without_mark(line, fields) for line in lines[start + 1 : end]]
    if told:
        ending = "\r\n" if lines[start].endswith("\r\n") else "\n"
        kept = [line for line in block if not line.startswith(figures)]
        block = [*(f"{line}{ending}" for line in told), *kept]
    return "".join([*lines[: start + 1], *block, *lines[end:]])


def _without_mark(line: str, fields: Collection[str]) -> str:
    field = re.match(r"  ([a-z_]+):", line)
    if not field or field[1] not in fields:
        return line
    marks = (shipped_sentences(language)["import.note.usual"] for language in shipped_languages())
    for mark in marks:
        line = re.sub(rf"\s+# {re.escape(mark)}(?=\r?\n?$)", "", line)
    return line


def _note_lines(record: BroughtRecord, language: str) -> Iterator[str]:
    sentences = shipped_sentences(language)
    yield from (f"  # {' '.join(said(note, sentences, language).split())}" for note in record.notes)


def value_text(value: Any, *, flow: bool = False) -> str:
    """Return a value on one line, in quotes only where it needs them."""
    if isinstance(value, Mapping):
        inside = (f"{scalar(str(key))}: {value_text(inner, flow=True)}" for key, inner in value.items())
        return "{" + ", ".join(inside) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(value_text(inner, flow=True) for inner in value) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str) and _MEASURE.fullmatch(value) and plain(value) == value and not (flow and "," in value):
        return value
    return scalar(value)
