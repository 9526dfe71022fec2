"""Pseudo-languages: the example practice in words that are shorter or longer than English, as a folder of its own.

A text is made from the English one: every vowel has an accent, so that whoever looks at a sheet sees what was not
translated, and every word is shorter or longer by the given share, or words are joined to the long ones that German,
Dutch and Finnish have. What stands in braces, a number, an address or a link stays as it is.

How much longer a translation becomes (SOURCES: W3C text size).
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from kitdocs.practice.sentences import wanted
from kitdocs.practice.writing import quoted
from kitdocs.starter.words_file import words_text

EXAMPLE = Path(__file__).parents[2] / "example_practice"

#: The language whose place they take: Typst knows where its words may be parted, and it counts as English does.
LANGUAGE = "de"


class Words(Protocol):
    """A pseudo-language that takes the place of `language`."""

    @property
    def language(self) -> str:
        """The code of the language whose place it takes."""

    def of(self, text: str) -> str:
        """Return a text in it."""


#: Letters of the longest words, from memory: ``Instrumentenaufbereitung`` has 24, ``Sterilisationsüberwachung`` 25,
#: ``Desinfektionsmittelkonzentration`` 32.
LONGEST_WORD = 32

_ACCENTS = str.maketrans("aeouAEOU", "äéöüÄÉÖÜ")
_KEPT = re.compile(r"\{[^}]*\}|\]\([^)]*\)|\*+|https?://\S+|\S*\d\S*")
_WORD = re.compile(r"[^\W\d_]+")
_SYLLABLES = ("en", "un", "ger", "ar", "lich", "er", "ta")


@dataclass(frozen=True, slots=True)
class PseudoLanguage:
    """`longer` than English by a share of its letters; with `joined`, neighbouring words become one."""

    longer: float = 0.0
    joined: bool = False
    language: str = LANGUAGE

    def of(self, text: str) -> str:
        """A text in this language."""
        return "".join(part if kept else self._words(part) for part, kept in parts_of(text))

    def _words(self, text: str) -> str:
        joined = _joined(text) if self.joined else text
        return _WORD.sub(lambda word: self._word(word[0]), joined).translate(_ACCENTS)

    def _word(self, word: str) -> str:
        letters = round(len(word) * (1 + self.longer))
        if self.longer < 0 or len(word) < 3:
            return word[: max(2, letters)]
        while len(word) < letters:
            word += _SYLLABLES[len(word) % len(_SYLLABLES)][: letters - len(word)]
        return word


def parts_of(text: str) -> Iterator[tuple[str, bool]]:
    """Cut a text into what is translated and what is kept as it is."""
    at = 0
    for found in _KEPT.finditer(text):
        yield text[at : found.start()], False
        yield found[0], True
        at = found.end()
    yield text[at:], False


def _joined(text: str) -> str:
    """Words joined to their neighbours up to `LONGEST_WORD` letters; a capital letter begins another one."""
    said: list[str] = []
    for word in text.split(" "):
        last = said[-1] if said else ""
        if last.isalpha() and word.strip(".,:;").isalpha() and len(last) + len(word) <= LONGEST_WORD:
            said[-1] = last + word.lower()
        else:
            said.append(word)
    return " ".join(said)


def pseudo_practice(folder: Path, language: Words, source: Path = EXAMPLE) -> Path:
    """Write a practice as a new folder in which everything is said in that language, and return the folder."""
    shutil.copytree(source, folder)
    for path in folder.glob("*.yaml"):
        path.write_text(_names(path.read_text("utf-8"), language), "utf-8")
    for path in folder.glob("pages/*.md"):
        if path.name.count(".") > 1:
            path.unlink()
        else:
            path.write_text("\n".join(language.of(line) for line in path.read_text("utf-8").split("\n")), "utf-8")
    code = language.language
    said = {key: language.of(sentence) for key, sentence in wanted(code).items()}
    (folder / f"words.{code}.yaml").write_text(words_text(code, said), "utf-8")
    return folder


def _names(text: str, language: Words) -> str:
    """A YAML file of the example with its names in one language."""
    code = language.language
    text = re.sub(r"languages: \[.*?\]", f"languages: [{code}]", text)
    text = re.sub(r"(?m)^(\s+)es: >-\n(?:\1  .*\n?)+", "", text)
    text = re.sub(r"(?m)^(\s+)en: >-\n((?:\1  .*\n?)+)", lambda m: _block(m[1], m[2], language), text)
    flow = re.compile(r'\{en: (?:"([^"]*)"|([^,}]*)), es: (?:"[^"]*"|[^,}]*)\}')
    text = flow.sub(lambda m: f"{{{code}: {quoted(language.of(m[1] or m[2]))}}}", text)
    return re.sub(r"(?m)^name: (.*)$", lambda m: f"name: {quoted(language.of(m[1]))}", text)


def _block(indent: str, lines: str, language: Words) -> str:
    return f"{indent}{language.language}: {quoted(language.of(' '.join(lines.split())))}\n"
