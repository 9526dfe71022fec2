"""Purposes of a block's fields, each declared where the field is defined.

Edition, print record, differences, search, paper and terminal are derived from them: ``text: Words[str]`` is read by a
person and recorded, is searched, and is quoted in the sentence that reports a change; ``id: Key`` is only recorded.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from enum import Flag, auto
from functools import cache
from typing import Annotated, Any, TypeAlias, TypeVar, get_type_hints


class Purpose(Flag):
    """What a field is for; `NONE` is layout, which may change without a new edition."""

    NONE = 0
    #: A person reads or sees it on the printed card: another value makes another edition.
    READ = auto()
    #: The print record keeps it. Whatever is read is recorded.
    RECORDED = auto()
    #: Words for a person: numbers keep to their units on paper, and changes are quoted.
    WORDS = auto()
    #: The search of the site finds it.
    SEARCHED = auto()
    #: Names its block in sentences.
    NAME = auto()
    #: Set on paper as a heading of level 2.
    HEADING = auto()
    #: The same from edition to edition, so that a row is known by it. The first that is not empty counts.
    KEY = auto()
    #: Rows that come and go one by one, each with its own change bar.
    ROWS = auto()
    #: Only on paper: a page has no use for it.
    PAPER = auto()
    #: Only on a page: paper has no use for it.
    SCREEN = auto()
    #: Spaces at either end count.
    SPACED = auto()
    #: Recorded to the letter, line ends included.
    VERBATIM = auto()
    #: Recorded even when it is empty.
    ALWAYS = auto()


T = TypeVar("T")
_KEPT = Purpose.READ | Purpose.RECORDED
_WORDS = _KEPT | Purpose.WORDS | Purpose.SEARCHED

Layout: TypeAlias = Annotated[T, Purpose.NONE]
Seen: TypeAlias = Annotated[T, _KEPT]
Rows: TypeAlias = Annotated[T, _KEPT | Purpose.ROWS]
Words: TypeAlias = Annotated[T, _WORDS]
SpacedWords: TypeAlias = Annotated[T, _WORDS | Purpose.SPACED]
KeyWords: TypeAlias = Annotated[T, _WORDS | Purpose.KEY]
PrintedWords: TypeAlias = Annotated[T, _KEPT | Purpose.WORDS | Purpose.ALWAYS]
Title: TypeAlias = Annotated[str, _WORDS | Purpose.NAME | Purpose.HEADING]
Lead: TypeAlias = Annotated[str, _WORDS | Purpose.NAME]
Answer: TypeAlias = Annotated[str, Purpose.RECORDED | Purpose.WORDS | Purpose.SEARCHED]
Key: TypeAlias = Annotated[str, Purpose.RECORDED | Purpose.KEY]


@dataclass(frozen=True, slots=True)
class Field:
    """A field of a block or of a part of one."""

    name: str
    type: Any
    purpose: Purpose
    default: Any


def fields_of(kind: type) -> tuple[Field, ...]:
    """Return the fields of a block, a part or another dataclass, in order; what declares no purpose has none."""
    return _fields_of(kind)


@cache
def _fields_of(kind: Any) -> tuple[Field, ...]:
    hints = get_type_hints(kind, include_extras=True)
    return tuple(_field(field, hints[field.name]) for field in dataclasses.fields(kind))


def _field(field: dataclasses.Field[Any], hint: Any) -> Field:
    purpose = next((extra for extra in getattr(hint, "__metadata__", ()) if isinstance(extra, Purpose)), None)
    declared = hint if purpose is None else hint.__origin__
    return Field(name=field.name, type=declared, purpose=purpose or Purpose.NONE, default=field.default)
