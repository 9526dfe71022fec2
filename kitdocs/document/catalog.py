"""Message catalog: everything that kitdocs itself says in one language, built in or brought by the practice."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache
from types import MappingProxyType

from kitdocs.practice.message import Value, counted, message, said
from kitdocs.practice.numbers import fixed, money, percent, plain
from kitdocs.practice.problems import KitdocsError
from kitdocs.practice.sentences import known_languages, right_to_left, shipped_sentences


@dataclass(frozen=True, slots=True)
class MessageCatalog:
    """Sentences by key: ``card.hangs`` is `hangs` in card.yaml. Placeholders are in braces: ``{chair}``.

    A key that ends in ``.one``, ``.few`` or ``.other`` is one of the plural forms of a sentence; use `count` for those.
    """

    language: str
    sentences: Mapping[str, str]
    _parts: dict[str, Mapping[str, str]] = field(default_factory=dict, init=False, repr=False, compare=False)

    def __call__(self, key: str, /, **values: Value) -> str:
        """Return the sentence of that key. Raises `KeyError` for an unknown key or a missing placeholder."""
        return self.say(message(key, **values))

    def count(self, key: str, n: float, /, **values: Value) -> str:
        """Return the sentence in the plural form that the language has for `n`: ``{n} pouch``, ``{n} pouches``."""
        return self.say(counted(key, n, **values))

    def each(self, stem: str, /, *names: str, **values: Value) -> tuple[str, ...]:
        """Return the sentences of these names below one key, as the heads of a table's columns are."""
        return tuple(self(f"{stem}.{name}", **values) for name in names)

    def say(self, value: Value) -> str:
        """Return a message, or any value that one is filled with, in this language."""
        return said(value, self.sentences, self.language)

    def number(self, number: float, places: int = 1) -> str:
        """Return a number without needless decimals: ``46``, ``7.3``, ``1,234``."""
        return plain(self.language, number, places)

    def fixed(self, number: float | Decimal, places: int = 1) -> str:
        """Return a number with always so many decimals: ``7.0``."""
        return fixed(self.language, number, places)

    def percent(self, share: float, places: int = 0) -> str:
        """Return a share as a percentage: ``95 %``."""
        return percent(self.language, share, places)

    def money(self, amount: Decimal, currency: str = "", places: int = 2) -> str:
        """Return ``USD 1,234.50``; without the currency where the column's head names it."""
        return money(self.language, amount, currency, places)

    def part(self, name: str) -> Mapping[str, str]:
        """Return the sentences below one first word, without it: ``words.part("site")["search"]``."""
        if name not in self._parts:
            found = {key[len(name) + 1 :]: text for key, text in self.sentences.items() if key.startswith(f"{name}.")}
            self._parts[name] = MappingProxyType(found)
        return self._parts[name]

    @property
    def direction(self) -> str:
        """Writing direction as HTML names it: ``ltr`` or ``rtl``."""
        return "rtl" if right_to_left(self.language) else "ltr"


@cache
def built_in_catalog(language: str) -> MessageCatalog:
    """Return the built-in catalog of `language`. Raises `KitdocsError` when there is none."""
    return _catalog(language, {})


def catalog_for(language: str, own: Mapping[str, Mapping[str, str]]) -> MessageCatalog:
    """Return the catalog of `language`, in which a practice's `own` sentences (by language) replace the built-in ones.

    In a language that only the practice speaks, English says what its own sentences do not: all, when none is written.
    Raises `KitdocsError` when neither kitdocs nor the practice speaks the language.
    """
    return _catalog(language, own) if language in own else built_in_catalog(language)


def _catalog(language: str, own: Mapping[str, Mapping[str, str]]) -> MessageCatalog:
    sentences = {**shipped_sentences(language), **own.get(language, {})}
    if not sentences and language not in own:
        known = ", ".join(known_languages(own))
        raise KitdocsError(f"kitdocs has no words for the language '{language}'; it has {known}")
    sentences = {**shipped_sentences("en"), **sentences}
    return MessageCatalog(language, MappingProxyType(sentences))
