"""How a kind of cassette or pouch looks in pictures of loads: alike in each of them, and other than every other kind.

Cassettes have corners, pouches round ends. Kinds are as dark as can be told apart in grey, and none as white as a free
place, which is dashed; from the fourth on they have a line along the middle, too.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kitdocs.drawings.drawing import INK, WHITE, rect, straight

DARK, MIDDLE, LIGHT = "#55555a", "#a3a3a8", "#dfdfe2"
_FILLS = (DARK, MIDDLE, LIGHT)
_FREE = "0.9 0.7"
SWATCH_MM = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PackLook:
    """A kind: the `number` of it among the cassettes or among the pouches, counted from 0, the largest first."""

    number: int
    pouch: bool = False

    @property
    def fill(self) -> str:
        return _FILLS[self.number % len(_FILLS)]

    @property
    def lined(self) -> bool:
        return self.number // len(_FILLS) % 2 == 1


def pack(
    look: PackLook, x: float, y: float, width: float, height: float, *, free: bool = False, line: float = 0.3
) -> Iterator[str]:
    """Yield a pack in a box; `free` is the place for one."""
    radius = min(width, height) / 2 if look.pouch else 0.0
    if free:
        yield rect(x, y, width, height, fill=WHITE, line=line, radius=radius, dash=_FREE)
        return
    yield rect(x, y, width, height, fill=look.fill, line=line, radius=radius)
    if look.lined:
        ink = WHITE if look.fill == DARK else INK
        across, down, short = x + width / 2, y + height / 2, min(width, height) / 2
        reach_x, reach_y = width / 2 - short, height / 2 - short
        yield straight(across - reach_x, down - reach_y, across + reach_x, down + reach_y, line=line, stroke=ink)


def swatch(look: PackLook, x: float, middle: float, *, free: bool = False) -> Iterator[str]:
    """Yield a sign for a kind, 3 mm wide, in front of its name."""
    high = 1.6 if look.pouch else 2.6
    yield from pack(look, x, middle - high / 2, SWATCH_MM, high, free=free)
