"""A JPEG file read piece by piece, by its published form."""

from __future__ import annotations


def segments(jpeg: bytes) -> list[int]:
    """The markers before the picture's data (ITU-T T.81, annex B)."""
    found, at = [], 2
    while found[-1:] != [0xDA]:
        assert jpeg[at] == 0xFF
        found.append(jpeg[at + 1])
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")
    return found
