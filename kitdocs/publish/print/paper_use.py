"""How the sheets of a document are used on paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

#: Left, bottom, right and top in mm, from the lower left corner of a sheet.
Box: TypeAlias = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperUse:
    """Whether sheets are printed on both sides, and, where they are cut, at which box.

    `bleed` is how far ink goes beyond the box, mm.
    """

    both_sides: bool = False
    trim: Box | None = None
    bleed: float = 0.0


#: A card or sheet that is taken by itself has no other on its back.
ONE_SIDED = PaperUse()
