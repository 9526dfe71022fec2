"""The plan's own judgement of a design: the same busy days and luck for all of them (common random numbers)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil
from types import MappingProxyType

from kitdocs.planning.buying.design_figures import Figures, figures_of
from kitdocs.planning.day.run import BusyDays, busy_days, drawn_days
from kitdocs.planning.day.visit import Booking
from kitdocs.practice.model import Chair, InstrumentSet, Pouch, Practice
from kitdocs.practice.problems import PracticeError
from kitdocs.practice.values import Text
from kitdocs.proposing.demand import Demand
from kitdocs.proposing.design import Design, PouchKind, SetKind
from kitdocs.proposing.packing import Packing
from kitdocs.tasks import Each, one_by_one


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """What one of each is worth, in the practice's currency, beside the money that is spent at once."""

    walk: float
    opening: float
    kind: float
    load: float
    hand: float
    """A minute of work by hand."""
    piece: float
    """An instrument that is opened, cleaned and packed again."""
    minute: float
    """A minute later that the day ends."""

    def score(self, figures: Figures) -> float:
        """Return what a design costs in all; less is better."""
        return (
            float(figures.money)
            + self.walk * figures.walks
            + self.opening * figures.openings
            + self.kind * figures.kinds
            + self.load * figures.loads
            + self.hand * figures.hands
            + self.piece * figures.handled
            + self.minute * figures.ends
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """The ids of a design's sets and pouches, in the order in which the design has them, with what else is written."""

    sets: Mapping[str, InstrumentSet]
    pouches: Mapping[str, Pouch]


#: A share of visits is written in tenths of a percent, as nobody knows it better. Rounded up, it covers each need.
_PARTS = 1000


@dataclass(frozen=True, slots=True)
class _Court:
    """What is the same for every design that is judged."""

    packing: Packing
    bookings: Sequence[Sequence[Booking]]
    seed: int

    def run(self, practice: Practice) -> BusyDays:
        return busy_days(practice, seed=self.seed, bookings=self.bookings, bands=False)


class Judge:
    """Runs designs on the same first days. What was judged once is known. `each` says where several are run."""

    def __init__(self, demand: Demand, *, days: int, seed: int = 1, each: Each = one_by_one) -> None:
        self.demand = demand
        self.packing = Packing(demand)
        self.days = days
        self.do_each = each
        self._court = _Court(self.packing, drawn_days(demand.practice, days=days, seed=seed), seed)
        self.known: dict[Design, Figures | None] = {}

    @property
    def tried(self) -> int:
        """How many designs were judged."""
        return len(self.known)

    def __call__(self, design: Design) -> Figures | None:
        """Return what a design comes to; None where it breaks a rule, or where the room never catches up."""
        if design not in self.known:
            self.known[design] = _judged(self._court, design)
        return self.known[design]

    def judge_all(self, designs: Iterable[Design]) -> None:
        """Judge each of several designs that is not known yet."""
        new = [design for design in dict.fromkeys(designs) if design not in self.known]
        for design, figures in zip(new, self.do_each(_judged, self._court, new), strict=True):
            self.known[design] = figures

    def run(self, practice: Practice) -> BusyDays:
        """Run the days. Raises `PracticeError`."""
        return self._court.run(practice)


def _judged(court: _Court, design: Design) -> Figures | None:
    if not court.packing.allows(design):
        return None
    practice = practice_of_design(court.packing, design)
    try:
        return figures_of(practice, court.run(practice))
    except PracticeError:
        return None


def practice_of_design(packing: Packing, design: Design, named: Named | None = None) -> Practice:
    """Return the practice with a design in it; without names, as far as the plan reads it."""
    practice = packing.demand.practice
    named = named or unnamed(packing, design)
    sets = dict(zip(design.sets, named.sets, strict=True))
    pouches = dict(zip(design.pouches, named.pouches, strict=True))
    procedures = {
        p: record.model_copy(
            update={"set": sets[design.set_of(p)], "add_ons": _add_ons(packing.demand, design, p, pouches)}
        )
        for p, record in practice.procedures.items()
    }
    chairs = {
        c: chair.model_copy(update={"drawer": _drawer(practice, c, chair, pouches)})
        for c, chair in practice.chairs.items()
    }
    return replace(
        practice,
        sets=MappingProxyType(dict(named.sets)),
        pouches=MappingProxyType(dict(named.pouches)),
        procedures=MappingProxyType(procedures),
        chairs=MappingProxyType(chairs),
    )


def _add_ons(demand: Demand, design: Design, procedure: str, ids: Mapping[PouchKind, str]) -> Mapping[str, float]:
    """The add-ons of a procedure, each as often as something in it is wanted; what is kept is taken as it was."""
    held = set(design.set_of(procedure).contents)
    shares: dict[str, float] = {}
    for pouch in design.pouches_of(procedure):
        if pouch.role == "add-on":
            kept = demand.practice.procedures[procedure].add_ons.get(pouch.kept, 0.0)
            taken = demand.share(procedure, set(pouch.contents) - held)
            shares[ids[pouch]] = max(kept, ceil(taken * _PARTS - 1e-6) / _PARTS) or 1.0
            held.update(pouch.contents)
    return MappingProxyType(shares)


def _drawer(practice: Practice, chair_id: str, chair: Chair, ids: Mapping[PouchKind, str]) -> Mapping[str, int | str]:
    drawer: dict[str, int | str] = {}
    for pouch, id_ in ids.items():
        if pouch.role == "drawer" and (
            pouch.kept in chair.drawer or any(chair_id in practice.chairs_for(p) for p in pouch.procedures)
        ):
            drawer[id_] = chair.drawer.get(pouch.kept, "auto")
    return MappingProxyType(drawer)


def unnamed(packing: Packing, design: Design) -> Named:
    """Return a design's sets and pouches by number: enough for the plan."""
    return Named(
        sets={kit.kept or f"set-{n}": set_record(packing, kit) for n, kit in enumerate(design.sets)},
        pouches={pouch.kept or f"pouch-{n}": pouch_record(packing, pouch) for n, pouch in enumerate(design.pouches)},
    )


def _implant(packing: Packing, contents: Iterable[str]) -> bool:
    return any(packing.demand.practice.instruments[i].implant_related for i in contents)


_NO_NAME = Text(plain="?")


def set_record(packing: Packing, kit: SetKind, **written: object) -> InstrumentSet:
    """Return the record of a set; `written` are its name, code and mark."""
    if kit.kept:
        return packing.demand.practice.sets[kit.kept]
    record = InstrumentSet(
        name=_NO_NAME,
        code="X",
        cassette=packing.cassette_of(kit),
        mark="one-bar",
        implant_related=_implant(packing, kit.contents),
        contents=packing.demand.pieces(kit.contents, kit.procedures),
    )
    return record.model_copy(update=written)


def pouch_record(packing: Packing, pouch: PouchKind, **written: object) -> Pouch:
    """Return the record of a pouch; `written` are its name and code."""
    if pouch.kept:
        return packing.demand.practice.pouches[pouch.kept]
    record = Pouch(
        name=_NO_NAME,
        code="X",
        kind=pouch.role,
        size=packing.size_of(pouch),
        implant_related=_implant(packing, pouch.contents),
        contents=packing.demand.pieces(pouch.contents, pouch.procedures),
    )
    return record.model_copy(update=written)
