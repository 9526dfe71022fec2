"""The practice folder: its nouns, its reader, its rules."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kitdocs.practice.reading.reader import read_practice as read_practice


def __getattr__(name: str) -> object:
    """Import the reader at its first use: whoever needs a problem's type alone does not wait for the model."""
    if name != "read_practice":
        raise AttributeError(f"module 'kitdocs.practice' has no attribute '{name}'")
    from kitdocs.practice.reading.reader import read_practice  # noqa: PLC0415

    return read_practice
