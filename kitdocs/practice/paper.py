"""The practice's paper, and the sheets of labels that it prints on."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Annotated

from pydantic import Field, StrictInt

from kitdocs.practice.record import Record
from kitdocs.practice.values import Millimetres, MillimetresOrNone, Shift

#: Width and height in mm. ISO 216 A4; US Letter is 8.5 × 11 in.
PAPER_MM: Mapping[str, tuple[float, float]] = MappingProxyType({"a4": (210.0, 297.0), "letter": (215.9, 279.4)})


class Offset(Record):
    """How far a printer must be corrected: what it puts too far left and too high moves right and down."""

    right: Shift = 0.0
    down: Shift = 0.0


class Labels(Record):
    """A sheet of labels of the practice's paper size, as its box states it: a grid of equal labels."""

    columns: Annotated[StrictInt, Field(ge=1, le=12)]
    rows: Annotated[StrictInt, Field(ge=1, le=40)]
    width: Annotated[Millimetres, Field(examples=["2.625 in"])]
    """Of one label."""
    height: Annotated[Millimetres, Field(examples=["1 in"])]
    """Of one label."""
    left: MillimetresOrNone
    """From the left edge of the sheet to the first label."""
    top: MillimetresOrNone
    """From the upper edge of the sheet to the first label."""
    across: Millimetres | None = None
    """From the left edge of a label to that of the next one beside it. Left out: the labels touch."""
    down: Millimetres | None = None
    """From the upper edge of a label to that of the next one below. Left out: the labels touch."""
    offset: Offset = Offset()

    @property
    def pitch_mm(self) -> tuple[float, float]:
        """From one label to the next, across and down."""
        return self.across or self.width, self.down or self.height
