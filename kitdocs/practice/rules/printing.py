"""Words and print: the languages that kitdocs has words for, the letters of its typeface, the labels."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kitdocs.practice.draft import Draft
from kitdocs.practice.locations import Path
from kitdocs.practice.paper import PAPER_MM, Labels
from kitdocs.practice.problems import Problem, nearest
from kitdocs.practice.rules.looking import Values, error, warning, written_texts
from kitdocs.practice.sentences import is_language, known_languages, wanted
from kitdocs.practice.typeface import letters_problem, unprintable
from kitdocs.shipped import shipped_languages

#: The letters of the longest name that a card of 6 × 4 in has room for, tried out. Ours, no source.
LONGEST_NAME = 80

#: The smallest label that holds a code, a name and five lines to be written on in 10 pt, in each language that kitdocs
#: has words for, tried out. Ours, no source.
SMALLEST_MM = (63.0, 25.0)

#: What measures of labels are rounded by: inches written with three decimals.
_SLACK_MM = 0.1


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
    """The practice's words files are of listed languages; where kitdocs has no words, no sentence is missing."""
    listed = practice.settings.languages
    if not (listed and practice.is_whole("practice", "languages")):
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
    """One warning for all that is missing, and said in English. What is there but wrong has been reported by itself."""
    reported = {problem.path for problem in practice.problems}
    keys = wanted(language)
    missing = [key for key in keys if key not in sentences and f"words.{language}.{key}" not in reported]
    if missing and f"words.{language}" not in reported:
        listed = ", ".join(missing[:3]) + (", …" if len(missing) > 3 else "")
        values: Values = {"missing": len(missing), "all": len(keys), "listed": listed, "language": language}
        yield warning(practice, "problems.untranslated", ("words", language), **values)


def names_can_be_printed(practice: Draft) -> Iterator[Problem]:
    """The typeface has every letter of a name, and a card has room for it.

    The reason of an accepted warning may be longer: it is printed in the report, not on a card.
    """
    for path, words in _names(practice):
        if lacking := unprintable(words):
            name, values = letters_problem(lacking)
            yield error(practice, name, path, **values)
        if len(words) > LONGEST_NAME and path[:2] != ("practice", "accepted"):
            yield error(practice, "long-name", path, letters=len(words), most=LONGEST_NAME)


def _names(practice: Draft) -> Iterator[tuple[Path, str]]:
    """All words that a person wrote in the YAML files, language by language, with their path."""
    for path, text in written_texts(practice):
        if text.plain:
            yield path, text.plain
        for language, words in text.by_language:
            yield (*path, language), words
    for index, visit in practice.schedule.items():
        yield ("schedule", index, "day"), visit.day


def labels_can_be_printed(practice: Draft) -> Iterator[Problem]:
    """Labels are large enough to be written on, do not overlap, and lie on the sheet, each way."""
    labels = practice.settings.labels
    if labels and practice.is_whole("practice", "labels"):
        for side, (size, step, grid) in enumerate((("width", "across", "columns"), ("height", "down", "rows"))):
            yield from _labels_one_way(practice, labels, side, size, step, grid)


def _labels_one_way(practice: Draft, labels: Labels, side: int, size: str, step: str, grid: str) -> Iterator[Problem]:
    """Check the labels across (0) or down (1) the sheet, by the fields for a label, a step and the grid."""
    paper, path = practice.settings.paper, ("practice", "labels")
    label, stepped = getattr(labels, size), getattr(labels, step)
    if label < SMALLEST_MM[side]:
        yield error(practice, "labels-small", (*path, size), size=label, smallest=SMALLEST_MM)
    if stepped is not None and stepped < label - _SLACK_MM:
        yield error(practice, "labels-overlap", (*path, step), field=step, step=stepped, side=size, size=label)
    first, last = _extent(labels, side)
    if paper and (first < -_SLACK_MM or last > PAPER_MM[paper][side] + _SLACK_MM):
        reach: Values = {"grid": grid, "extent": (first, last), "paper": paper, "end": PAPER_MM[paper][side]}
        look = f"{('left', 'top')[side]}, {size}, {step}"
        yield error(practice, "labels-off-paper", (*path, grid), look=look, **reach)


def _extent(labels: Labels, side: int) -> tuple[float, float]:
    """Where the grid begins and ends, across (0) or down (1), in mm from the edge of the sheet."""
    count, size, margin, offset = (
        (labels.columns, labels.width, labels.left, labels.offset.right),
        (labels.rows, labels.height, labels.top, labels.offset.down),
    )[side]
    return margin + offset, margin + offset + (count - 1) * labels.pitch_mm[side] + size
