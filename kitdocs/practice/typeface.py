"""The letters that can be printed, so that a sign that cannot be is found where it is written.

The handbook's typeface has Latin ones; those of other scripts are in packages beside it (`scripts`).
"""

from __future__ import annotations

import struct
import unicodedata
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from kitdocs.practice.isolates import FIRST_STRONG_ISOLATE, POP_ISOLATE
from kitdocs.practice.scripts import EXTRA, Script, installed_scripts, script_code, script_of_letter
from kitdocs.shipped import shipped_folder

FOLDER = shipped_folder("site_templates") / "fonts"
"""The typeface's files, one a style."""

_WINDOWS, _UNICODE_BMP = 3, 1


def font_folders() -> tuple[Path, ...]:
    """The folders of every typeface that can be used here, the handbook's own first."""
    return tuple(dict.fromkeys([FOLDER, *(script.folder for script in installed_scripts() if script.folder)]))


def more_families() -> tuple[str, ...]:
    """The names of the typefaces beside the handbook's own."""
    return tuple(dict.fromkeys(script.family for script in installed_scripts()))


def has_deep_letters(language: str) -> bool:
    """Whether the letters of a language reach far above and below a line of Latin ones."""
    return script_code(language) == "Arab"


def unprintable(text: str) -> list[str]:
    """The letters of a text that the typeface lacks, each once, in the order in which they stand there."""
    composed = unicodedata.normalize("NFC", text)
    return list(dict.fromkeys(letter for letter in composed if not printable(letter)))


def listed_letters(lacking: list[str]) -> str:
    """Return letters as a problem lists them; each with its number, for some look like others."""
    listed = ", ".join(f"'{letter}' (U+{ord(letter):04X})" for letter in lacking[:5])
    return f"{listed} and {len(lacking) - 5} more" if len(lacking) > 5 else listed


def letters_problem(lacking: list[str]) -> tuple[str, dict[str, Any]]:
    """Return the problem, by its name in ``words/errors.yaml``, that these letters make, with what it is to say.

    Where a package has them all, it is that they are not here yet.
    """
    scripts = {letter: script_of_letter(letter) for letter in lacking}
    missing = dict.fromkeys(script.name for script in scripts.values() if script and not script.folder)
    if missing and all(script and not script.folder for script in scripts.values()):
        values = {"letters": listed_letters(lacking), "scripts": " and ".join(missing), "extra": EXTRA}
        return "letters-of-script", values
    return "letters", {"letters": listed_letters(lacking)}


@cache
def printable(letter: str) -> bool:
    """Whether a typeface here has a letter, in one piece or as a letter and its accents. Blanks need no drawing."""
    if letter.isspace() or unicodedata.category(letter) in ("Zs", "Cf"):
        return True
    return is_letter(letter) or all(is_letter(part) for part in unicodedata.normalize("NFD", letter))


def is_letter(sign: str) -> bool:
    """Whether a typeface here has a letter in one piece, a blank too."""
    if ord(sign) in _letters() or sign in (FIRST_STRONG_ISOLATE, POP_ISOLATE):
        return True
    script = script_of_letter(sign)
    return script is not None and ord(sign) in _letters_of(script)


@cache
def _letters() -> frozenset[int]:
    """The code points that every style has."""
    return frozenset.intersection(*(frozenset(_mapped(path.read_bytes())) for path in sorted(FOLDER.glob("*.ttf"))))


@cache
def _letters_of(script: Script) -> frozenset[int]:
    """The code points of a script's upright typeface, which stands for an italic; none where it is not installed."""
    files = [path for path in sorted(script.folder.glob("*.ttf")) if "Italic" not in path.name] if script.folder else []
    return frozenset.intersection(*(frozenset(_mapped(path.read_bytes())) for path in files)) if files else frozenset()


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
