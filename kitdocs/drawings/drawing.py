"""The result of every drawing function, and the few SVG elements that drawings are made of."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

from kitdocs.drawings.lettering import CAP_HEIGHT

FONT = "'Atkinson Hyperlegible', sans-serif"
INK = "#1b1b1d"
METAL = "#e9e9ea"
SHADE = "#d0d0d3"
GRIP = "#8f8f94"
WHITE = "#ffffff"
FAINT = "#6a6a70"
"""The grey for what only accompanies: 5.3:1 on white, so that it still reads as text."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A complete stand-alone SVG picture. The view box is in millimetres, so one unit is 1 mm in print."""

    svg: str
    width_mm: float
    height_mm: float


def number(value: float) -> str:
    """Return a coordinate with at most three decimals, the same on every machine, and never "-0"."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def document(elements: Iterable[str], *, width_mm: float, height_mm: float) -> Drawing:
    """Draw elements, back to front, as one drawing of the stated size."""
    width, height = number(width_mm), number(height_mm)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}">{"".join(elements)}</svg>'
    )
    return Drawing(svg=svg, width_mm=width_mm, height_mm=height_mm)


def text(
    words: str,
    x: float,
    y: float,
    *,
    size: float,
    anchor: str = "start",
    bold: bool = False,
    colour: str = INK,
    centred: bool = False,
) -> str:
    """Return text on the base line at (x, y); `size` is the font size in millimetres.

    `centred`: the middle of its capitals is at y.
    """
    base = y + size * CAP_HEIGHT / 2 if centred else y
    weight = ' font-weight="700"' if bold else ""
    where = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return (
        f'<text x="{number(x)}" y="{number(base)}" font-family="{FONT}" font-size="{number(size)}"'
        f'{weight}{where} fill="{colour}">{escape(_in_order(printable(words)), quote=False)}</text>'
    )


def _in_order(words: str) -> str:
    """Return words from right to left in their own order: a drawing's lines begin at the left (Unicode UAX 9, FSI)."""
    if not any(unicodedata.bidirectional(sign) in ("R", "AL") for sign in words):
        return words
    # Vowel points, which are not usual, would stand in a PDF as letters that nobody can read out.
    plain = "".join(sign for sign in unicodedata.normalize("NFC", words) if unicodedata.category(sign) != "Mn")
    return f"\u2068{plain}\u2069"


def printable(words: str) -> str:
    """Return the words without the control characters that XML 1.0 (section 2.2) does not allow."""
    return "".join(
        c for c in words if c in "\t\n\r" or (c >= " " and c not in "\ufffe\uffff" and not "\ud800" <= c <= "\udfff")
    )


def rect(
    x: float,
    y: float,
    width: float,
    height: float,
    *,
    fill: str = "none",
    stroke: str = INK,
    line: float = 0.0,
    radius: float = 0.0,
    dash: str = "",
) -> str:
    """Return an upright rectangle; `line` is its stroke width, 0 for none."""
    corner = f' rx="{number(radius)}"' if radius else ""
    edge = f' stroke="{stroke}" stroke-width="{number(line)}"' if line else ""
    edge += f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<rect x="{number(x)}" y="{number(y)}" width="{number(width)}" height="{number(height)}"'
        f'{corner} fill="{fill}"{edge}/>'
    )


def straight(x1: float, y1: float, x2: float, y2: float, *, line: float, stroke: str = INK, dash: str = "") -> str:
    """Return a straight line between two points."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<line x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}"'
        f' stroke="{stroke}" stroke-width="{number(line)}" stroke-linecap="round"{dashes}/>'
    )
