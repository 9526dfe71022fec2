"""Figures behind the cards and their inputs, as a print run keeps them, and which of them changed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from kitdocs.planning.figure import Number
from kitdocs.planning.plan import Plan
from kitdocs.practice.book import When, Window
from kitdocs.practice.model import Practice, Procedure
from kitdocs.practice.needs import Need
from kitdocs.practice.printed import Amount
from kitdocs.practice.room import HandStage, Machine, MachineStage, RestStage, Room
from kitdocs.practice.settings import Settings
from kitdocs.practice.values import clock_text, share_text

#: Figures that a person reads on a card or works by, by the first word of their id.
_KEPT = ("stock", "pouches", "par", "turnaround", "day")


def figures_kept(plan: Plan) -> dict[str, Amount]:
    """Return stock, par and turnaround by id, in whole minutes: less than a minute is no change."""
    kept = (figure for figure in plan.figures if figure.id.split(".")[0] in _KEPT)
    return {figure.id: _kept(figure.value) for figure in kept}


def _kept(value: Number) -> Amount:
    if isinstance(value, float):
        return round(value)
    return value if isinstance(value, int) else str(value)


def inputs_kept(practice: Practice) -> dict[str, Amount]:
    """Return the inputs of those figures by path, as the folder writes them: `kitdocs plan --set` accepts them."""
    return dict(_inputs(practice))


def _inputs(practice: Practice) -> Iterator[tuple[str, Amount]]:
    settings, room = practice.settings, practice.room
    yield "practice.service", share_text(settings.service)
    if settings.drawer_service is not None:
        yield "practice.drawer_service", share_text(settings.drawer_service)
    if settings.book != "spread":
        yield "practice.book", settings.book
    yield from _kept_and_late("practice", settings)
    yield "practice.day.opens", clock_text(settings.day.opens)
    yield "practice.day.closes", clock_text(settings.day.closes)
    for id_, procedure in practice.procedures.items():
        yield f"procedures.{id_}.per_day", procedure.per_day
        yield f"procedures.{id_}.minutes", _minutes(procedure.minutes)
        yield f"procedures.{id_}.set", procedure.set
        yield from _when(f"procedures.{id_}.when", procedure.when)
        yield from _kept_and_late(f"procedures.{id_}", procedure)
        yield from ((f"procedures.{id_}.add_ons.{p}", share_text(share)) for p, share in procedure.add_ons.items())
        yield from ((f"procedures.{id_}.needs.{i}", _need(n)) for i, n in procedure.needs.items() if n != Need(1.0))
    for id_, chair in practice.chairs.items():
        yield from ((f"chairs.{id_}.drawer.{pouch}", count) for pouch, count in chair.drawer.items())
    yield "room.setup", _minutes(room.setup)
    yield "room.carry", _minutes(room.carry)
    yield from ((f"room.restock[{n}]", clock_text(time)) for n, time in enumerate(room.restock, 1))
    for id_, stage in room.stages.items():
        yield from ((f"room.stages.{id_}.{name}", value) for name, value in _stage(stage))
    yield from _people(room)


def _when(path: str, when: When | None) -> Iterator[tuple[str, Amount]]:
    if isinstance(when, Window):
        yield path, str(when)
    elif when:
        yield from ((f"{path}.{each}", share_text(share)) for each, share in when.items())


def _kept_and_late(path: str, whose: Settings | Procedure) -> Iterator[tuple[str, Amount]]:
    if whose.no_shows is not None:
        yield f"{path}.no_shows", share_text(whose.no_shows)
    if whose.overrun:
        yield f"{path}.overrun.share", share_text(whose.overrun.share)
        yield f"{path}.overrun.median", _minutes(whose.overrun.median)
        yield f"{path}.overrun.most", _minutes(whose.overrun.most)


def _stage(stage: MachineStage | HandStage | RestStage) -> Iterator[tuple[str, Amount]]:
    if isinstance(stage, MachineStage):
        yield from _machines(stage)
        yield "wait", _minutes(stage.wait)
        if stage.repeats:
            yield "repeats", share_text(stage.repeats)
    elif isinstance(stage, HandStage):
        yield "people", stage.people
        yield "per_cassette", _minutes(stage.per_cassette)
        yield "per_pouch", _minutes(stage.per_pouch)
    else:
        yield "takes", _minutes(stage.takes)


def _machines(stage: MachineStage) -> Iterator[tuple[str, Amount]]:
    written: Mapping[str, Machine | MachineStage] = {"": stage}
    if isinstance(stage.machines, tuple):
        written = {f"machines[{n}].": machine for n, machine in enumerate(stage.machines, 1)}
    else:
        yield "machines", stage.machines
    for path, machine in written.items():
        yield f"{path}cycle", _minutes(machine.cycle)
        yield from ((f"{path}capacity.{kind}", count) for kind, count in machine.capacity.items())


def _people(room: Room) -> Iterator[tuple[str, Amount]]:
    for id_, person in room.people.items():
        for name, span in (("hours", person.hours), ("lunch", person.lunch)):
            if span:
                yield f"room.people.{id_}.{name}.start", clock_text(span.start)
                yield f"room.people.{id_}.{name}.end", clock_text(span.end)
        yield from ((f"room.people.{id_}.stages[{n}]", stage) for n, stage in enumerate(person.stages, 1))
    for name, at in (("opens", room.opens), ("closes", room.closes)):
        if at is not None:
            yield f"room.{name}", clock_text(at)


def _need(need: Need) -> Amount:
    return need.count if need.share == 1 else str(need)


def _minutes(minutes: float) -> str:
    return f"{minutes:g} min"


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """A figure or an input by id or path, before and after; None where it did or does not exist."""

    id: str
    before: Amount | None
    after: Amount | None


def moved(before: Mapping[str, Amount], after: Mapping[str, Amount]) -> tuple[Moved, ...]:
    """Return what changed, in the present order; what no longer exists comes last."""
    ids = dict.fromkeys((*after, *before))
    both = (Moved(id=id_, before=before.get(id_), after=after.get(id_)) for id_ in ids)
    return tuple(moved for moved in both if moved.before != moved.after)
