"""The question that a design answers: what each procedure needs, how often, and what is kept or ruled out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import fsum
from statistics import median

from kitdocs.planning.day.kept_visits import visits_per_day
from kitdocs.practice.message import Value, message
from kitdocs.practice.model import Practice
from kitdocs.practice.needs import Need, share_of_any

#: Add-on pouches that are laid on one visit's set at most, when nobody says otherwise. Common practice, no source: with
#: three, something is forgotten, and the tray holds no more.
POUCHES = 2


@dataclass(frozen=True, kw_only=True)
class Demand:
    """What a design has to do. `practice` is read without its design (`reading/undesigned.py`)."""

    practice: Practice
    together: tuple[frozenset[str], ...] = ()
    """Instruments that lie in one set or pouch wherever one of them lies."""
    apart: tuple[frozenset[str], ...] = ()
    """Instruments that never lie in one set or pouch, two by two."""
    pouches: int = POUCHES
    """Add-on pouches that a visit takes at most. Pouches in drawers do not count: they are opened when asked for."""
    as_written: Practice | None = None
    """The practice with the prices that it states, where they are too few and what is to be bought is counted in pieces
    instead (`counted_in_pieces`)."""
    wants: Mapping[str, Mapping[str, Need]] = field(init=False)
    """By procedure, then by instrument, without what is used once; only procedures that have visits."""
    visits: Mapping[str, float] = field(init=False)
    """A busy day, by procedure."""

    def __post_init__(self) -> None:
        practice = self.practice
        visits = {p: n for p, n in visits_per_day(practice).items() if n > 0}
        again = {i for i, instrument in practice.instruments.items() if not instrument.single_use}
        wants = {
            p: {i: need for i, need in practice.procedures[p].needs.items() if i in again} for p in practice.procedures
        }
        object.__setattr__(self, "visits", {p: visits.get(p, 0.0) for p in practice.procedures})
        object.__setattr__(self, "wants", wants)

    @property
    def in_pieces(self) -> bool:
        return self.as_written is not None

    @property
    def bought_in(self) -> Value:
        """The unit of what is to be bought: the currency, or pieces."""
        return message("propose.pieces") if self.in_pieces else self.practice.settings.currency

    @cached_property
    def procedures(self) -> tuple[str, ...]:
        return tuple(self.wants)

    @cached_property
    def place(self) -> Mapping[str, int]:
        """Where each instrument and procedure stands in its file."""
        return {id_: n for file in (self.practice.instruments, self.practice.procedures) for n, id_ in enumerate(file)}

    @cached_property
    def instruments(self) -> tuple[str, ...]:
        """What some procedure wants, in the order of instruments.yaml."""
        wanted = {i for wants in self.wants.values() for i in wants}
        return tuple(i for i in self.practice.instruments if i in wanted)

    @cached_property
    def mirrors(self) -> frozenset[str]:
        """The mouth mirrors that procedures want: one lies in every set."""
        return frozenset(i for i in self.instruments if self.practice.instruments[i].drawing == "mouth-mirror")

    @cached_property
    def piece(self) -> float:
        """What a usual instrument costs: the measure of what other things are worth."""
        prices = [float(self.practice.instruments[i].price or 0) for i in self.instruments]
        return median(prices) if any(prices) else 1.0

    @cached_property
    def blocks(self) -> Mapping[str, frozenset[str]]:
        """By instrument, itself and what it must lie with."""
        found = {i: frozenset({i}) for i in self.instruments}
        for group in self.together:
            joined = frozenset().union(*(found[i] for i in group if i in found))
            found |= dict.fromkeys(joined, joined)
        return found

    def in_order(self, instruments: Iterable[str]) -> tuple[str, ...]:
        """Return instruments in the order of instruments.yaml."""
        return tuple(sorted(set(instruments), key=self.place.__getitem__))

    def count(self, instrument: str, procedures: Iterable[str]) -> int:
        """Return how many of an instrument a visit of one of the procedures wants at most, at least 1."""
        return max((self.wants[p][instrument].count for p in procedures if instrument in self.wants[p]), default=1)

    def pieces(self, contents: Iterable[str], procedures: Sequence[str]) -> tuple[str, ...]:
        """Return what lies in a set or pouch for these procedures, each instrument as often as one of them wants."""
        held = self.in_order(contents)
        if not self._several:
            return held
        return tuple(i for i in held for _ in range(self.count(i, procedures)))

    @cached_property
    def _several(self) -> bool:
        """Whether any visit wants more than one of anything."""
        return any(want.count > 1 for wants in self.wants.values() for want in wants.values())

    def rate(self, procedures: Iterable[str]) -> float:
        """Return the visits of these procedures, a busy day."""
        return fsum(self.visits[p] for p in procedures)

    def share(self, procedure: str, contents: Iterable[str]) -> float:
        """Return the share of these visits that want at least one of the instruments, counted as the plan counts it."""
        return share_of_any(self.wants[procedure], contents)
