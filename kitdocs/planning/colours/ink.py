"""Text on a colour, and a colour on white paper.

Source: W3C, Web Content Accessibility Guidelines 2.2, definitions of *relative luminance* and *contrast ratio*.
Ratios are not rounded: 4.499 is less than 4.5.
"""

from __future__ import annotations

from typing import Literal

Ink = Literal["#000000", "#ffffff"]

#: A colour with less contrast than this against white paper gets an outline. Ours, no source.
OUTLINE_BELOW = 1.5


def luminance(hex_: str) -> float:
    """Return the relative luminance of a colour as ``#00766c``: 0 for black, 1 for white."""
    red, green, blue = (_linear(int(hex_[i : i + 2], 16) / 255) for i in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, from 1 to 21."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def ink_on(hex_: str) -> Ink:
    """Black or white, whichever reads better on a colour. One of the two always reaches 4.58:1."""
    return "#000000" if contrast(hex_, "#000000") >= contrast(hex_, "#ffffff") else "#ffffff"


def needs_outline(hex_: str) -> bool:
    """Whether a colour is too pale to stand against white paper by itself."""
    return contrast(hex_, "#ffffff") < OUTLINE_BELOW


def _linear(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
