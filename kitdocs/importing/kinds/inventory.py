"""Inventory of instruments: what there is, how many, how long, what it costs."""

from __future__ import annotations

from collections.abc import Sequence

from kitdocs.importing import columns
from kitdocs.importing.found import Found, KindOfList, Known
from kitdocs.importing.grids import Grid
from kitdocs.importing.names import match_name
from kitdocs.importing.stocktaking import Stocktaking

_KNOWN = 1 / 3


def score(grid: Grid, known: Known) -> float:
    """Return how surely a sheet is an inventory of instruments."""
    found = columns.head("inventory", grid, known)
    if found and "name" in found.columns:
        names = [row[found.columns["name"] - 1].text for row in found.lines(grid)]
        if not _speak_of_the_trade([name for name in names if name]):
            return 0.0
    telling = ("stock", "length", "price", "reference", "place", "kind", "in_repair")
    return columns.score("inventory", grid, known, ("name",), telling)


def _speak_of_the_trade(names: Sequence[str]) -> bool:
    """Whether a third of the names are known, or nearly: of a list of people, none is."""
    matches = [match_name(name) for name in names]
    return sum(bool(match.kind or match.is_none) for match in matches) >= _KNOWN * len(matches)


def take(grids: Sequence[Grid], known: Known) -> Found:
    """Return the instruments and the stock of one or more sheets, added up."""
    return Stocktaking(known).found(grids)


KIND = KindOfList(name="inventory", score=score, take=take)
