"""Inventory of instruments: what there is, how many, how long, what it costs."""

from __future__ import annotations

from collections.abc import Sequence

from kitdocs.importing import columns
from kitdocs.importing.found import Found, KindOfList, Known
from kitdocs.importing.grids import Grid
from kitdocs.importing.stocktaking import Stocktaking


def score(grid: Grid, known: Known) -> float:
    """Return how surely a sheet is an inventory of instruments."""
    telling = ("stock", "length", "price", "reference", "place", "kind", "in_repair")
    return columns.score("inventory", grid, known, ("name",), telling)


def take(grids: Sequence[Grid], known: Known) -> Found:
    """Return the instruments and the stock of one or more sheets, added up."""
    return Stocktaking(known).found(grids)


KIND = KindOfList(name="inventory", score=score, take=take)
