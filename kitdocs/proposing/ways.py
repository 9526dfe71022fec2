"""Single changes of a practice that could reach a wish: a machine more, an hour of a person, another start rule.

Those that cost something are priced by the folder's own list (`candidates` in room.yaml). A machine or a pair of hands
that is not listed is tried all the same: then nobody knows its price, and that is said.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import pairwise
from math import fsum
from types import MappingProxyType
from typing import Any

from kitdocs.planning.day.kept_visits import visits_per_day
from kitdocs.planning.measures.fit import fit_set, smallest_cassette
from kitdocs.planning.measures.wrap import sheet_for
from kitdocs.practice.book import Window
from kitdocs.practice.message import Clock, Duration, Message, message
from kitdocs.practice.model import Cassette, InstrumentSet, Practice
from kitdocs.practice.room import AnyStage, Candidate, HandStage, Machine, MachineStage, Person
from kitdocs.practice.values import Text

#: Weeks of a year, in which what is paid by the day is counted: its price is that of the first year.
WEEKS = 52
#: How long part loads wait where loads are to be full.
_FULL_LOADS = 60.0
_AN_HOUR = 60.0

Change = Callable[[Practice], Practice]


@dataclass(frozen=True, slots=True, kw_only=True)
class SingleChange:
    """One change. Of two ways with the same `at`, one at most can be gone."""

    id: str
    at: str
    name: Message | Text
    change: Change
    price: Decimal | None = Decimal(0)
    """Beside what the order list says; None where the folder does not say it."""
    books: bool = False
    """Whether visits are booked otherwise."""


def ways_of(practice: Practice) -> Iterator[SingleChange]:
    """Yield the single changes that could be made to a practice with its design, in a settled order."""
    yield from _candidates(practice)
    yield from _not_listed(practice)
    yield from _start_rules(practice)
    yield from _restocking(practice)
    yield from _longer_in_the_morning(practice)
    yield from _slimmer_cassettes(practice)
    yield from _larger_cassettes(practice)


# what is bought or hired -----------------------------------------------------------------------


def _candidates(practice: Practice) -> Iterator[SingleChange]:
    for id_, candidate in practice.room.candidates.items():
        change = _change_of(practice, candidate)
        if change:
            at = f"person.{candidate.person}" if candidate.person else f"stage.{candidate.stage}"
            price = first_year(practice, candidate)
            yield SingleChange(id=f"candidates.{id_}", at=at, name=candidate.name, change=change, price=price)


def first_year(practice: Practice, candidate: Candidate) -> Decimal | None:
    """Return what a candidate costs in its first year; None where the folder says no price."""
    if candidate.price is None and candidate.each_day is None:
        return None
    days = practice.settings.day.per_week * WEEKS
    return (candidate.price or Decimal(0)) + days * (candidate.each_day or Decimal(0))


def _change_of(practice: Practice, candidate: Candidate) -> Change | None:
    if candidate.person:
        return _with_person(practice, candidate.person, candidate.longer)
    stage = practice.room.stages[candidate.stage or ""]
    if isinstance(stage, MachineStage):
        return _with_stage(candidate.stage or "", _one_machine_more(stage, candidate.machine))
    if isinstance(stage, HandStage) and not practice.room.people:
        return _with_stage(candidate.stage or "", stage.model_copy(update={"people": stage.people + 1}))
    return None


def _one_machine_more(stage: MachineStage, machine: Machine | None) -> MachineStage:
    if machine is None and not isinstance(stage.machines, tuple):
        return stage.model_copy(update={"machines": stage.machines + 1})
    return stage.model_copy(update={"machines": (*stage.each, machine or stage.each[0])})


def _with_stage(id_: str, stage: AnyStage) -> Change:
    def change(practice: Practice) -> Practice:
        return _in_room(practice, stages=MappingProxyType({**practice.room.stages, id_: stage}))

    return change


def _in_room(practice: Practice, **update: Any) -> Practice:
    return replace(practice, room=practice.room.model_copy(update=update))


def _with_person(practice: Practice, id_: str, longer: float) -> Change:
    person = practice.room.people[id_]
    stays = _staying(person, longer)

    def change(practice: Practice) -> Practice:
        closes = practice.room.closes
        closes = None if closes is None else max(closes, stays.hours.end)
        return _in_room(practice, people=MappingProxyType({**practice.room.people, id_: stays}), closes=closes)

    return change


def _staying(person: Person, longer: float) -> Person:
    end = min(24 * 60 - 1, person.hours.end + round(longer))
    return person.model_copy(update={"hours": person.hours.model_copy(update={"end": end})})


def _not_listed(practice: Practice) -> Iterator[SingleChange]:
    """One more of each machine and pair of hands, and an hour more of everybody, that no candidate speaks of."""
    listed = {candidate.stage or candidate.person for candidate in practice.room.candidates.values()}
    for id_, stage in practice.room.stages.items():
        if id_ in listed:
            continue
        if isinstance(stage, MachineStage):
            kind, more = "machine", _with_stage(id_, _one_machine_more(stage, None))
        elif isinstance(stage, HandStage) and not practice.room.people:
            kind, more = "hands", _with_stage(id_, stage.model_copy(update={"people": stage.people + 1}))
        else:
            continue
        yield _unpriced(f"{kind}.{id_}", f"stage.{id_}", message(f"propose.way.{kind}", stage=stage.name), more)
    for id_, person in practice.room.people.items():
        if id_ not in listed:
            name = message("propose.way.person", person=person.name, longer=Duration(60 * _AN_HOUR))
            yield _unpriced(f"person.{id_}", f"person.{id_}", name, _with_person(practice, id_, _AN_HOUR))


def _unpriced(id_: str, at: str, name: Message, change: Change) -> SingleChange:
    return SingleChange(id=id_, at=at, name=name, change=change, price=None)


# what costs nothing at once --------------------------------------------------------------------


def _start_rules(practice: Practice) -> Iterator[SingleChange]:
    for id_, stage in practice.room.stages.items():
        if isinstance(stage, MachineStage):
            for key, wait in (("at-once", 0.0), ("full", max(stage.wait, _FULL_LOADS))):
                if wait != stage.wait:
                    name = message(f"propose.way.{key}", stage=stage.name, wait=Duration(60 * wait))
                    yield SingleChange(id=f"{key}.{id_}", at=f"start.{id_}", name=name, change=_with_wait(id_, wait))


def _with_wait(id_: str, wait: float) -> Change:
    def change(practice: Practice) -> Practice:
        stage = practice.room.stages[id_].model_copy(update={"wait": wait})
        return _in_room(practice, stages=MappingProxyType({**practice.room.stages, id_: stage}))

    return change


def _restocking(practice: Practice) -> Iterator[SingleChange]:
    """One more, in the middle of the longest time without; nothing where no drawer holds anything."""
    if not any(chair.drawer for chair in practice.chairs.values()):
        return
    day = practice.settings.day
    times = sorted({day.opens, *(t for t in practice.room.restock if day.opens < t < day.closes), day.closes})
    start, end = max(pairwise(times), key=lambda pair: (pair[1] - pair[0], -pair[0]))
    at = round((start + end) / 2 / 15) * 15
    if at not in practice.room.restock:
        restock = tuple(sorted((*practice.room.restock, at)))
        name = message("propose.way.restock", at=Clock(at))
        yield SingleChange(id="restock", at="restock", name=name, change=lambda one: _in_room(one, restock=restock))


def _longer_in_the_morning(practice: Practice) -> Iterator[SingleChange]:
    """Visits that are longer than the average, of procedures that may be booked at any time, begin in the morning."""
    if practice.schedule:
        return
    visits = visits_per_day(practice)
    all_visits = fsum(visits.values())
    average = fsum(visits[p] * practice.procedures[p].minutes for p in visits) / all_visits if all_visits else 0.0
    longer = [p for p, record in practice.procedures.items() if record.when is None and record.minutes > average]
    if longer:
        for share in (1.0, 0.8):
            name = message(f"propose.way.morning-{round(100 * share)}")
            change = _booked(longer, share)
            yield SingleChange(id=f"morning-{round(100 * share)}", at="book", name=name, change=change, books=True)


def _booked(procedures: list[str], share: float) -> Change:
    morning = Window("morning")
    when = morning if share == 1 else MappingProxyType({morning: share})

    def change(practice: Practice) -> Practice:
        booked = {p: practice.procedures[p].model_copy(update={"when": when}) for p in procedures}
        return replace(practice, procedures=MappingProxyType({**practice.procedures, **booked}))

    return change


def _slimmer_cassettes(practice: Practice) -> Iterator[SingleChange]:
    """A set in another cassette that holds it, of which every machine takes as many and one takes more."""
    stages = [stage for stage in practice.room.stages.values() if isinstance(stage, MachineStage)]
    for id_, kit in practice.sets.items():
        for cassette, record in practice.cassettes.items():
            now, then = (_held(stages, c) for c in (kit.cassette, cassette))
            if then <= now or any(b < a for a, b in zip(now, then, strict=True)) or record.price is None:
                continue
            slimmer = _packed_otherwise(id_, cassette=cassette)
            if fit_set(slimmer(practice), id_).fits:
                name = message("propose.way.cassette", set=kit.name, cassette=record.name)
                yield SingleChange(id=f"cassette.{id_}.{cassette}", at=f"cassette.{id_}", name=name, change=slimmer)


def _held(stages: list[MachineStage], cassette: str) -> tuple[int, ...]:
    return tuple(stage.capacity.get(cassette, 0) for stage in stages)


def _larger_cassettes(practice: Practice) -> Iterator[SingleChange]:
    """A set in a larger cassette that holds what an add-on brings to each visit of some procedure as well."""
    for id_, kit in practice.sets.items():
        for pouch_id, pouch in practice.pouches.items():
            taking = [p for p, one in practice.procedures.items() if one.set == id_ and one.add_ons.get(pouch_id) == 1]
            if not taking or kit.implant_related or pouch.implant_related:
                continue
            held = (*kit.contents, *(i for i in pouch.contents if i not in kit.contents))
            cassette = smallest_cassette(replace(practice, cassettes=_passing(practice, kit)), held)
            if cassette and cassette != kit.cassette and _go_one_way(practice, held):
                larger = _without_add_on(id_, pouch_id, _packed_otherwise(id_, cassette=cassette, contents=held))
                names = {"set": kit.name, "cassette": practice.cassettes[cassette].name, "pouch": pouch.name}
                name = message("propose.way.larger-cassette", **names)
                yield SingleChange(id=f"larger.{id_}.{pouch_id}", at=f"cassette.{id_}", name=name, change=larger)


def _passing(practice: Practice, kit: InstrumentSet) -> Mapping[str, Cassette]:
    """The cassettes of the same material that a sheet wraps, and that every machine takes that takes the set's own."""
    room = practice.room
    stages = [stage.capacity for stage in room.stages.values() if isinstance(stage, MachineStage)]
    material = practice.cassettes[kit.cassette].material
    return {
        id_: record
        for id_, record in practice.cassettes.items()
        if record.material == material
        and sheet_for(record.outside, room.wrap, room.sheets).sheet
        and all(id_ in capacity for capacity in stages if kit.cassette in capacity)
    }


def _go_one_way(practice: Practice, contents: Sequence[str]) -> bool:
    """Whether instruments skip the same stages, and none is used for implants."""
    records = [practice.instruments[i] for i in contents]
    return len({frozenset(one.skips) for one in records}) == 1 and not any(one.implant_related for one in records)


def _without_add_on(set_: str, pouch: str, change: Change) -> Change:
    """The change, and no procedure with the set takes the pouch any longer."""

    def changed(practice: Practice) -> Practice:
        procedures = dict(practice.procedures)
        for p, record in practice.procedures.items():
            if record.set == set_:
                left = {add_on: share for add_on, share in record.add_ons.items() if add_on != pouch}
                procedures[p] = record.model_copy(update={"add_ons": MappingProxyType(left)})
        return replace(change(practice), procedures=MappingProxyType(procedures))

    return changed


def _packed_otherwise(id_: str, **update: Any) -> Change:
    def change(practice: Practice) -> Practice:
        kit = practice.sets[id_].model_copy(update=update)
        return replace(practice, sets=MappingProxyType({**practice.sets, id_: kit}))

    return change


def together(ways: Mapping[str, SingleChange], ids: tuple[str, ...]) -> Change:
    """Return several changes as one, the first first."""

    def change(practice: Practice) -> Practice:
        for id_ in ids:
            practice = ways[id_].change(practice)
        return practice

    return change
