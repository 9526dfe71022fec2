"""Records as the lines of a YAML file: one line a field, what is only usual marked, notes above as comments."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from kitdocs.importing.found import BroughtRecord
from kitdocs.practice.message import said
from kitdocs.practice.reading.yaml_file import plain
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.practice.writing import scalar

_WIDTH = 116
#: Measures and shares, which need no quotes: ``140 mm``, ``5 1/2 in``, ``12%``.
_MEASURE = re.compile(r"\d[\d.,/½¼¾ -]*(?: ?(?:mm|cm|m|in|ft|min|s|h|%))?")

#: Fields of which there is nothing to measure: what stands there was chosen for a new record.
_CHOSEN = ("colour", "mark")


def record_lines(record: BroughtRecord, language: str) -> Iterator[str]:
    """Yield the lines of a new record."""
    sentences = shipped_sentences(language)
    yield f"{scalar(record.id)}:"
    for note in record.notes:
        yield f"  # {' '.join(said(note, sentences, language).split())}"
    for name, value in record.fields.items():
        usual = "chosen" if name in _CHOSEN else "usual"
        mark = f"  # {sentences[f'import.note.{usual}']}" if name in record.usual else ""
        line = f"  {name}: {value_text(value)}{mark}"
        if isinstance(value, Mapping) and len(line) > _WIDTH:
            yield f"  {name}:{mark}"
            yield from (f"    {scalar(str(key))}: {value_text(inner)}" for key, inner in value.items())
        else:
            yield line


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
