"""The practice folder: its nouns, its reader, its rules."""

from kitdocs.practice.reading.reader import read_practice

__all__ = ["read_practice"]
