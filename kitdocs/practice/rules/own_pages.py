"""The practice's own pages in each of their languages, read sentence by sentence."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from kitdocs.practice.draft import Draft
from kitdocs.practice.locations import Path, SourceLocation

#: A sentence longer than this is not looked at: time grows with its square. Ours.
_LONGEST = 400

#: Code between two fences, and within a line.
_CODE = re.compile(r"^(```|~~~).*?^\1|`[^`\n]{1,400}`", re.MULTILINE | re.DOTALL)
#: A sentence, with a question before it; no list item, row or paragraph goes on in the next one.
_SENTENCE = re.compile(r"(?:[^.!?\n]|\n(?![ \t]*(?:\n|[-*+#|>]|\d+[.)]\s)))+")


@dataclass(frozen=True, slots=True)
class OwnPage:
    """A page in one language: its text as it is in the file, and `plain` without code, each letter at its place."""

    at: Path
    file: str
    language: str
    text: str
    plain: str

    def place(self, index: int) -> SourceLocation:
        begin, end = self.text.rfind("\n", 0, index) + 1, self.text.find("\n", index)
        line = self.text[begin : end if end >= 0 else len(self.text)]
        number = self.text.count("\n", 0, index) + 1
        return SourceLocation(file=self.file, line=number, column=index - begin + 1, text=line)


def pages(practice: Draft) -> Iterator[OwnPage]:
    """Each page in each of its languages; one that names none is in the practice's first."""
    first = (practice.settings.languages or ("en",))[0]
    for page in practice.pages:
        for code, text in page.text.items():
            at: Path = ("pages", f"{page.id}.{code}" if code else page.id)
            file = practice.places.value(*at).file
            yield OwnPage(at=at, file=file, language=code or first, text=text, plain=_CODE.sub(_blank, text))


def sentences_of(text: str) -> Iterator[tuple[int, str]]:
    """Each sentence on one line with the question before it, and where it begins; marks of emphasis left out."""
    asked: tuple[int, str] | None = None
    for part in _SENTENCE.finditer(text):
        if len(part[0]) > _LONGEST or not re.search(r"\w", part[0]):
            continue
        words = " ".join(re.sub(r"[*_`#>|\u00a0]", " ", part[0]).split()).removeprefix("- ")
        index = part.start() + len(part[0]) - len(part[0].lstrip(" \t\n-*+#>|"))
        if text[part.end() : part.end() + 1] == "?":
            asked = index, f"{words}?"
            continue
        yield (asked[0], f"{asked[1]} {words}") if asked and "\n\n" not in text[asked[0] : index] else (index, words)
        asked = None


def _blank(part: re.Match[str]) -> str:
    return re.sub(r"[^\n]", " ", part[0])
