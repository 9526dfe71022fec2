"""Words of one direction in a sentence of the other one (Unicode UAX 9, isolates)."""

from __future__ import annotations

import re

from kitdocs.practice.sentences import right_to_left

#: What holds the order of a part of a sentence; it has no ink.
FIRST_STRONG_ISOLATE, POP_ISOLATE = "\u2068", "\u2069"

#: Letters that are written from left to right, as those of makers' names, units and codes.
_LEFT_TO_RIGHT = re.compile(r"[A-Za-z\u00c0-\u024f]")


def set_apart(words: str, language: str) -> str:
    """Return words to fill in; Latin ones in a sentence from the right keep their own order."""
    if right_to_left(language) and _LEFT_TO_RIGHT.search(words):
        return f"{FIRST_STRONG_ISOLATE}{words}{POP_ISOLATE}"
    return words
