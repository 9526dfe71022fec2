"""Exceptions that kitdocs raises on purpose, and one sentence for those that it did not foresee.

`PracticeError` holds problems, and is defined with them.
"""

from __future__ import annotations

import traceback
from pathlib import Path

_PACKAGE = Path(__file__).parent
#: Calls named in the sentence, the innermost last.
_CALLS = 4


class KitdocsError(Exception):
    """Everything kitdocs raises on purpose."""


class PublishError(KitdocsError):
    """The handbook could not be written; whatever was there before is untouched."""


class TargetError(PublishError):
    """The folder to be written to holds something that kitdocs did not write."""


def mistake_of_kitdocs(error: BaseException) -> str:
    """Return a sentence that says what went wrong and where in kitdocs, for whoever reports it."""
    if isinstance(error, MemoryError):
        return "there is not enough memory for this; close other programs, or describe the practice in smaller files"
    frames = [frame for frame in traceback.extract_tb(error.__traceback__) if _PACKAGE in Path(frame.filename).parents]
    calls = " → ".join(f"{_inside(frame.filename)}:{frame.lineno}" for frame in frames[-_CALLS:]) or "outside kitdocs"
    # One line of the message, because some libraries add a whole page. None of it where lists of an office are read:
    # it could quote a cell.
    reads_lists = any(_inside(frame.filename).startswith("importing/") for frame in frames)
    said = "" if reads_lists else next(iter(str(error).splitlines()), "")[:200]
    return f"this is a mistake of kitdocs: {type(error).__name__}: {said} ({calls}); please report it with this line"


def _inside(file: str) -> str:
    return Path(file).relative_to(_PACKAGE).as_posix()
