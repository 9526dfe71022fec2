"""What can be said and printed: the languages that kitdocs has words for, the letters of its typeface, the room."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.practice.model import Practice
from kitdocs.practice.places import Path
from kitdocs.practice.problems import Problem, nearest
from kitdocs.practice.rules.looking import error, texts, warning, whole
from kitdocs.practice.sentences import known_languages
from kitdocs.practice.typeface import cannot_print, unprintable
from kitdocs.practice.values import Text

#: The letters of the longest name that a card of 6 × 4 in has room for, tried out. Ours, no source.
LONGEST_NAME = 80

_RECORDS = ("settings", "chairs", "instruments", "cassettes", "sets", "pouches", "procedures", "room")


def languages_have_words(practice: Practice) -> Iterator[Problem]:
    """Every listed language is one that kitdocs or the practice has words for, and listed once; none is left over."""
    languages, known = practice.settings.languages, known_languages(practice.words)
    for index, language in enumerate(languages):
        path: Path = ("practice", "languages", index)
        if language in tuple(languages)[:index]:
            yield error(practice, "same-language", path, f"'{language}' is listed twice", "keep one of the two")
        elif isinstance(language, str) and language not in known:
            message = f"kitdocs has no words for the language '{language}'"
            own = f"'kitdocs words FOLDER {language}' writes a file to translate them in"
            yield error(practice, "no-words", path, message, f"{nearest(language, known)}; or {own}")
    if whole(practice, "practice", "languages"):
        for language in practice.words:
            if language not in languages:
                message = f"these words are never used: practice.yaml lists only {', '.join(languages)}"
                remedy = f"add {language} to 'languages:' in practice.yaml, or delete the file"
                yield warning(practice, "unused-words", ("words", language), message, remedy)


def names_can_be_printed(practice: Practice) -> Iterator[Problem]:
    """The typeface has every letter of a name, and a card has room for it."""
    for path, words in _names(practice):
        if lacking := unprintable(words):
            yield error(practice, "letters", path, *cannot_print(lacking))
        if len(words) > LONGEST_NAME:
            yield error(
                practice,
                "long-name",
                path,
                f"these words have {len(words)} letters, and no card has room for more than {LONGEST_NAME}",
                "write them shorter",
            )


def _names(practice: Practice) -> Iterator[tuple[Path, str]]:
    """All words that a person wrote in the YAML files, language by language, with their path."""
    for stem in _RECORDS:
        for path, text in texts(("practice",) if stem == "settings" else (stem,), getattr(practice, stem)):
            if path in practice.places.values:  # the built-in names of colours stand in no file
                yield from _by_language(path, text)
    for index, visit in enumerate(practice.schedule):
        if isinstance(visit.day, str):
            yield ("schedule", index, "day"), visit.day


def _by_language(path: Path, text: Text) -> Iterator[tuple[Path, str]]:
    if text.plain:
        yield path, text.plain
    for language, words in text.by_language:
        yield (*path, language), words
