"""QR codes (ISO/IEC 18004) as one vector path, with the quiet zone the standard asks for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from typing import Literal

from qrcode import QRCode, constants
from qrcode.exceptions import DataOverflowError

from kitdocs.drawings.drawing import Drawing, document, rect

Level = Literal["L", "M", "Q", "H"]
QUIET = 4
"""Modules of white on every side. Source: ISO/IEC 18004 (tests/SOURCES.md)."""
_LEVELS: dict[Level, int] = {
    "L": constants.ERROR_CORRECT_L,
    "M": constants.ERROR_CORRECT_M,
    "Q": constants.ERROR_CORRECT_Q,
    "H": constants.ERROR_CORRECT_H,
}


class PayloadTooLong(ValueError):  # noqa: N818  (names what is wrong, as the other problems do)
    """No QR symbol, not even version 40, holds this text at this level."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CodeDrawing(Drawing):
    """A QR code. The printed side is `width_mm`, quiet zone included."""

    version: int
    """1 to 40."""
    modules: int
    """Modules along one side, quiet zone included: 4 × version + 17 + 8."""


def smallest_version(payload: str, *, level: Level = "Q") -> int:
    """Return the version of the smallest symbol that holds the payload at exactly this level. Raises PayloadTooLong."""
    version: int = _smallest(payload, level).version
    return version


@lru_cache(maxsize=1024)  # choosing the mask is slow, and in a long run most cards stay as they are
def code(payload: str, *, level: Level = "Q", side_mm: float = 25.0) -> CodeDrawing:
    """Return the smallest symbol that holds the payload at exactly this level, `side_mm` wide with its quiet zone.

    Raises PayloadTooLong.
    """
    symbol = _smallest(payload, level)
    symbol.make(fit=False)
    modules = len(symbol.modules) + 2 * QUIET
    module = side_mm / modules
    drawing = document(
        [
            rect(0, 0, side_mm, side_mm, fill="#ffffff"),
            f'<path transform="scale({module:.6f})" shape-rendering="crispEdges" fill="#000000"'
            f' d="{_runs([[bool(m) for m in row] for row in symbol.modules])}"/>',
        ],
        width_mm=side_mm,
        height_mm=side_mm,
    )
    return CodeDrawing(
        svg=drawing.svg,
        width_mm=side_mm,
        height_mm=side_mm,
        version=symbol.version,
        modules=modules,
    )


def room_for_code(side_mm: float) -> Drawing:
    """Return the white square on which a code stands: what takes its place where only its room counts."""
    return document([rect(0, 0, side_mm, side_mm, fill="#ffffff")], width_mm=side_mm, height_mm=side_mm)


def _smallest(payload: str, level: Level) -> QRCode:  # type: ignore[type-arg]
    symbol = QRCode(version=None, error_correction=_LEVELS[level], border=0)
    symbol.add_data(payload)
    try:
        symbol.best_fit()
    except (DataOverflowError, ValueError) as reason:
        size = len(payload.encode())
        message = f"{size} bytes do not fit any QR code at level {level}"
        raise PayloadTooLong(message) from reason
    return symbol


def _runs(rows: list[list[bool]]) -> str:
    """Return each unbroken run of dark modules in a row as one rectangle."""
    found = []
    for y, row in enumerate(rows):
        x = QUIET
        for is_dark, run in groupby(row):
            width = len(list(run))
            if is_dark:
                found.append(f"M{x} {y + QUIET}h{width}v1h-{width}z")
            x += width
    return "".join(found)
