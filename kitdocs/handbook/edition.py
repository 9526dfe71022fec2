"""A card's edition: a short code of what a person reads on it.

The same content gives the same edition on every machine and every day; how a drawing is drawn does not
count, what it shows does (a picture is known by its name).
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections.abc import Mapping
from dataclasses import replace

from kitdocs.handbook.blocks import Picture
from kitdocs.handbook.card import Card

#: Digits and capitals that cannot be taken for one another (no 0 and O, no 1, I and L; of 2 and Z, 5 and S,
#: 8 and B only the digit), and no vowels, so that no code spells a word.
ALPHABET = "23456789CDFGHJKMNPQRTVWX"
LENGTH = 5


def with_edition(card: Card) -> Card:
    """The card with the edition of its content."""
    return replace(card, edition=edition_of(content(card)))


def edition_of(thing: object) -> str:
    """The short code of any JSON-like thing: 24⁵, about eight million, different codes."""
    text = json.dumps(thing, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    number = int.from_bytes(hashlib.sha256(text.encode()).digest(), "big")
    code = ""
    for _ in range(LENGTH):
        number, rest = divmod(number, len(ALPHABET))
        code += ALPHABET[rest]
    return code


def content(card: Card) -> object:
    """What is on the card, as plain lists and mappings: all its words, counts and colours, without its edition."""
    return _plain(
        {"id": card.id, "title": card.title, "subtitle": card.subtitle, "front": card.front, "back": card.back}
    )


def _plain(thing: object) -> object:
    if isinstance(thing, Picture):
        return thing.name
    if dataclasses.is_dataclass(thing):
        fields = {f.name: _plain(getattr(thing, f.name)) for f in dataclasses.fields(thing)}
        return {"": type(thing).__name__, **{name: value for name, value in fields.items() if value not in ("", None)}}
    if isinstance(thing, Mapping):
        return {str(key): _plain(value) for key, value in thing.items()}
    if isinstance(thing, tuple | list):
        return [_plain(value) for value in thing]
    return thing
