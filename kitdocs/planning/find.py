"""Finding figures by what a person types: a figure's id, or the id of the thing it is about."""

from __future__ import annotations

import difflib
from collections.abc import Sequence

from kitdocs.planning.figure import Figure


def figures_about(figures: Sequence[Figure], wanted: str) -> tuple[Figure, ...]:
    """Return the figure of that id; else all whose id has it among its parts: ``core`` finds ``stock.core`` and
    ``fit.core``.

    Several parts must stand together and in order: ``par.teal`` finds ``par.teal.bends``.
    """
    exact = tuple(figure for figure in figures if figure.id == wanted)
    parts = wanted.split(".")
    return exact or tuple(figure for figure in figures if _within(parts, figure.id.split(".")))


def nearest_ids(figures: Sequence[Figure], wanted: str, most: int = 5) -> tuple[str, ...]:
    """Return the ids, of figures and of the things they are about, that look most like what was typed."""
    ids = [figure.id for figure in figures]
    parts = [part for id_ in ids for part in id_.split(".")]
    return tuple(difflib.get_close_matches(wanted, dict.fromkeys((*ids, *parts)), n=most, cutoff=0.5))


def _within(wanted: Sequence[str], parts: Sequence[str]) -> bool:
    return any(parts[n : n + len(wanted)] == wanted for n in range(len(parts) - len(wanted) + 1))
