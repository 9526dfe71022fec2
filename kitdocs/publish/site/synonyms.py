"""Other names under which the search finds a thing: regional words, shop words, abbreviations."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from functools import cache

from kitdocs.document.catalog import MessageCatalog


def folded(text: str) -> str:
    """Return the text without accents and capitals, as the search compares it: ``basica`` for ``Básica``."""
    apart = unicodedata.normalize("NFD", text)
    return "".join(letter for letter in apart if not unicodedata.combining(letter)).casefold()


def other_names(words: MessageCatalog, names: Iterable[str]) -> set[str]:
    """Return what else the things with these names are called, by the groups of synonyms.yaml.

    A name belongs to a group when it contains one of its members as whole words, in the singular or plural.
    """
    folded_names = [folded(name) for name in names]
    found: set[str] = set()
    for group in words.part("synonyms"):
        members = [member.strip() for member in words(f"synonyms.{group}").split(",")]
        named = {member for member in members if any(_contains(member).search(name) for name in folded_names)}
        if named:
            found.update(set(members) - named)
    return found


@cache
def _contains(member: str) -> re.Pattern[str]:
    return re.compile(rf"\b{re.escape(folded(member))}(s|es)?\b")
