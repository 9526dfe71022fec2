"""Random numbers drawn by what they are for, so that nothing else moves them.

A number belongs to a *purpose*, as the turn of an archwire change, to a *row*, as the third such visit, and to a day.
It is the word 32 × row + (day mod 32), from 0 on, of SHAKE-128 (FIPS 202) of the text "seed/day div 32/purpose": words
of 4 bytes, the lowest first. As a share from 0 up to 1 it is that word ÷ 2³². No number is taken from a sequence: what
is drawn for one purpose depends on no other, on no order and on no count.

What is drawn once in a while has a number of its own, `uniform`, the first word of its whole purpose.

SOURCES: Salmon 2011; SOURCES: FIPS 202.
"""

from __future__ import annotations

from hashlib import shake_128
from struct import unpack

BITS = 32
WORDS: int = 2**BITS
"""How many values a number can have."""

DAYS = 32
"""How many days are drawn at once: the numbers of a block."""

_SHARE = 1 / WORDS


def words(seed: int, block: int, purpose: str, rows: int) -> tuple[int, ...]:
    """Return the numbers of a purpose in a block, for the first `rows` rows, as whole numbers below `WORDS`.

    Those of a row follow each other, day by day, so that those of day n are every 32nd from n mod 32 on.
    """
    count = rows * DAYS
    return unpack(f"<{count}I", shake_128(f"{seed}/{block}/{purpose}".encode()).digest(4 * count))


def shares(seed: int, block: int, purpose: str, rows: int) -> tuple[float, ...]:
    """Return the same numbers as shares, from 0 up to 1."""
    return tuple(map(_SHARE.__mul__, words(seed, block, purpose, rows)))


def uniform(*purpose: int | str) -> float:
    """Return a number from 0 up to 1: the first word of SHAKE-128 of the purpose, ÷ 2³².

    The purpose is written with a stroke between its parts, as "1/run again/sterilize/17/2".
    """
    text = "/".join(map(str, purpose))
    return int.from_bytes(shake_128(text.encode()).digest(4), "little") * _SHARE
