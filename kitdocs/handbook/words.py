"""The words of one language that kitdocs itself says, built in or brought by the practice."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from kitdocs.practice.model import Practice
from kitdocs.practice.problems import KitdocsError
from kitdocs.practice.sentences import known_languages, plural_form, right_to_left, shipped_sentences


@dataclass(frozen=True, slots=True)
class Words:
    """Sentences by key: ``card.hangs`` is `hangs` in card.yaml. Placeholders stand in braces: ``{chair}``.

    A key that ends in ``.one``, ``.few`` or ``.other`` is one of the forms of a counted thing; ask with `count`.
    """

    language: str
    sentences: Mapping[str, str]

    def __call__(self, key: str, /, **values: object) -> str:
        """The sentence of that key. `KeyError` for a key or a placeholder that is not there."""
        return self.sentences[key].format(**values)

    def count(self, key: str, n: int, /, **values: object) -> str:
        """The sentence for `n` things in the form that the language has for them: ``{n} pouch``, ``{n} pouches``."""
        form = f"{key}.{plural_form(self.language, n)}"
        return self(form if form in self.sentences else f"{key}.other", n=n, **values)

    def part(self, name: str) -> Mapping[str, str]:
        """The sentences below one first word, without it: ``words.part("site")["search"]``."""
        return {key[len(name) + 1 :]: text for key, text in self.sentences.items() if key.startswith(f"{name}.")}

    @property
    def direction(self) -> str:
        """``ltr`` or ``rtl``, as HTML says it."""
        return "rtl" if right_to_left(self.language) else "ltr"


@cache
def words_of(language: str) -> Words:
    """The built-in words of `language`. `KitdocsError` when kitdocs has none."""
    return _words(language, {})


def practice_words(practice: Practice, language: str) -> Words:
    """The words of `language` for this practice, whose own sentences go before the built-in ones.

    `KitdocsError` when neither kitdocs nor the practice has words for the language.
    """
    own = practice.words.get(language)
    return _words(language, practice.words) if own else words_of(language)


def _words(language: str, own: Mapping[str, Mapping[str, str]]) -> Words:
    sentences = {**shipped_sentences(language), **own.get(language, {})}
    if not sentences:
        known = ", ".join(known_languages(own))
        raise KitdocsError(f"kitdocs has no words for the language '{language}'; it has {known}")
    return Words(language, MappingProxyType(sentences))
