"""The folders under tests/inputs: each holds only what differs from the shared valid practice in _valid.

``without.txt`` lists files of the valid practice that are left out; ``expected.txt`` is the whole message.
"""

from __future__ import annotations

import shutil
from pathlib import Path

from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.reader import read_practice

INPUTS = Path(__file__).parents[1] / "inputs"
VALID = INPUTS / "_valid"
_ABOUT_THE_CASE = ("expected.txt", "without.txt")


def cases() -> list[str]:
    """The names of the cases."""
    return sorted(path.name for path in INPUTS.iterdir() if path.is_dir() and path != VALID)


def assembled(case: str, into: Path) -> Path:
    """The valid practice with the case laid over it."""
    folder = into / "practice"
    shutil.copytree(VALID, folder)
    shutil.copytree(INPUTS / case, folder, dirs_exist_ok=True, ignore=shutil.ignore_patterns(*_ABOUT_THE_CASE))
    without = INPUTS / case / "without.txt"
    for name in without.read_text(encoding="utf-8").split() if without.exists() else ():
        (folder / name).unlink()
    return folder


def outcome(folder: Path) -> str:
    """What a person is told about a folder."""
    try:
        return "\n".join(str(problem) for problem in read_practice(folder).problems)
    except PracticeError as error:
        return str(error)
