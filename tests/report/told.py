"""What a report says, sentence by sentence: the key of each, and the values that it was said with."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from test_every_sentence import texts

from kitdocs.document.blocks import Matrix
from kitdocs.document.card import Handbook
from kitdocs.planning.day.breaking import Breakdown
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.practice.sentences import counted, shipped_sentences
from kitdocs.report.build_report import make_report

OPEN, NEXT, CLOSE = "⟦", "¦", "⟧"

Values = Mapping[str, str]


class Told(NamedTuple):
    """The sentences by key, each with its values in words; a plural form counts as the sentence that it is a form of.

    A value that is a sentence itself stands in it as ``⟦key¦name=value⟧``.
    """

    sentences: Mapping[str, list[Values]]
    report: Handbook

    def has_table(self, *head: str) -> bool:
        return any(self._tables(head))

    def table(self, *head: str) -> list[list[str]]:
        """The rows of the tables with this head (keys), every cell's text alone."""
        return [[cell.text for cell in row] for matrix in self._tables(head) for row in matrix.rows]

    def _tables(self, head: Sequence[str]) -> Iterator[Matrix]:
        named = [f"{OPEN}{key}" for key in head]
        return (matrix for matrix in self._matrices() if _begin_so(matrix.head, named))

    def _matrices(self) -> Iterator[Matrix]:
        for card in self.report.cards:
            yield from _matrices(card.front)


def _begin_so(heads: Sequence[str], named: Sequence[str]) -> bool:
    return len(heads) >= len(named) and all(
        head.startswith((f"{key}{CLOSE}", f"{key}{NEXT}")) for head, key in zip(heads, named, strict=False)
    )


def _matrices(thing: object) -> Iterator[Matrix]:
    if isinstance(thing, Matrix):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from _matrices(part)
    elif hasattr(thing, "__dataclass_fields__"):
        for name in thing.__dataclass_fields__:
            yield from _matrices(getattr(thing, name))


def told_of(practice: Practice, plan: Plan, broken: tuple[Breakdown, ...] = ()) -> Told:
    english = dict(shipped_sentences("en"))
    for key, sentence in english.items():
        if key.startswith("report."):
            names = dict.fromkeys(re.findall(r"{(\w+)}", sentence))
            said = "".join(f"{NEXT}{name}={{{name}}}" for name in names)
            english[key] = f"{OPEN}{stem(key)}{said}{CLOSE}"
    spoken = replace(practice, words={"en": english})
    report = make_report(spoken, plan, (), broken, language="en")
    sentences: defaultdict[str, list[Values]] = defaultdict(list)
    for card in report.cards:
        for text in texts((card.section, card.title, card.subtitle, card.front)):
            for key, values in _parsed(text):
                if values not in sentences[key]:
                    sentences[key].append(values)
    return Told(sentences, report)


def stem(key: str) -> str:
    """The key without its plural form."""
    return counted(key) or key


def _parsed(text: str) -> Iterator[tuple[str, Values]]:
    """Every sentence of a text, those within others too."""
    at = text.find(OPEN)
    while at >= 0:
        end = _end(text, at)
        if end < 0:  # broken in two lines of a picture; beside it stands what it says
            return
        key, *named = _parts(text[at + 1 : end])
        yield key, dict(part.split("=", 1) for part in named)
        for part in named:
            yield from _parsed(part)
        at = text.find(OPEN, end)


def _end(text: str, at: int) -> int:
    depth = 0
    for n in range(at, len(text)):
        depth += (text[n] == OPEN) - (text[n] == CLOSE)
        if depth == 0:
            return n
    return -1


def _parts(inside: str) -> list[str]:
    """What stands between the signs that are not within another sentence."""
    parts, depth = [""], 0
    for letter in inside:
        depth += (letter == OPEN) - (letter == CLOSE)
        if letter == NEXT and depth == 0:
            parts.append("")
        else:
            parts[-1] += letter
    return parts
