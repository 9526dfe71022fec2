"""Two plans side by side: the figures that a change moves, and how many it leaves alone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kitdocs.planning.buying.design_figures import Figures
from kitdocs.planning.figure import Figure, Number, Unit
from kitdocs.practice.message import Message, message


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A figure before and after; None where it is not in one of the plans."""

    id: str
    name: Message
    unit: Unit
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


def compare(before: Iterable[Figure], after: Iterable[Figure], first: Iterable[Change] = ()) -> Comparison:
    """Pair the figures of two plans by id, `first` before them. Equal figures may still have different reasons."""
    old, new = ({figure.id: figure for figure in figures} for figures in (before, after))
    paired = (_change(old.get(id_), new.get(id_)) for id_ in dict.fromkeys((*new, *old)))
    return Comparison(changes=(*first, *paired))


def compare_designs(before: Figures, after: Figures) -> tuple[Change, ...]:
    """Return what designs are compared by and no figure of a plan says."""
    return tuple(
        Change(
            id=f"design.{name}",
            name=message(f"propose.compared.{name}"),
            unit="min" if name == "hands" else "",
            section="design",
            before=round(getattr(before, name), 1),
            after=round(getattr(after, name), 1),
        )
        for name in ("walks", "openings", "kinds", "loads", "hands")
    )


def _change(before: Figure | None, after: Figure | None) -> Change:
    figure = after or before
    assert figure is not None
    return Change(
        id=figure.id,
        name=figure.name,
        unit=figure.unit,
        section=figure.section,
        before=before.value if before else None,
        after=after.value if after else None,
    )
