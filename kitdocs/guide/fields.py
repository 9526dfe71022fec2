"""Every file of a practice folder with every field, from the schema that the reader itself checks by."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from kitdocs.document.blocks import Block, Cell, Matrix, Prose
from kitdocs.document.card import Card
from kitdocs.guide.page import guide_card
from kitdocs.handbook.layout import table
from kitdocs.handbook.prose import prose
from kitdocs.practice.schema import schemas

_HEAD = ("Field", "What it says", "For example")
#: Where a description stands in a schema, and what it may refer to.
_Schema = Mapping[str, Any]


def field_cards(section: str) -> Iterator[Card]:
    """Yield a card for each YAML file."""
    for file, schema in schemas().items():
        yield guide_card(f"{file.removesuffix('.yaml')}-yaml", file, section, _blocks(schema))


def _blocks(schema: _Schema) -> Iterator[Block]:
    yield Prose(parts=prose(f"{schema['title']}. A field without the word *needed* may be left out."))
    definitions: Mapping[str, _Schema] = schema.get("$defs", {})
    if "properties" in schema:
        yield _table(schema)
    for name in _in_order(schema, definitions):
        if "properties" in definitions[name]:
            yield Prose(parts=prose(f"## {name}\n\n{definitions[name].get('description', '')}"))
            yield _table(definitions[name])


def _table(record: _Schema) -> Matrix:
    needed = record.get("required", ())
    rows = [
        (
            Cell(text=name, detail="needed" if name in needed else ""),
            _said(field),
            " · ".join(_written(example) for example in _found(field, "examples", ())[:3]),
        )
        for name, field in record["properties"].items()
    ]
    return table("", _HEAD, rows)


def _said(field: _Schema) -> str:
    described = str(_found(field, "description", ""))
    choices = _found(field, "enum", ())
    one_of = f"One of: {', '.join(map(_written, choices))}." if choices else ""
    told = " ".join(filter(None, (described, one_of)))
    parts = [name for name in _named(field) if name not in told]
    said = " ".join(filter(None, (told, f"See {', '.join(parts)} below." if parts else "")))
    return re.sub("`([^`]*)`", r"“\1”", said)


def _found(field: _Schema, key: str, nothing: Any) -> Any:
    """Return what a field says under a key, or the first of its alternatives that says it."""
    if key in field:
        return field[key]
    return next((found for other in field.get("anyOf", ()) if (found := _found(other, key, None))), nothing)


def _named(part: Any) -> Iterator[str]:
    """Yield the definitions that a part of a schema refers to, each once."""
    yield from dict.fromkeys(_references(part))


def _references(part: Any) -> Iterator[str]:
    if isinstance(part, Mapping):
        if "$ref" in part:
            yield part["$ref"].rpartition("/")[2]
        part = [value for key, value in part.items() if key != "$defs"]
    for inner in part if isinstance(part, list) else ():
        yield from _references(inner)


def _in_order(schema: _Schema, definitions: Mapping[str, _Schema]) -> tuple[str, ...]:
    """Return the definitions as a reader comes to them."""
    found: dict[str, None] = {}
    todo = list(_named(schema))
    while todo:
        name = todo.pop(0)
        if name not in found:
            found[name] = None
            todo = [*_named(definitions[name]), *todo]
    return tuple(found)


def _written(value: object) -> str:
    """Return a value as one writes it in YAML on one line."""
    if isinstance(value, Mapping):
        return f"{{{', '.join(f'{key}: {_written(inner)}' for key, inner in value.items())}}}"
    if isinstance(value, list):
        return f"[{', '.join(map(_written, value))}]"
    return str(value).lower() if isinstance(value, bool) else str(value)
