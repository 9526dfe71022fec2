"""Pseudo-languages in the letters of other scripts: every sentence of the example in Hebrew or Arabic letters.

Each Latin letter has one of the other script, so that a text can be read back. What stands in braces, an address or a
link stays as it is, and so do digits: numbers, codes and units are what a sentence from the right must not turn around.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

from pseudo_language import parts_of

#: By language: the letters in the order of the Latin ones that they stand for.
_LATIN = "abcdefghijklmnopqrstuvwxyz"
_LETTERS = MappingProxyType(
    {
        "he": "אבגדהוזחטיכלמנסעפצקרשתךםןף",
        "ar": "ابتثجحخدذرزسشصضطظعغفقكلمنه",
    }
)


@dataclass(frozen=True, slots=True)
class OtherLetters:
    """English in the letters of a language: ``he`` or ``ar``."""

    language: str = "he"

    def of(self, text: str) -> str:
        """A text in these letters."""
        return "".join(part if kept else self._written(part) for part, kept in parts_of(text))

    def _written(self, text: str) -> str:
        letters = _LETTERS[self.language]
        return "".join(letters[_LATIN.index(low)] if (low := c.lower()) in _LATIN else c for c in text)
