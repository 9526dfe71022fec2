"""The items of a visit: its set, its add-ons, and the drawer pouches that are opened in it.

Luck decides, so that what lies together is used together:

- A *need* is met by the set, else by the first of the procedure's add-ons that holds it, else by the
  first pouch in the chair's drawer that holds it (as written).
- A *drawer pouch* is opened when it meets a need, with the largest share among the needs it meets.
- An *add-on* is taken with its own share.
- Either goes by the luck of its leading need, the first with the largest share among those it meets. When every
  visit has that need, or an add-on meets none, it goes by the last number of the visit's luck.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from kitdocs.planning.day.bookings import Booking, occasional
from kitdocs.planning.day.instants import seconds
from kitdocs.practice.model import Practice

Role = Literal["set", "add-on", "drawer"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemKind:
    """A set or a pouch. `size` is the cassette, or the size of pouch, that machines know it by."""

    id: str
    role: Role
    size: str

    @property
    def in_cassette(self) -> bool:
        return self.role == "set"


class Taken(NamedTuple):
    """A kind (by number) that a visit takes when `luck` number so-and-so is below `share`."""

    kind: int
    luck: int
    share: float


class DayItems(NamedTuple):
    """A day's items, as columns, in the order in which they come to receiving.

    That is by the end of the visit, then by its start, then by its chair; within a visit the set, its
    add-ons, then drawer pouches, as written. Seconds after midnight. `out` is when a set or add-on leaves the
    store and when a drawer pouch is opened; `visit` is a number in the day's bookings.
    """

    kind: list[int]
    visit: list[int]
    out: list[int]
    received: list[int]


class Takings:
    """The items that each procedure takes at each chair, worked out once for a practice."""

    def __init__(self, practice: Practice) -> None:
        self.kinds = tuple(_kinds(practice))
        self._setup = seconds(practice.room.setup)
        self._carry = seconds(practice.room.carry)
        number = {kind.id: n for n, kind in enumerate(self.kinds)}
        self._taken = {
            (procedure, chair): tuple(_taken(practice, procedure, chair, number))
            for procedure in practice.procedures
            for chair in practice.chairs
        }

    def of_day(self, bookings: Sequence[Booking]) -> DayItems:
        kinds: list[int] = []
        visits: list[int] = []
        outs: list[int] = []
        received: list[int] = []
        opened_at_chair = [kind.role == "drawer" for kind in self.kinds]
        for visit in sorted(range(len(bookings)), key=[b.end for b in bookings].__getitem__):
            start, end, chair, procedure, luck = bookings[visit]
            for kind, lucky, share in self._taken[procedure, chair]:
                if luck[lucky] < share:
                    kinds.append(kind)
                    visits.append(visit)
                    outs.append(start if opened_at_chair[kind] else start - self._setup)
                    received.append(end + self._carry)
        return DayItems(kinds, visits, outs, received)

    def mean_taken(self, procedure: str, chair: str) -> Mapping[str, float]:
        """Return how many of each kind, by id, a visit takes on average."""
        return {self.kinds[t.kind].id: t.share for t in self._taken[procedure, chair]}

    def in_use(self) -> frozenset[int]:
        """Return the numbers of the kinds that some visit takes."""
        return frozenset(t.kind for taken in self._taken.values() for t in taken)


def _kinds(practice: Practice) -> Iterator[ItemKind]:
    """Yield the kinds that can leave the store: what a procedure uses, and what is in a drawer."""
    procedures = practice.procedures.values()
    for id_, set_ in practice.sets.items():
        if any(p.set == id_ for p in procedures):
            yield ItemKind(id=id_, role="set", size=set_.cassette)
    for id_, pouch in practice.pouches.items():
        if pouch.kind == "add-on" and any(id_ in p.add_ons for p in procedures):
            yield ItemKind(id=id_, role="add-on", size=pouch.size)
        if pouch.kind == "drawer" and any(id_ in c.drawer for c in practice.chairs.values()):
            yield ItemKind(id=id_, role="drawer", size=pouch.size)


def _taken(practice: Practice, procedure: str, chair: str, number: Mapping[str, int]) -> Iterator[Taken]:
    record = practice.procedures[procedure]
    open_needs = [need for need in record.needs if need not in practice.sets[record.set].contents]
    order = occasional(record)
    spare = len(order)

    def met(pouch: str) -> tuple[int, float]:
        """Luck and share of the leading need; what is met here is met nowhere after."""
        here = [need for need in open_needs if need in practice.pouches[pouch].contents]
        open_needs[:] = [need for need in open_needs if need not in here]
        if not here:
            return spare, 0.0
        leading = max(here, key=lambda need: record.needs[need])
        share = record.needs[leading]
        return (order.index(leading) if share < 1 else spare), share

    yield Taken(number[record.set], spare, 1.0)
    for add_on, share in record.add_ons.items():
        yield Taken(number[add_on], met(add_on)[0], share)
    for pouch in practice.chairs[chair].drawer:
        luck, share = met(pouch)
        if share:
            yield Taken(number[pouch], luck, share)
