"""Widths of words in Atkinson Hyperlegible, so that a drawing can leave room for them.

The advances were read from the typeface's own tables, rounded to 10 thousandths of the font size;
characters not listed count as 0.6.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import fsum

PT = 25.4 / 72
"""One point in millimetres."""
SMALL = 7 * PT
BODY = 9 * PT
CAP_HEIGHT = 0.668
"""Height of capitals and figures as a share of the font size."""
LEADING = 1.15
"""From one line to the next, as a share of the font size."""

_ADVANCES = {
    16: "'",
    20: ",.:;",
    23: "|",
    24: "l·",
    25: "j",
    28: " !iíì",
    30: '"()',
    31: "f",
    32: "[]t{}",
    34: "r",
    37: "-",
    38: "/\\",
    40: "1_",
    41: "I",
    43: "*y",
    44: "v",
    46: "xz",
    47: "s",
    48: "–",
    49: "k",
    50: "cç",
    51: "7J",
    52: "?",
    53: "aáàä",
    54: "Lueéèüúù",
    55: "2<>F^hnoñóòö",
    56: "Tdg~",
    57: "3Ebp",
    58: "5q",
    59: "$V",
    60: "+69=PSYß",
    61: "4Z",
    62: "8BRX",
    63: "AKÁ",
    65: "0w",
    66: "#C",
    67: "D",
    69: "HNUÑÚ",
    70: "&…",
    71: "G",
    73: "OÓ",
    75: "Q",
    78: "@",
    82: "M",
    84: "Wm",
    93: "%",
}
_WIDTHS = {letter: hundredths / 100 for hundredths, letters in _ADVANCES.items() for letter in letters}
_BOLD = 1.055
"""Bold runs this much wider, on the average of the alphabet."""


def text_width(words: str, size: float, *, bold: bool = False) -> float:
    """Return the width in the unit of `size`, right within some 3 %.

    Exactly added up, since `sum` is not alike in every Python.
    """
    return fsum(_WIDTHS.get(letter, 0.6) for letter in words) * size * (_BOLD if bold else 1.0)


def in_lines(words: str, size: float, room: float, *, bold: bool = False) -> tuple[str, ...]:
    """Return all the words, in as many lines as they take: a line ends between words, else behind a word's own hyphen,
    and a word that is wider than the room is parted with a hyphen."""
    found: list[str] = []
    line = ""
    for word in words.split():
        longer = f"{line} {word}".strip()
        if text_width(longer, size, bold=bold) <= room:
            line = longer
            continue
        found += [line] if line else []
        *whole, line = _parted(word, size, room, bold=bold)
        found += whole
    return (*found, line)


def fitted(
    words: str, sizes: Sequence[float], room: float, height: float, *, bold: bool = False
) -> tuple[float, tuple[str, ...]]:
    """Return the largest of the sizes at which the words have room with all of them whole, else the largest at which
    they have room with some parted, else the last one; and their lines."""
    set_in = [(size, in_lines(words, size, room, bold=bold)) for size in sizes]
    low_enough = [(size, lines) for size, lines in set_in if len(lines) * size * LEADING <= height]
    whole = (each for each in low_enough if all(text_width(word, each[0], bold=bold) <= room for word in words.split()))
    return next(whole, (*low_enough, set_in[-1])[0])


def _parted(word: str, size: float, room: float, *, bold: bool) -> Iterator[str]:
    """Yield a word in parts that fit the room, each as long as can be; behind its own hyphens where it has some."""
    while text_width(word, size, bold=bold) > room and len(word) > 1:
        most = next((n for n in range(len(word) - 1, 1, -1) if text_width(f"{word[:n]}-", size, bold=bold) <= room), 1)
        own = word.rfind("-", 1, most + 1) + 1
        yield word[:own] if own else f"{word[:most]}-"
        word = word[own or most :]
    yield word
