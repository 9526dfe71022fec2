"""Names that the trade gives its instruments (trade.yaml), made comparable."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, cast

import yaml

from kitdocs.importing.vocabulary import folded, in_other_languages, of_one_meaning, other_words
from kitdocs.practice.kinds import FAMILY_OF, DrawingKind
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.shipped import shipped_languages

_SMALL = frozenset(
    re.findall(r"\w+", "de del la el los las para of for the and y con with w a an en") + other_words("small")
)
#: A word, a number with its unit or its sign, letters and digits apart: ``#5``, ``0.5mm``, ``h6/7``.
_DOTTED = re.compile(r"\b(?:[a-z]\.){2,}")
_HYPHEN = re.compile(r"\b([a-z]+)-([a-z]+)\b")
#: French ``d'oiseau``, ``l'attache``.
_ELIDED = re.compile(r"\b[dl]['’](?=[a-z])")
_WORD = re.compile(r"\b[a-z]\d+(?:/\d+)*|#?\d+(?:[.,/]\d+)*|[a-z]+|#")


def kind_name(kind: str, language: str) -> str:
    """Return what the trade calls a kind of instrument: ``Weingart plier``."""
    return shipped_sentences(language)[f"instruments.kind.{kind}"].partition(":")[0]


def stem(word: str) -> str:
    """Return a word without the ending of its plural, roughly: ``alicate``, ``cortador``, ``scissor``."""
    if len(word) > 5 and word.endswith(("ores", "ares", "ones")):
        return word[:-2]
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def words_in(text: str) -> tuple[str, ...]:
    """Return the words of a name, folded and stemmed, short forms written out; small words left out."""
    plain = _ELIDED.sub(" ", folded(text)).replace("&", " ").replace("'", "")
    plain = _DOTTED.sub(lambda found: found[0].replace(".", ""), plain)
    plain = _HYPHEN.sub(
        lambda found: "".join(found.groups()) if stem(found[1] + found[2]) in trade().every else found[0], plain
    )
    return tuple(
        stem(word)
        for found in _WORD.findall(plain)
        for word in trade().short.get(found, found).split()
        if word not in _SMALL
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TradeWords:
    """The words of trade.yaml. A phrase is a set of words."""

    kinds: Mapping[frozenset[str], DrawingKind]
    likely: Mapping[frozenset[str], DrawingKind]
    families: Mapping[str, DrawingKind]
    short: Mapping[str, str]
    plain: frozenset[str]
    plain_of: Mapping[str, frozenset[str]]
    qualifiers: Mapping[str, str]
    """The word that stands in an id, by each word that means it."""
    not_instruments: frozenset[frozenset[str]]
    every: frozenset[str]
    """All words that are known: none of them is a slip of another."""


@cache
def trade() -> TradeWords:
    """Return the words of the trade, read once."""
    raw = cast(dict[str, Any], yaml.safe_load((Path(__file__).parent / "trade.yaml").read_text("utf-8")))
    for there in in_other_languages().values():
        _add(raw, there["trade"])
    drawn = [kind for kind in FAMILY_OF if not kind.startswith("other-")]
    named = ((_phrase(kind_name(kind, language)), kind) for kind in drawn for language in shipped_languages())
    kinds = {**of_one_meaning(named), **_by_phrase(raw["kinds"])}
    likely = _by_phrase(raw["likely"])
    nots = frozenset(_phrase(text) for text in raw["not-instruments"])
    families = {
        stem(folded(word)): kind for kind, words in raw["families"].items() for word in words if " " not in word
    }
    plain = frozenset(stem(folded(word)) for word in raw["plain"])
    plain_of = {kind: frozenset(map(stem, words)) for kind, words in raw["plain-of"].items()}
    qualifiers = {stem(folded(word)): name for name, words in raw["qualifiers"].items() for word in words}
    every = {word for phrases in (kinds, likely, nots) for phrase in phrases for word in phrase}
    return TradeWords(
        kinds=kinds,
        likely=likely,
        families=families,
        short=raw["short"],
        plain=plain,
        plain_of=plain_of,
        qualifiers=qualifiers,
        not_instruments=nots,
        every=frozenset(every | set(families) | plain | set(qualifiers) | set().union(*plain_of.values())),
    )


def _add(raw: dict[str, Any], more: Mapping[str, Any]) -> None:
    """Add the words of one more language to those that are there."""
    for name, words in more.items():
        if isinstance(words, dict):
            _add(raw.setdefault(name, {}), words)
        else:
            raw[name] = [*raw.get(name, ()), *words]


def _by_phrase(raw: Mapping[str, Iterable[str]]) -> dict[frozenset[str], DrawingKind]:
    return of_one_meaning((_phrase(text), cast(DrawingKind, kind)) for kind, texts in raw.items() for text in texts)


def _phrase(text: str) -> frozenset[str]:
    return frozenset(stem(word) for word in _WORD.findall(folded(str(text))) if word not in _SMALL)
