"""A random number by what it is for: nothing else moves it, no order and no count."""

from __future__ import annotations

from hashlib import shake_128


def uniform(*purpose: int | str) -> float:
    """Return a number from 0 up to 1: the first 4 bytes of SHAKE-128 (FIPS 202) of the purpose, lowest first, ÷ 2³².

    The purpose is written with a stroke between its parts, as "1/run again/sterilize/17/2".
    """
    text = "/".join(map(str, purpose))
    return int.from_bytes(shake_128(text.encode()).digest(4), "little") / 2**32
