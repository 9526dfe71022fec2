"""Edits of plain data: another value at a path, or none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from kitdocs.errors import KitdocsError
from kitdocs.practice.locations import Path


class _Gone:
    def __repr__(self) -> str:
        return "GONE"


#: In place of a value: it is taken out.
GONE: Any = _Gone()


class EditError(KitdocsError):
    """A value cannot be changed without a person; `path` is where it stands, the text is as it was."""

    def __init__(self, path: Path) -> None:
        self.path = path
        super().__init__(f"{path} cannot be changed here")


@dataclass(frozen=True, slots=True, kw_only=True)
class Edit:
    """What is to stand at a path (without the file's stem), `GONE` for nothing; a key that is new comes after `after`.

    `after` is a key beside it, "" for before all others, None for after the last.
    """

    path: Path
    value: Any
    after: str | None = None


def edited_data(data: Any, edits: Sequence[Edit]) -> Any:
    """Return plain data with the edits made."""
    for edit in edits:
        data = with_value(data, edit.path, edit.value)
        if data is GONE:
            data = {}
    return data


def with_value(data: Any, path: Path, value: Any) -> Any:
    """Return plain data with another value at a path; a map that loses its last key goes, too."""
    if not path:
        return value
    first, *rest = path
    if isinstance(first, int):
        items = list(data) if isinstance(data, list) else []
        inner = with_value(items[first] if first < len(items) else None, tuple(rest), value)
        items[first : first + 1] = [] if inner is GONE else [inner]
        return items or GONE
    entries = dict(data) if isinstance(data, dict) else {}
    inner = with_value(entries.get(first), tuple(rest), value)
    if inner is GONE:
        entries.pop(first, None)
        return entries or GONE
    return {**entries, first: inner}


def same(one: Any, other: Any) -> bool:
    """Whether two values say the same: a number with or without decimals, but not a truth value and a number."""
    return known_by(one) == known_by(other)


def known_by(value: Any) -> str:
    """Return a text that is the same for values that say the same."""
    if isinstance(value, dict):
        return "{" + ", ".join(sorted(f"{key!r}: {known_by(part)}" for key, part in value.items())) + "}"
    if isinstance(value, list):
        return f"[{', '.join(map(known_by, value))}]"
    return repr(int(value)) if isinstance(value, float) and value.is_integer() else repr(value)
