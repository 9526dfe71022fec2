"""What is on a card, as plain data: what an edition is the code of, and what the record of printing keeps.

Only what a person sees counts. A field that has its default is left out, so that a block may be given a new field
without a new edition of every card; a picture counts by its name, not by how it is drawn; runs of white space count as
one space, and a letter is the same however it is encoded.
"""

from __future__ import annotations

import dataclasses
import re
import unicodedata
from typing import TYPE_CHECKING, Any

from kitdocs.document.blocks import Cell, Code, Fact, Item, Picture, Span, Step, kind_of

if TYPE_CHECKING:
    from kitdocs.document.card import Card

#: Kept in the record, because changes are told by them, but read by nobody; an answer stands on a page, never on paper.
_NOT_READ = frozenset({"id", "link", "alt", "answer"})
#: How a block is drawn, where it leads, and what is only about the data.
_NOT_KEPT = frozenset({"href", "ticks", "numbers", "widths", "true_size"})
#: The parts of blocks: what each is follows from where it stands.
_PARTS = (Cell, Fact, Item, Span, Step)
#: The longest words for a picture that say what it shows more shortly than the picture's name.
_SHORT_ALT = 60


def content(card: Card) -> dict[str, Any]:
    """The card as plain lists and mappings, without its edition; the same before and after it has one."""
    return {
        "title": _tidy(card.title),
        "subtitle": _tidy(card.subtitle),
        "section": _tidy(card.section),
        "hangs": _tidy(card.hangs),
        "front": [_plain(block) for block in card.front],
        "back": [_plain(block) for block in card.back],
    }


def read_content(card: Card) -> dict[str, Any]:
    """What a person reads on the card, as plain data: this is what its edition is the code of."""
    read: dict[str, Any] = as_read({"card": card.id, **content(card)})
    return read


def as_read(thing: Any) -> Any:
    """Plain data without what nobody reads: two things that are read alike are equal."""
    if isinstance(thing, list):
        return [as_read(part) for part in thing]
    if not isinstance(thing, dict):
        return thing
    if "drawn" in thing:
        return thing["drawn"]
    left = {key: as_read(part) for key, part in thing.items() if key not in _NOT_READ}
    return left["text"] if set(left) == {"text"} else left


def _plain(thing: Any) -> Any:
    if isinstance(thing, str):
        return _tidy(thing)
    if isinstance(thing, tuple | list):
        return [_plain(part) for part in thing]
    if isinstance(thing, float):
        return int(thing) if thing.is_integer() else round(thing, 3)
    if isinstance(thing, Picture):
        return _picture(thing)
    if isinstance(thing, Code):
        return _code(thing)
    return _fields(thing) if dataclasses.is_dataclass(thing) else thing


def _fields(thing: Any) -> Any:
    """A block or a part of one; a part that is nothing but words is those words."""
    part = any(type(thing).__name__ == kind.__name__ for kind in _PARTS)
    said: dict[str, Any] = {} if part else {"is": kind_of(thing)}
    for field in dataclasses.fields(thing):
        value = getattr(thing, field.name)
        if field.name not in _NOT_KEPT and value != field.default and value not in ("", None, ()):
            said[field.name] = _plain(value)
    if isinstance(thing, Span):  # the spaces between two runs of words are seen
        said["text"] = re.sub(r"\s+", " ", unicodedata.normalize("NFC", thing.text))
    if part and not said:
        return ""
    return said["text"] if part and set(said) == {"text"} else said


def _picture(picture: Picture) -> Any:
    named = _tidy(picture.alt)
    return {"drawn": picture.name, "alt": named} if 0 < len(named) <= _SHORT_ALT else picture.name


def _code(code: Code) -> dict[str, Any]:
    """The code without the edition that `finished` puts in; where there is an address, it is what the code holds."""
    if code.address:
        payload = code.payload.partition("#")[0]
    else:
        payload = code.payload.removesuffix(f"\n{code.edition}") if code.edition else code.payload
    return {"is": "code", "address": _tidy(code.address), "payload": payload, "note": _tidy(code.note)}


def _tidy(text: str) -> str:
    return " ".join(unicodedata.normalize("NFC", text).split())
