"""The letters that the handbook's typeface has, so that a sign that cannot be printed is found where it is written."""

from __future__ import annotations

import struct
import unicodedata
from collections.abc import Iterator
from functools import cache

from kitdocs.shipped import shipped_folder

FOLDER = shipped_folder("site_templates") / "fonts"
"""The typeface's files, one a style."""

_WINDOWS, _UNICODE_BMP = 3, 1


def unprintable(text: str) -> list[str]:
    """The letters of a text that the typeface lacks, each once, in the order in which they stand there."""
    composed = unicodedata.normalize("NFC", text)
    return list(dict.fromkeys(letter for letter in composed if not printable(letter)))


def listed_letters(lacking: list[str]) -> str:
    """Return letters as a problem lists them; each with its number, for some look like others."""
    listed = ", ".join(f"'{letter}' (U+{ord(letter):04X})" for letter in lacking[:5])
    return f"{listed} and {len(lacking) - 5} more" if len(lacking) > 5 else listed


@cache
def printable(letter: str) -> bool:
    """Whether the typeface has a letter, in one piece or as a letter and its accents. Blanks need no drawing."""
    if letter.isspace() or unicodedata.category(letter) in ("Zs", "Cf"):
        return True
    return ord(letter) in _letters() or all(ord(part) in _letters() for part in unicodedata.normalize("NFD", letter))


def is_letter(sign: str) -> bool:
    """Whether the typeface has a letter in one piece, a blank too."""
    return ord(sign) in _letters()


@cache
def _letters() -> frozenset[int]:
    """The code points that every style has."""
    return frozenset.intersection(*(frozenset(_mapped(path.read_bytes())) for path in sorted(FOLDER.glob("*.ttf"))))


def _mapped(font: bytes) -> Iterator[int]:
    """The code points of a font's 'cmap' table, subtable format 4 (OpenType 1.9.1, 'cmap', formats)."""
    cmap = next(at for name, at in _tables(font) if name == b"cmap")
    (count,) = struct.unpack_from(">H", font, cmap + 2)
    subtables = (struct.unpack_from(">HHI", font, cmap + 4 + 8 * n) for n in range(count))
    at = cmap + next(offset for *system, offset in subtables if system == [_WINDOWS, _UNICODE_BMP])
    (segments,) = struct.unpack_from(">H", font, at + 6)
    ends = struct.unpack_from(f">{segments // 2}H", font, at + 14)
    starts = struct.unpack_from(f">{segments // 2}H", font, at + 16 + segments)
    for start, end in zip(starts, ends, strict=True):
        if start != 0xFFFF:  # the segment that closes the table
            yield from range(start, end + 1)


def _tables(font: bytes) -> Iterator[tuple[bytes, int]]:
    """Names and offsets of a font's tables."""
    (count,) = struct.unpack_from(">H", font, 4)
    for n in range(count):
        name, _, offset, _ = struct.unpack_from(">4sIII", font, 12 + 16 * n)
        yield name, offset
