"""The samples of the guide, each with the marker behind its fence, and how each kind is tried.

``sh`` is typed into a terminal, line by line; ``started`` and ``empty`` name the folder that it begins in, one with
the small practice of `kitdocs start` or one with nothing; without either it goes on in the folder of the sample before.
A command that ends in another way than well says so behind it: ``# exit status 4``. ``out`` is said by the commands
before it. ``change FILE`` edits a line, ``file PATH`` is a whole file, ``yaml FILE`` are records and ``setting FILE``
are keys of a file. ``toml`` is read, and a ``rule`` is tried on the small practice. ``serve`` is stopped when it has
answered, and ``install`` is tried in `tests/test_wheel.py`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from kitdocs.guide.chapters import written
from kitdocs.handbook.prose import FENCED

KINDS = ("sh", "out", "change", "file", "yaml", "setting", "python", "toml", "rule")


@dataclass(frozen=True, slots=True)
class Fenced:
    kind: str
    marks: tuple[str, ...]
    text: str


def samples(page: str) -> Iterator[Fenced]:
    """Yield the samples of a page in their order."""
    for found in FENCED.finditer(written(page)):
        kind, *marks = found[1].split()
        yield Fenced(kind, tuple(marks), found[2])


def exit_status(line: str) -> tuple[str, int]:
    """Split a command from the exit status that it says it has."""
    stated = re.fullmatch(r"(.*?)\s*# exit status (\d)", line)
    return (stated[1], int(stated[2])) if stated else (line, 0)
