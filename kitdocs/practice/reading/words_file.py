"""``words.<language>.yaml``: what kitdocs itself says, in a language that the practice brings, or in its own words.

A language that kitdocs speaks takes single sentences from the file; any other must find all of them there (a rule
sees to that), so that no page mixes languages.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from string import Formatter

from kitdocs.practice.locations import Path as ValuePath
from kitdocs.practice.locations import SourceLocation
from kitdocs.practice.problems import Problem, at_most, nearest, written
from kitdocs.practice.reading.text_file import TextFile, read_text
from kitdocs.practice.reading.yaml_file import read_yaml
from kitdocs.practice.sentences import allowed, counted, english_of, is_language, wanted
from kitdocs.practice.typeface import cannot_print, unprintable
from kitdocs.practice.values import LANGUAGE_PATTERN

WORDS_FILE = re.compile(rf"words\.({LANGUAGE_PATTERN[1:-1]})\.yaml")


@dataclass(slots=True)
class WordsFile:
    """The sentences of one file by key, as far as they could be read, where they stand, and what is wrong with it."""

    sentences: dict[str, str] = field(default_factory=dict)
    places: dict[ValuePath, SourceLocation] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


def read_words(folder: Path, name: str, language: str) -> WordsFile:
    """What ``words.fr.yaml`` holds for ``fr``."""
    source = read_text(folder, name, ("words", language))
    if isinstance(source, Problem):
        return WordsFile(problems=[source])
    if not is_language(language):
        message = f"kitdocs does not know how the language '{language}' counts"
        remedy = "name the file by the language's code, as in words.fr.yaml for French"
        return WordsFile(problems=[source.problem("language-code", source.place(1), message, remedy)])
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
            yield self._problem(path, "value", "a sentence is expected here", "put it in quotes")
        elif isinstance(data, Mapping):
            for name, part in data.items():
                yield from self._walk((*path, str(name)), part)
        elif not path:
            message = "the file does not hold sentences by name"
            yield self._problem(path, "value", message, "compare it with a file that 'kitdocs words' writes")
        elif not allowed(self.language, key):
            remedy = nearest(key, wanted(self.language))
            yield self._problem(path, "unknown-key", "kitdocs has no sentence with this name", remedy, at_key=True)
        elif not isinstance(data, str):
            yield self._problem(path, "value", "a sentence is expected here", "put it in quotes")
        elif wrong := _placeholders_wrong(self.language, key, data):
            yield self._problem(path, "placeholder", *wrong)
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
            message, remedy = cannot_print(list(dict.fromkeys(itertools.chain(*lacking.values()))))
            more = f", which {len(lacking)} of the sentences need" if len(lacking) > 1 else ""
            yield self._problem(tuple(first.split(".")), "letters", f"{message}{more}", remedy)

    def _place(self, path: tuple[str, ...], *, at_key: bool = False) -> SourceLocation:
        full: ValuePath = (*self.source.at, *path)
        first, second = (self.yaml.keys, self.yaml.values) if at_key else (self.yaml.values, self.yaml.keys)
        return first.get(full) or second.get(full) or self.source.place(1)

    def _problem(self, path: tuple[str, ...], rule: str, message: str, remedy: str, *, at_key: bool = False) -> Problem:
        return Problem(
            rule=rule,
            severity="error",
            place=self._place(path, at_key=at_key),
            path=written((*self.source.at, *path)),
            message=message,
            remedy=remedy,
        )


def _placeholders_wrong(language: str, key: str, sentence: str) -> tuple[str, str] | None:
    """Message and remedy when the sentence has not the placeholders that kitdocs will fill."""
    english = english_of(language, key)
    needed = _placeholders(english)
    assert needed is not None
    found = _placeholders(sentence)
    remedy = f"the English sentence is: {english}"
    if found is None:
        return "a brace { or } has no partner; braces mark what kitdocs fills in, as in {n}", remedy
    if strange := sorted(found - needed):
        return f"kitdocs fills in nothing for {{{strange[0]}}} here", remedy
    # "one pouch" needs no number.
    spoken = {"n"} if counted(key) and key.rpartition(".")[2] in ("zero", "one", "two") else set()
    if lacking := sorted(needed - found - spoken):
        return f"{{{lacking[0]}}} is missing; kitdocs fills something in there", remedy
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
