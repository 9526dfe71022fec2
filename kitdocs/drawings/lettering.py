"""Widths of words in Atkinson Hyperlegible, so that a drawing can leave room for them.

The advances were read from the typeface's own tables, rounded to 10 thousandths of the font size;
characters not listed count as 0.6.
"""

from __future__ import annotations

from math import fsum

PT = 25.4 / 72
"""One point in millimetres."""
SMALL = 7 * PT
BODY = 9 * PT
CAP_HEIGHT = 0.668
"""Height of capitals and figures as a share of the font size."""

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


def shortened(words: str, size: float, room: float, *, bold: bool = False) -> str:
    """Return the words, or as many letters of them as fit the room, with an ellipsis."""
    if text_width(words, size, bold=bold) <= room:
        return words
    kept = words
    while kept and text_width(kept + "…", size, bold=bold) > room:
        kept = kept[:-1]
    return kept.rstrip() + "…" if kept else ""


def in_lines(words: str, size: float, room: float, *, lines: int) -> tuple[str, ...]:
    """Return the words in at most so many lines that fit the room; the last is shortened where they are too long."""
    found: list[str] = []
    line = ""
    rest = words.split()
    while rest:
        longer = f"{line} {rest[0]}".strip()
        if line and text_width(longer, size) > room:
            if len(found) == lines - 1:
                return (*found, shortened(" ".join([line, *rest]), size, room))
            found.append(shortened(line, size, room))
            line = ""
        else:
            line = longer
            rest.pop(0)
    return (*found, shortened(line, size, room))
