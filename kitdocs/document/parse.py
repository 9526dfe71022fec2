"""Blocks parsed back from their plain-data form in a print record.

A record may come from another version of kitdocs, or a person may have edited it. A value that is missing, unknown or
of another type is reported by its path, as in ``front.2.rows``, and is left out or takes its empty value.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from types import UnionType
from typing import Any, get_args, get_origin

from kitdocs.document.blocks import KINDS, Block, Picture
from kitdocs.document.purpose import Purpose, fields_of

_LOST: Any = object()
_EMPTY: Mapping[Any, Any] = {str: "", int: 0, float: 0.0, bool: False, bytes: b""}


def parse_blocks(plain: Sequence[object], path: str, lost: list[str]) -> tuple[Block, ...]:
    """Return the blocks of one side of a card, and add the paths of what cannot be read to `lost`."""
    blocks: tuple[Block, ...] = _value(tuple[Block, ...], plain, path, lost)
    return blocks


def _value(hint: Any, plain: Any, path: str, lost: list[str]) -> Any:
    options = get_args(hint) if isinstance(hint, UnionType) else (hint,)
    if get_origin(hint) is tuple and isinstance(plain, list | tuple):
        parsed = (_value(get_args(hint)[0], part, f"{path}.{n}", lost) for n, part in enumerate(plain))
        return tuple(part for part in parsed if part is not _LOST)
    if type(plain) in options:
        return plain
    for kind in filter(dataclasses.is_dataclass, options):
        if kind is Picture and isinstance(plain, str | dict):
            return _picture(plain, path, lost)
        if isinstance(plain, str) and kind not in KINDS.values():
            return _fields(kind, {"text": plain} if plain else {}, path, lost)
        if isinstance(plain, Mapping) and (kind not in KINDS.values() or KINDS.get(str(plain.get("is"))) is kind):
            return _fields(kind, plain, path, lost)
    lost.append(path)
    return _LOST


def _fields(kind: Any, plain: Mapping[str, Any], path: str, lost: list[str]) -> Any:
    fields = fields_of(kind)
    recorded = {field.name for field in fields if Purpose.RECORDED in field.purpose}
    lost += [f"{path}.{name}" for name in plain if name not in recorded and name != "is"]
    values = {}
    for field in fields:
        value, empty = _LOST, _empty(field.type) if field.default is dataclasses.MISSING else field.default
        if field.name in recorded and field.name in plain:
            value = _value(field.type, plain[field.name], f"{path}.{field.name}", lost)
        elif field.name in recorded and empty not in ("", ()) and field.default is dataclasses.MISSING:
            lost.append(f"{path}.{field.name}")
        values[field.name] = empty if value is _LOST else value
    return kind(**values)


def _empty(hint: Any) -> Any:
    if get_origin(hint) is tuple:
        return ()
    return _picture("", "", []) if hint is Picture else _EMPTY[hint]


def _picture(plain: Any, path: str, lost: list[str]) -> Picture:
    named = {"drawn": plain} if isinstance(plain, str) else plain
    name, alt = named.get("drawn"), named.get("alt", "")
    if not (isinstance(name, str) and isinstance(alt, str)):
        lost.append(path)
        name, alt = "", ""
    return Picture(name=name, alt=alt, data=b"", width_mm=0, height_mm=0)
