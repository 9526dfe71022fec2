"""A sample of every block kind in the register, and every way to change one field of it, made from the declarations."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import replace
from itertools import count
from types import NoneType, UnionType
from typing import Any, NamedTuple, get_args, get_origin

from kitdocs.document.blocks import KINDS, Block, Paragraph, Picture, Prose, ProsePart
from kitdocs.document.purpose import Purpose, fields_of

CARD_LINKS = ("card-1", "card-2")
_SVG = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><rect width="9" height="9"/></svg>'


class Variant(NamedTuple):
    """A block with one changed field. `path` names the field; `purpose` is what its block declares of it."""

    path: str
    purpose: Purpose
    block: Any


def samples() -> dict[str, Any]:
    """Return every kind of block with every field filled in, by name; parts of prose stand in a `Prose`."""
    words = count(1)
    blocks = {name: _sample(kind, words) for name, kind in KINDS.items() if kind in get_args(Block)}
    parts = {f"prose-{name}": _sample(kind, words) for name, kind in KINDS.items() if kind in get_args(ProsePart)}
    return blocks | {name: Prose(parts=(part,)) for name, part in parts.items()}


def _sample(kind: Any, words: Iterator[int]) -> Any:
    if kind is Picture:
        n = next(words)
        return Picture(name=f"picture-{n}", alt=f"W{n}x", data=_SVG, width_mm=10, height_mm=10)
    kept = [field for field in fields_of(kind) if field.purpose or field.default is dataclasses.MISSING]
    return kind(**{field.name: _value(field.type, field.purpose, words) for field in kept})


def _value(hint: Any, purpose: Purpose, words: Iterator[int]) -> Any:
    options = [option for option in _options(hint) if option is not NoneType]
    kind = Paragraph if Paragraph in options else options[0]
    if get_origin(kind) is tuple:
        return tuple(_value(get_args(kind)[0], purpose, words) for _ in range(2))
    if kind is str:
        return _text(purpose, next(words))
    return {int: 2, bool: False, float: 1.0}[kind] if kind in (int, bool, float) else _sample(kind, words)


def _options(hint: Any) -> tuple[Any, ...]:
    return get_args(hint) if isinstance(hint, UnionType) else (hint,)


def _text(purpose: Purpose, n: int) -> str:
    """Return words for a person, a colour, an id or the address of a card, by what the field is for."""
    if Purpose.WORDS in purpose or Purpose.VERBATIM in purpose:
        return f"W{n}x"
    return f"#{n:06x}" if Purpose.READ in purpose else CARD_LINKS[n % 2]


def variants(thing: Any, path: str = "", above: Purpose = ~Purpose.NONE) -> Iterator[Variant]:
    """Yield `thing` with each of its fields changed in turn, those of its first parts included."""
    for field in fields_of(type(thing)):
        purpose = field.purpose if Purpose.READ in above else field.purpose & ~Purpose.READ
        for inner in _changed(getattr(thing, field.name), field.type, f"{path}.{field.name}".strip("."), purpose):
            yield inner._replace(block=replace(thing, **{field.name: inner.block}))


def _changed(value: Any, hint: Any, path: str, purpose: Purpose) -> Iterator[Variant]:
    if isinstance(value, tuple) and value:
        for inner in _changed(value[0], get_args(hint)[0], path, purpose):
            yield inner._replace(block=(inner.block, *value[1:]))
    elif dataclasses.is_dataclass(value):
        yield from variants(value, f"{path}.{type(value).__name__}", purpose)
    else:
        yield Variant(path, purpose, _other(value))


def _other(value: Any) -> Any:
    if value == ():
        return (1,)
    if isinstance(value, bool):
        return not value
    if isinstance(value, bytes):
        return value + b" "
    return f"{value}changed" if isinstance(value, str) else value + 1
