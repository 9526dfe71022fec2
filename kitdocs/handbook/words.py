"""The words of one language that kitdocs itself says, from the files in ``site_templates/words/<language>/``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

import yaml

from kitdocs.practice.problems import KitdocsError
from kitdocs.shipped import shipped_folder, shipped_languages


@dataclass(frozen=True, slots=True)
class Words:
    """Sentences by key: ``card.hangs`` is `hangs` in card.yaml. Placeholders stand in braces: ``{chair}``.

    A key that ends in ``.one`` or ``.other`` is one of a pair for counted things; ask for the pair with `count`.
    """

    language: str
    sentences: Mapping[str, str]

    def __call__(self, key: str, /, **values: object) -> str:
        """The sentence of that key. `KeyError` for a key or a placeholder that is not there."""
        return self.sentences[key].format(**values)

    def count(self, key: str, n: int, /, **values: object) -> str:
        """The sentence for `n` things: ``{n} pouch``, ``{n} pouches``."""
        return self(f"{key}.{'one' if n == 1 else 'other'}", n=n, **values)

    def part(self, name: str) -> Mapping[str, str]:
        """The sentences below one first word, without it: ``words.part("site")["search"]``."""
        return {key[len(name) + 1 :]: text for key, text in self.sentences.items() if key.startswith(f"{name}.")}


@cache
def words_of(language: str) -> Words:
    """The words of `language`. `KitdocsError` when kitdocs has none."""
    folder = shipped_folder("site_templates") / "words" / language
    if not folder.is_dir():
        known = ", ".join(shipped_languages())
        raise KitdocsError(f"kitdocs has no words for the language '{language}'; it has {known}")
    sentences: dict[str, str] = {}
    for path in sorted(folder.glob("*.yaml")):
        sentences.update(_flat(f"{path.stem}.", yaml.safe_load(path.read_text("utf-8"))))
    return Words(language, MappingProxyType(sentences))


def _flat(prefix: str, tree: Mapping[str, object]) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    for key, value in tree.items():
        found += _flat(f"{prefix}{key}.", value) if isinstance(value, Mapping) else [(f"{prefix}{key}", str(value))]
    return found
