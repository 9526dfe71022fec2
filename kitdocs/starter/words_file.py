"""``words.<language>.yaml`` for a translator: every sentence of kitdocs, and below it the place for the other."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from kitdocs.practice.problems import KitdocsError
from kitdocs.practice.reading.text_file import text_file
from kitdocs.practice.reading.words_file import read_words, words_in
from kitdocs.practice.sentences import (
    allowed,
    also_in_latin_letters,
    counted,
    is_language,
    is_own_synonym,
    letters_missing,
    plural_forms,
    shipped_sentences,
    wanted,
)
from kitdocs.practice.writing import quoted, scalar, write_whole
from kitdocs.starter.po_file import po_bytes, translated_in

_HEAD = """\
# What kitdocs itself says, for the language '{language}'. Write each sentence behind its name, in quotes; what kitdocs
# says now stands above it. What stands in {{braces}} is filled in: keep it as it is, anywhere in the sentence.
# {rest}"""
_ALL = "What is missing is said in English, and 'kitdocs check' says how much that is."
_SOME = "kitdocs speaks this language already: only the sentences written here are said in another way."


@dataclass(frozen=True, slots=True, kw_only=True)
class WordsWritten:
    """`path` is the file; `missing` of its `all` sentences must still be written."""

    path: Path
    missing: int
    all: int


def write_words(
    folder: str | Path, language: str, *, from_po: str | Path | None = None, to_po: str | Path | None = None
) -> WordsWritten:
    """Write ``words.<language>.yaml`` into a practice folder; what is translated there already stays.

    What the PO file `from_po` translates is taken over; `to_po` is such a file to write, with what is translated then.

    Raises `KitdocsError`, and changes nothing, when the language is unknown or cannot be printed, the folder is not
    there, or the file there holds a mistake.
    """
    folder = Path(folder)
    if not is_language(language):
        raise KitdocsError(
            f"'{language}' is no language that kitdocs can count in; a code is meant, as in it for Italian"
        )
    if not folder.is_dir():
        raise KitdocsError(f"there is no folder {folder}")
    if not (folder / "practice.yaml").is_file():
        raise KitdocsError(f"{folder} holds no practice.yaml; name the practice folder, in which the words are used")
    if not also_in_latin_letters(language) and (missing := letters_missing(language)):
        raise KitdocsError(f"{missing}: nothing was written, so that nobody translates what cannot be printed")
    path = folder / f"words.{language}.yaml"
    there: Mapping[str, str] = {}
    if path.exists():
        file = read_words(folder, path.name, language)
        if file.problems:
            raise KitdocsError(f"{file.problems[0]}\n{path} is left as it is")
        there = file.sentences
    if to_po is not None and (Path(to_po).suffix != ".po" or Path(to_po).exists()):
        raise KitdocsError(f"{to_po} is there already, or does not end in .po; name a new file, as in words.po")
    if from_po is not None:
        there = {**there, **translated_in(Path(from_po), language)}
        read = words_in(text_file(path.name, ("words", language), words_text(language, there)), language)
        if read.problems:
            raise KitdocsError(f"{read.problems[0]}\n{from_po} was not taken over; {path} is left as it is")
    _write(path, words_text(language, there).encode())
    if to_po is not None:
        _write(Path(to_po), po_bytes(language, there))
    keys = wanted(language)
    spoken = shipped_sentences(language)
    return WordsWritten(path=path, missing=sum(key not in there and key not in spoken for key in keys), all=len(keys))


def _write(path: Path, content: bytes) -> None:
    try:
        write_whole(path, content)
    except OSError as error:
        raise KitdocsError(f"{path} cannot be written: {error.strerror or error}") from error


def words_text(language: str, there: Mapping[str, str] | None = None) -> str:
    """Return the file's text; `there` are the sentences that are translated already."""
    there = there or {}
    rest = _SOME if shipped_sentences(language) else _ALL
    lines = [_HEAD.format(language=language, rest=rest)]
    before: tuple[str, ...] = ()
    for key, english in _entries(language, there):
        *sections, name = key.split(".")
        lines += _opened(before, tuple(sections))
        before = tuple(sections)
        lines += _entry(language, key, name, english, there.get(key, ""), "  " * len(sections))
    return "\n".join(lines) + "\n"


def _entries(language: str, there: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Yield every key with its English; the forms for very large numbers only where somebody has written them.

    Groups of synonyms that a practice has added stand after the built-in ones.
    """
    last_synonym = [key for key in wanted(language) if key.startswith("synonyms.")][-1]
    for key, english in wanted(language).items():
        yield key, english
        stem = counted(key)
        if stem and key.rpartition(".")[2] == [*plural_forms(language)][-1]:
            rare = (other for other in there if other.startswith(f"{stem}.") and other not in wanted(language))
            yield from ((other, english) for other in rare if allowed(language, other))
        if key == last_synonym:
            yield from ((own, "") for own in there if is_own_synonym(own))


def _opened(before: tuple[str, ...], sections: tuple[str, ...]) -> list[str]:
    """Return the lines that open the sections which are not open yet."""
    same = 0
    while same < min(len(before), len(sections)) and before[same] == sections[same]:
        same += 1
    blank = [""] if same == 0 and sections else []
    return blank + [f"{'  ' * depth}{scalar(name)}:" for depth, name in enumerate(sections) if depth >= same]


def _entry(language: str, key: str, name: str, english: str, translated: str, indent: str) -> list[str]:
    form = key.rpartition(".")[2]
    numbers = plural_forms(language).get(form, ()) if counted(key) else ()
    now = shipped_sentences(language).get(key, english)
    said = f"for {', '.join(map(str, numbers))} ...: {now}" if numbers else now
    told = textwrap.wrap(said, 110, break_long_words=False, break_on_hyphens=False)
    value = quoted(translated) if translated else ""
    return [*(f"{indent}# {line}" for line in told), f"{indent}{scalar(name)}: {value}".rstrip()]
