"""What-if questions: the practice with a few values changed, compared with the practice as it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from kitdocs.practice.model import Practice
from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.changes import FILE
from kitdocs.practice.reading.reader import read_practice


class ChangeError(PracticeError):
    """A change that cannot be made: a path that does not exist, or a value that is not valid there."""


def changes_of(texts: Sequence[str]) -> dict[str, str]:
    """Parse ``["procedures.wire-change.per_day=45"]`` into values by path. Raises ValueError saying what to write."""
    changes: dict[str, str] = {}
    for text in texts:
        path, sign, value = text.partition("=")
        if not sign or not path.strip() or not value.strip():
            raise ValueError(f"'{text}' is not a change; write it as in procedures.wire-change.per_day=45")
        if path.strip() in changes:
            raise ValueError(f"'{path.strip()}' is set twice")
        changes[path.strip()] = value.strip()
    return changes


def changed_practice(folder: Path | str, changes: Mapping[str, str]) -> Practice:
    """Read the practice with some values replaced; its files stay as they are.

    Raises `ChangeError` when a change itself is wrong, `PracticeError` when it breaks something else.
    """
    try:
        return read_practice(folder, changes)
    except PracticeError as error:
        wrong = [problem for problem in error.problems if problem.severity == "error" and problem.place.file == FILE]
        if wrong:
            raise ChangeError(wrong) from None
        raise
