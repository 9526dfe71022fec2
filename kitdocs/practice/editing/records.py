"""A record as lines of YAML, in the style of the record beside it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kitdocs.practice.editing.nodes import Node
from kitdocs.practice.editing.scalars import written_item, written_key, written_scalar, written_value

#: One line of a record is no longer than this; a longer list or map stands on lines of its own.
_WIDTH = 120


def lines_of(data: Mapping[str, Any], indent: int, like: Node | None) -> list[str]:
    """Return a map as lines, in the style of a record `like` it: what has lines of its own there has them here."""
    found = []
    for key, value in data.items():
        name = f"{' ' * indent}{written_key(key, flow=False)}:"
        if not isinstance(value, dict | list):
            found.append(f"{name} {written_scalar(value, flow=False)}")
            continue
        one_line = f"{name} {written_value(value)}"
        is_record = isinstance(value, dict) and _is_record(value, like, indent)
        beside = like.value(key) if like and like.kind == "map" else None
        if not value or not (is_record or (beside and beside.is_block) or len(one_line) > _WIDTH):
            found.append(one_line)
            continue
        found.append(name)
        if isinstance(value, dict):
            inner = like if is_record else beside
            found += lines_of(value, indent + 2, inner if inner and inner.kind == "map" else None)
        else:
            found += [f"{' ' * (indent + 2)}- {written_item(item, flow=False)}" for item in value]
    return found


def _is_record(value: Mapping[str, Any], like: Node | None, indent: int) -> bool:
    """Whether a map is a record, which has a line for each of its values."""
    if like is not None and {key.text for key, _ in like.entries} & set(value):
        return like.is_block
    named = [part for part in (value, *value.values()) if isinstance(part, dict) and "name" in part]
    return any("hex" not in part for part in named) or (indent == 0 and len(value) > 1)
