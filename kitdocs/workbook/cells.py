"""The form of a value in one cell: as in the folder, without the brackets around what has several parts."""

from __future__ import annotations

from typing import Any, TypeAlias

import yaml

from kitdocs.practice.editing.nodes import nodes_of
from kitdocs.practice.editing.scalars import written_item, written_key, written_value
from kitdocs.workbook.columns import SEVERAL, SheetColumn

#: What a cell holds: a text, a number, or nothing.
Cell: TypeAlias = str | int | float | None


def cell_of(value: Any, column: SheetColumn) -> Cell:
    """Return a value, as read from the folder, as its cell holds it."""
    if value is None or value in ([], {}) or (isinstance(value, dict) and column.kind not in SEVERAL):
        return None  # a map in a cell for one thing is written in another form, which has columns of its own
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return ", ".join(written_item(item) for item in value)
    if isinstance(value, dict):
        return ", ".join(f"{written_key(key, flow=True)}: {written_value(part)}" for key, part in value.items())
    return written_value(value) if isinstance(value, str) and column.kind in SEVERAL else value


def several(text: str, column: SheetColumn, before: Any) -> Any:
    """Return what a cell with several parts means: a list or a map, as it was `before` where both could be meant.

    Parts stand between commas, semicolons or lines. Raise `ValueError` where it cannot be read.
    """
    parts = [part.strip() for part in _parts(text.strip())]
    parts = [part for part in parts if part]
    listed = _read(f"[{', '.join(parts)}]")
    is_map = [isinstance(item, dict) for item in listed]
    was_list = column.kind == "needs" and isinstance(before, list)
    wants_map = column.kind in ("pairs", "when", "machines", "needs") and not was_list
    if wants_map and all(is_map):
        merged: dict[str, Any] = {}
        for item in listed:
            for key, value in item.items():
                if key in merged:
                    raise ValueError(key)
                merged[key] = value
        return merged
    if column.kind in ("when", "machines") and len(listed) == 1 and not is_map[0]:
        return listed[0]
    return listed


def _read(text: str) -> Any:
    try:
        node = nodes_of(text)
    except yaml.YAMLError:
        raise ValueError(text) from None
    if node is None:
        raise ValueError(text)
    return node.data


def _parts(text: str) -> list[str]:
    """Split a cell at commas, semicolons and ends of lines, but not within quotes or brackets."""
    parts, depth, quote = [""], 0, ""
    for letter in text:
        if quote:
            quote = "" if letter == quote else quote
        elif letter in "\"'" and not parts[-1].strip(" :[{"[:2]):
            quote = letter
        elif letter in "[{":
            depth += 1
        elif letter in "]}":
            depth -= 1
        elif letter in ",;\n" and depth <= 0:
            parts.append("")
            continue
        parts[-1] += letter
    return parts
