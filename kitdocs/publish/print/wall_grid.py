"""How many wall cards are on a sheet of paper, and where they are cut out of it."""

from __future__ import annotations

from dataclasses import dataclass

from kitdocs.publish.print.paper_use import Box, PaperUse

#: The outer millimetres that office printers leave white.
EDGE_MM = 6.0

#: Ink beyond the trim line on every side of a card, mm; twice as much lies between two cards.
BLEED_MM = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WallGrid:
    """Cards in `columns` and `rows` on a sheet of `width` and `height`, which lies when that holds more. All in mm."""

    columns: int
    rows: int
    width: float
    height: float
    card: tuple[float, float]

    @property
    def trim(self) -> Box:
        """The rectangle of the outermost cuts, from the lower left corner of the sheet, mm."""
        across, down = (_room_of(n, own) for n, own in zip((self.columns, self.rows), self.card, strict=True))
        left, bottom = (self.width - across) / 2, (self.height - down) / 2
        return left, bottom, left + across, bottom + down

    @property
    def use(self) -> PaperUse:
        """How the sheets are used: a back on every front, and a cut."""
        return PaperUse(both_sides=True, trim=self.trim, bleed=BLEED_MM)


def wall_grid(paper: tuple[float, float], card: tuple[float, float]) -> WallGrid:
    """Return the grid for cards of a size on paper of a size, both as width and height in mm."""
    grids = [_grid(paper, card), _grid(paper[::-1], card)]
    return max(grids, key=lambda grid: grid.columns * grid.rows)  # upright where both hold as many


def _grid(paper: tuple[float, float], card: tuple[float, float]) -> WallGrid:
    columns, rows = (_many(room, own) for room, own in zip(paper, card, strict=True))
    return WallGrid(columns=columns, rows=rows, width=paper[0], height=paper[1], card=card)


def _many(room: float, own: float) -> int:
    gutter = 2 * BLEED_MM
    return int((room - 2 * EDGE_MM + gutter) / (own + gutter) + 0.0001)


def _room_of(many: int, own: float) -> float:
    return many * own + (many - 1) * 2 * BLEED_MM
