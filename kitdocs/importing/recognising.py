"""Which kind of list a sheet is. Each kind is a module in `importing/kinds/` that nothing else needs to name."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from kitdocs.importing import kinds as _kinds
from kitdocs.importing.found import KindOfList, Known
from kitdocs.importing.grids import Grid, read_grids

#: A sheet is taken for a kind from this score on, when no other kind comes near. Ours; tests/importing holds it.
SURE = 0.5
_AHEAD = 0.1


@cache
def kinds_of_list() -> tuple[KindOfList, ...]:
    """Return every kind of list that can be brought in, by name."""
    names = sorted(found.name for found in pkgutil.iter_modules(_kinds.__path__))
    modules = (importlib.import_module(f"{_kinds.__name__}.{name}") for name in names)
    return tuple(module.KIND for module in modules)


def read_file(path: Path) -> tuple[Grid, ...]:
    """Return the sheets of a file of any kind that can be read. Raises `UnreadableError`."""
    for kind in kinds_of_list():
        if reader := kind.reads.get(path.suffix.lower()):
            return reader(path)
    return read_grids(path)


@dataclass(frozen=True, slots=True)
class RecognisedList:
    """Sheets of one file with the kind of list they are; None where that is unclear."""

    kind: KindOfList | None
    grids: tuple[Grid, ...]


def recognise(grid: Grid, known: Known) -> KindOfList | None:
    """Return which kind of list a sheet is; None when no kind fits, or two fit about as well."""
    scores = sorted(((kind.score(grid, known), kind.name) for kind in kinds_of_list()), reverse=True)
    best = scores[0]
    if best[0] < SURE or (len(scores) > 1 and best[0] - scores[1][0] < _AHEAD):
        return None
    return next(kind for kind in kinds_of_list() if kind.name == best[1])


def recognise_file(grids: Sequence[Grid], known: Known) -> tuple[RecognisedList, ...]:
    """Return the lists of a file: one of all its sheets where one of them says so, else one of each."""
    found = [(recognise(grid, known), grid) for grid in grids]
    whole = next((kind for kind, _ in found if kind and kind.whole_file), None)
    if whole:
        return (RecognisedList(whole, tuple(grids)),)
    return tuple(RecognisedList(kind, (grid,)) for kind, grid in found)
