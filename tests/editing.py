"""Changing a practice folder as a person does."""

from __future__ import annotations

from pathlib import Path


def edit(file: Path, old: str, new: str) -> None:
    """Write `new` where the file first says `old`."""
    text = file.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), "utf-8")
