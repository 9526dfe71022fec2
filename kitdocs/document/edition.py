"""Edition of a card: a short code made from what a person reads on it.

The same content gives the same edition on every machine and every day, whatever else the handbook holds. What counts
is settled in `content`.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from typing import TYPE_CHECKING

from kitdocs.document.content import read_content

if TYPE_CHECKING:
    from kitdocs.document.card import Card

#: Digits and capitals that cannot be taken for one another (no 0 and O, no 1, I and L; of 2 and Z, 5 and S,
#: 8 and B only the digit), and no vowels, so that no code spells a word.
ALPHABET = "23456789CDFGHJKMNPQRTVWX"
LENGTH = 5


def with_edition(card: Card) -> Card:
    """Return the card with the edition of its content."""
    return replace(card, edition=edition_of(read_content(card)))


def edition_of(thing: object) -> str:
    """Return the short code of any JSON-like thing, one of 24⁵ (about eight million)."""
    text = json.dumps(thing, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    number = int.from_bytes(hashlib.sha256(text.encode()).digest(), "big")
    code = ""
    for _ in range(LENGTH):
        number, rest = divmod(number, len(ALPHABET))
        code += ALPHABET[rest]
    return code
