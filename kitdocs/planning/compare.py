"""Two plans side by side: which figures a change moves, and which it leaves alone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kitdocs.planning.figure import Figure

Number = int | float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A figure before and after; None where it is not in one of the plans."""

    id: str
    name: str
    unit: str
    section: str
    before: Number | None
    after: Number | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Every figure of two plans, in the order of the plan; those that only the first has come last."""

    changes: tuple[Change, ...]

    @property
    def changed(self) -> tuple[Change, ...]:
        return tuple(change for change in self.changes if change.before != change.after)

    @property
    def unchanged(self) -> int:
        """How many are equal."""
        return len(self.changes) - len(self.changed)


def compare(before: Iterable[Figure], after: Iterable[Figure]) -> Comparison:
    """The figures of two plans by their id. Equal figures may still have another reason."""
    was, is_ = ({figure.id: figure for figure in figures} for figures in (before, after))
    return Comparison(changes=tuple(_change(was.get(id_), is_.get(id_)) for id_ in dict.fromkeys((*is_, *was))))


def _change(before: Figure | None, after: Figure | None) -> Change:
    told = after or before
    assert told is not None
    return Change(
        id=told.id,
        name=told.name,
        unit=told.unit,
        section=told.section,
        before=before.value if before else None,
        after=after.value if after else None,
    )
