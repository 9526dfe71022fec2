"""Writing a file that people and kitdocs read again: whole or not at all, every YAML value as it was meant."""

from __future__ import annotations

import json
import os
import re
import secrets
import shutil
import time
from pathlib import Path
from typing import Any

from kitdocs.locking import locked
from kitdocs.practice.reading.text_file import UNPRINTABLE
from kitdocs.practice.reading.yaml_file import plain

#: How a file is named until it is whole; eight characters follow.
_BESIDE = ".kitdocs-file-"
_LOCK = ".kitdocs-files.lock"
_AN_HOUR = 3600.0
#: What the reader takes for no text, or for the end of a line.
_UNSAFE = re.compile(f"{UNPRINTABLE.pattern}|[\x85\u2028\u2029]")
#: What YAML takes for plain words without quotes, wherever it stands.
_WORDS = re.compile(r"[^\W\d_](?:[\w /.()·×–-]*[\w)])?")


def write_whole(target: Path, content: bytes) -> None:
    """Write a file so that nobody ever finds half of it, and what was there stays until the new one is whole.

    A new file may be read by whom the umask lets, an old one by whom it could before. What a killed run left in the
    folder is removed first. Raise `OSError`.
    """
    with locked(target.with_name(_LOCK)) as held:
        _clear_leftovers(target.parent, alone=held is True)
        beside = target.with_name(f"{_BESIDE}{secrets.token_hex(4)}")
        try:
            with beside.open("xb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            if target.exists():
                shutil.copymode(target, beside)
            beside.replace(target)
        except BaseException:
            beside.unlink(missing_ok=True)
            raise


def scalar(value: int | float | str) -> str:
    """A value, or a key, that the reader reads as just that: without quotes where nothing is lost."""
    if isinstance(value, str) and _WORDS.fullmatch(value) and plain(value) == value:
        return value
    return quoted(value)


def quoted(value: Any) -> str:
    """Anything as JSON, which is YAML too, on one line whatever signs it holds."""
    text = json.dumps(value, ensure_ascii=False)
    return _UNSAFE.sub(lambda found: f"\\u{ord(found[0]):04x}", text)


def _clear_leftovers(folder: Path, *, alone: bool) -> None:
    """Remove what killed runs left. Where locks do not work, what is younger than an hour may be another run's."""
    for left in folder.glob(_BESIDE + "?" * 8):
        if left.is_file() and (alone or time.time() - left.stat().st_mtime > _AN_HOUR):
            left.unlink(missing_ok=True)
