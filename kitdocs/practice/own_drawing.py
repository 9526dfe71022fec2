"""An instrument as the practice itself draws it."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnDrawing:
    """The working end of an instrument, 18 × 22 mm: an SVG that holds shapes alone, and the digest of what it shows."""

    svg: str = field(repr=False)
    digest: str
