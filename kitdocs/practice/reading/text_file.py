"""A text file of the practice folder: found inside the folder, small enough, and really text."""

from __future__ import annotations

import re
import stat
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from kitdocs.practice.locations import Path as ValuePath
from kitdocs.practice.locations import SourceLocation
from kitdocs.practice.problems import Problem, problem_at

LARGEST = 1024 * 1024

#: Line breaks as YAML 1.1 counts them; used for every file, so that places agree.
_BREAK = re.compile("\r\n|[\n\r\x85\u2028\u2029]")

#: What YAML does not call printable has no business in a text file; nor have signs without width, which make two names
#: look alike, and signs that turn the direction of writing around, which make a line read otherwise than it is.
UNPRINTABLE = re.compile(
    "[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
    "|[\u200b\u200e\u200f\u202a-\u202e\u2060-\u206f]"
    "|(?<![\u0620-\u06ff])[\u200c\u200d]"  # between Arabic letters they are part of a word, as in Persian
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TextFile:
    """A text that was read. `name` is relative to the practice folder; `at` is the path of its values."""

    name: str
    at: ValuePath
    text: str
    lines: tuple[str, ...]

    def place(self, line: int, column: int = 1) -> SourceLocation:
        """A place in this file; line and column from 1."""
        text = self.lines[line - 1] if line <= len(self.lines) else ""
        return SourceLocation(file=self.name, line=line, column=column, text=text)

    def place_of(self, index: int) -> SourceLocation:
        """The place of a character of the text, counted from 0."""
        before = _BREAK.split(self.text[:index])
        return self.place(len(before), len(before[-1]) + 1)

    def problem(self, name: str, place: SourceLocation, /, **values: Any) -> Problem:
        """The problem of that name in ``words/errors.yaml``, about this file as a whole."""
        return problem_at(place, self.at, name, **values)


def text_file(name: str, at: ValuePath, text: str) -> TextFile:
    """A `TextFile` from a text that is already there."""
    return TextFile(name=name, at=at, text=text, lines=tuple(_BREAK.split(text)))


def file_problem(file: str, at: ValuePath, name: str, /, **values: Any) -> Problem:
    """The problem of that name in ``words/errors.yaml``, about a file that could not be read."""
    return problem_at(SourceLocation(file=file), at, name, **values)


def leaves(folder: Path, path: Path) -> bool:
    """Whether `path`, links followed, lies outside `folder`."""
    try:
        return not path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError):  # a link that leads to itself
        return True


def bytes_of(folder: Path, name: str, at: ValuePath, largest: int) -> bytes | Problem:
    """The bytes of a file of the folder, or why they are not to be had."""
    path = folder / name
    if leaves(folder, path):
        return file_problem(name, at, "outside.file")
    try:
        about = path.stat()
        if not stat.S_ISREG(about.st_mode):
            return file_problem(name, at, "not-a-file")
        if about.st_size > largest:
            return file_problem(name, at, "too-large", most=largest // 1024 // 1024, bytes=about.st_size)
        return path.read_bytes()
    except OSError as error:
        return file_problem(name, at, "unreadable.file", why=error.strerror or error)


def read_text(folder: Path, name: str, at: ValuePath, *, largest: int = LARGEST) -> TextFile | Problem:
    """A UTF-8 text of the folder, with or without a byte order mark; or why it is not to be had."""
    data = bytes_of(folder, name, at, largest)
    if isinstance(data, Problem):
        return data
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        return _not_utf8(name, at, data, error)
    file = text_file(name, at, text)
    if strange := UNPRINTABLE.search(text):
        return file.problem("not-text.file", _shown(file.place_of(strange.start())), code=ord(strange[0]))
    return file


def _not_utf8(name: str, at: ValuePath, data: bytes, error: UnicodeDecodeError) -> Problem:
    # The codec counts from after the byte order mark.
    body = data.removeprefix(b"\xef\xbb\xbf")
    good = body[: error.start].decode("utf-8")
    lines = _BREAK.split(good)
    rest = _BREAK.split(body[error.start :].decode("utf-8", "replace"))[0]
    place = SourceLocation(file=name, line=len(lines), column=len(lines[-1]) + 1, text=lines[-1] + rest)
    return problem_at(_shown(place), at, "not-utf8")


def _shown(place: SourceLocation) -> SourceLocation:
    """The place; without its line in a table, where nobody knows yet which cell may be about a patient."""
    return replace(place, text="") if place.file.endswith(".csv") else place
