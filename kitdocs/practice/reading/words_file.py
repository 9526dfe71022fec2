"""``words.<language>.yaml``: what kitdocs itself says, in a language that the practice brings, or in its own words.

A language that kitdocs speaks takes single sentences from the file; in any other, English says what is missing there (a
rule warns of it).
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from string import Formatter
from typing import Any

from kitdocs.practice.locations import Path as ValuePath
from kitdocs.practice.locations import SourceLocation
from kitdocs.practice.problems import Problem, at_most, nearest, problem_at
from kitdocs.practice.reading.text_file import TextFile, read_text
from kitdocs.practice.reading.yaml_file import read_yaml
from kitdocs.practice.sentences import allowed, counted, english_of, is_language, wanted
from kitdocs.practice.typeface import letters_problem, unprintable
from kitdocs.practice.values import LANGUAGE_PATTERN

WORDS_FILE = re.compile(rf"words\.({LANGUAGE_PATTERN[1:-1]})\.yaml")


@dataclass(slots=True)
class WordsFile:
    """The sentences of one file by key, as far as they could be read, where they stand, and what is wrong with it."""

    sentences: dict[str, str] = field(default_factory=dict)
    places: dict[ValuePath, SourceLocation] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


def read_words(folder: Path, name: str, language: str) -> WordsFile:
    """What ``words.it.yaml`` holds for ``it``."""
    source = read_text(folder, name, ("words", language))
    if isinstance(source, Problem):
        return WordsFile(problems=[source])
    if not is_language(language):
        return WordsFile(problems=[source.problem("language-code", source.place(1), language=language)])
    return words_in(source, language)


def words_in(source: TextFile, language: str) -> WordsFile:
    """What the text of such a file holds, for a language that kitdocs can count in."""
    return _Reading(source, language).read()


class _Reading:
    """One file on its way to sentences."""

    def __init__(self, source: TextFile, language: str) -> None:
        self.source = source
        self.language = language
        self.yaml = read_yaml(source)
        self.out = WordsFile(places={**self.yaml.keys, **self.yaml.values}, problems=list(self.yaml.problems))
        self.out.places[source.at] = source.place(1)

    def read(self) -> WordsFile:
        if self.yaml.problems and self.yaml.data is None:
            return self.out
        self.out.problems += at_most(self._walk((), self.yaml.data))
        self.out.problems += self._letters()
        return self.out

    def _walk(self, path: tuple[str, ...], data: object) -> Iterator[Problem]:
        """Keeps every sentence; yields what is wrong with it."""
        key = ".".join(path)
        if data is None or data == "":
            return
        if isinstance(data, Mapping) and key in wanted(self.language):  # {n} without quotes
            yield self._problem(path, "value.sentence")
        elif isinstance(data, Mapping):
            for name, part in data.items():
                yield from self._walk((*path, str(name)), part)
        elif not path:
            yield self._problem(path, "value.sentences")
        elif not allowed(self.language, key):
            near = nearest(key, wanted(self.language))
            yield self._problem(path, "unknown-key.sentence", at_key=True, nearest=near)
        elif not isinstance(data, str):
            yield self._problem(path, "value.sentence")
        elif wrong := _placeholders_wrong(self.language, key, data):
            case, name = wrong
            yield self._problem(path, f"placeholder.{case}", name=name, english=english_of(self.language, key))
        else:
            self.out.sentences[key] = data.strip()

    def _letters(self) -> Iterator[Problem]:
        """Letters that the typeface lacks. A sign that kitdocs' own sentence has stands where that can be shown."""
        lacking = {
            key: letters
            for key, text in self.out.sentences.items()
            if (letters := [sign for sign in unprintable(text) if sign not in english_of(self.language, key)])
        }
        if lacking:
            first = next(iter(lacking))
            name, values = letters_problem(list(dict.fromkeys(itertools.chain(*lacking.values()))))
            if len(lacking) > 1:
                values["letters"] += f", which {len(lacking)} of the sentences need"
            yield self._problem(tuple(first.split(".")), name, **values)

    def _place(self, path: tuple[str, ...], *, at_key: bool = False) -> SourceLocation:
        full: ValuePath = (*self.source.at, *path)
        first, second = (self.yaml.keys, self.yaml.values) if at_key else (self.yaml.values, self.yaml.keys)
        return first.get(full) or second.get(full) or self.source.place(1)

    def _problem(self, path: tuple[str, ...], name: str, /, *, at_key: bool = False, **values: Any) -> Problem:
        return problem_at(self._place(path, at_key=at_key), (*self.source.at, *path), name, **values)


def _placeholders_wrong(language: str, key: str, sentence: str) -> tuple[str, str] | None:
    """What is wrong with the placeholders of a sentence, beside those that kitdocs will fill, and the name in one."""
    needed = _placeholders(english_of(language, key))
    assert needed is not None
    found = _placeholders(sentence)
    if found is None:
        return "brace", ""
    if strange := sorted(found - needed):
        return "unknown", strange[0]
    # "one pouch" needs no number.
    spoken = {"n"} if counted(key) and key.rpartition(".")[2] in ("zero", "one", "two") else set()
    if lacking := sorted(needed - found - spoken):
        return "missing", lacking[0]
    return None


def _placeholders(sentence: str) -> set[str] | None:
    """The names in braces; None when the braces do not fit together."""
    try:
        parts = list(Formatter().parse(sentence))
    except ValueError:
        return None
    if any(spec or conversion for _, _, spec, conversion in parts):
        return None
    return {name for _, name, _, _ in parts if name is not None}
