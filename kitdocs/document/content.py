"""Plain-data form of a card, used for its edition and in the print record.

A field that has its default is left out, so that a block may be given a new field without a new edition of every card.
A picture counts by its name, not by how it is drawn. Runs of white space count as one space, and a letter is the same
however it is encoded.
"""

from __future__ import annotations

import dataclasses
import re
import unicodedata
from functools import cache
from typing import TYPE_CHECKING, Any

from kitdocs.document.blocks import KINDS, Picture, kind_of
from kitdocs.document.purpose import Field, Purpose, fields_of

if TYPE_CHECKING:  # an edition needs no package, so that every Python can be asked for one
    from kitdocs.document.card import Card

#: The longest words for a picture that say what it shows more shortly than the picture's name.
_SHORT_ALT = 60


def content(card: Card) -> dict[str, Any]:
    """Return what the print record keeps of the card; the same before and after the card has its edition."""
    return _card(card, Purpose.RECORDED)


def read_content(card: Card) -> dict[str, Any]:
    """Return what a person reads on the card, from which its edition is made."""
    return {"card": card.id, **_card(card, Purpose.READ)}


def as_read(thing: object) -> Any:
    """Return what a person reads of a block, a part or several: two things that are read alike are equal."""
    return _plain(thing, Purpose.READ, Purpose.NONE)


def _card(card: Card, kept: Purpose) -> dict[str, Any]:
    names = ("title", "subtitle", "section", "hangs", "front", "back")
    return {name: _plain(getattr(card, name), kept, Purpose.NONE) for name in names}


def _plain(thing: Any, kept: Purpose, purpose: Purpose) -> Any:
    """Return `thing` as lists, mappings and values, with the fields that are `kept`; `purpose` is its own."""
    if isinstance(thing, str):
        return thing if Purpose.VERBATIM in purpose else _tidy(thing, spaced=Purpose.SPACED in purpose)
    if isinstance(thing, tuple | list):
        return [_plain(part, kept, purpose) for part in thing]
    if isinstance(thing, Picture):
        return _picture(thing, kept)
    return _fields(thing, kept) if dataclasses.is_dataclass(thing) else thing


def _fields(thing: Any, kept: Purpose) -> Any:
    """Return a block with the name of its kind, or a part: what a part is follows from its place in the block."""
    kind: Any = type(thing)
    found: dict[str, Any] = {"is": kind_of(kind)} if kind_of(kind) in KINDS else {}
    for field in _kept_fields(kind, kept):
        value = getattr(thing, field.name)
        empty = value == field.default or value in ("", None, ())
        if not empty or Purpose.ALWAYS in field.purpose:
            found[field.name] = _plain(value, kept, field.purpose)
    return found.get("text", "") if set(found) <= {"text"} else found


@cache
def _kept_fields(kind: Any, kept: Purpose) -> tuple[Field, ...]:
    return tuple(field for field in fields_of(kind) if kept in field.purpose)


def _picture(picture: Picture, kept: Purpose) -> Any:
    alt = _tidy(picture.alt)
    named = kept is Purpose.RECORDED and 0 < len(alt) <= _SHORT_ALT
    return {"drawn": picture.name, "alt": alt} if named else picture.name


def _tidy(text: str, *, spaced: bool = False) -> str:
    text = unicodedata.normalize("NFC", text)
    return re.sub(r"\s+", " ", text) if spaced else " ".join(text.split())
