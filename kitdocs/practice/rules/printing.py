"""Words and print: the languages that kitdocs has words for, the letters of its typeface, the room."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kitdocs.practice.draft import Draft
from kitdocs.practice.locations import Path
from kitdocs.practice.problems import Problem, nearest
from kitdocs.practice.rules.looking import Values, error, texts, warning, whole
from kitdocs.practice.sentences import is_language, known_languages, wanted
from kitdocs.practice.typeface import listed_letters, unprintable
from kitdocs.practice.values import Text
from kitdocs.shipped import shipped_languages

#: The letters of the longest name that a card of 6 × 4 in has room for, tried out. Ours, no source.
LONGEST_NAME = 80

_RECORDS = ("settings", "chairs", "instruments", "cassettes", "sets", "pouches", "procedures", "room")


def languages_have_words(practice: Draft) -> Iterator[Problem]:
    """Every listed language is one that kitdocs or the practice has words for, and listed once."""
    languages, known = practice.settings.languages or (), known_languages(practice.words)
    for index, language in enumerate(languages):
        path: Path = ("practice", "languages", index)
        if language in languages[:index]:
            yield error(practice, "same-language", path, language=language)
        elif language not in known:
            yield error(practice, "no-words", path, language=language, nearest=nearest(language, known))


def words_files_are_whole_and_used(practice: Draft) -> Iterator[Problem]:
    """The practice's words files are of listed languages; where kitdocs has no words, not one sentence is missing."""
    listed = practice.settings.languages
    if not (listed and whole(practice, "practice", "languages")):
        return
    for language, sentences in practice.words.items():
        if not is_language(language):
            continue
        if language not in listed:
            values: Values = {"language": language, "languages": ", ".join(listed)}
            yield warning(practice, "problems.unused-words", ("words", language), **values)
        elif language not in shipped_languages():
            yield from _untranslated(practice, language, sentences)


def _untranslated(practice: Draft, language: str, sentences: Mapping[str, str]) -> Iterator[Problem]:
    """One problem for all that is missing. What is there but wrong has been reported by itself."""
    reported = {problem.path for problem in practice.problems}
    keys = wanted(language)
    missing = [key for key in keys if key not in sentences and f"words.{language}.{key}" not in reported]
    if missing and f"words.{language}" not in reported:
        listed = ", ".join(missing[:3]) + (f" and {len(missing) - 3} more" if len(missing) > 3 else "")
        path = ("words", language, *missing[0].split("."))
        values: Values = {"missing": len(missing), "all": len(keys), "listed": listed, "language": language}
        yield error(practice, "untranslated", path, **values)


def names_can_be_printed(practice: Draft) -> Iterator[Problem]:
    """The typeface has every letter of a name, and a card has room for it."""
    for path, words in _names(practice):
        if lacking := unprintable(words):
            yield error(practice, "letters", path, letters=listed_letters(lacking))
        if len(words) > LONGEST_NAME:
            yield error(practice, "long-name", path, letters=len(words), most=LONGEST_NAME)


def _names(practice: Draft) -> Iterator[tuple[Path, str]]:
    """All words that a person wrote in the YAML files, language by language, with their path."""
    for stem in _RECORDS:
        for path, text in texts(("practice",) if stem == "settings" else (stem,), getattr(practice, stem)):
            if path in practice.places.values:  # the built-in names of colours stand in no file
                yield from _by_language(path, text)
    for index, visit in practice.schedule.items():
        yield ("schedule", index, "day"), visit.day


def _by_language(path: Path, text: Text) -> Iterator[tuple[Path, str]]:
    if text.plain:
        yield path, text.plain
    for language, words in text.by_language:
        yield (*path, language), words
