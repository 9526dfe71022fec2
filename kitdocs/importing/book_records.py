"""Records for the practice folder from an appointment book: figures of procedures, chairs, and schedule.csv."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from kitdocs.importing.appointment_meanings import NewRecord
from kitdocs.importing.booking_times import BookingTimes
from kitdocs.importing.chair_looks import ChairLooks, looks_of
from kitdocs.importing.estimates import BookFigures, OverrunEstimate, ProcedureFigures
from kitdocs.importing.found import BroughtRecord
from kitdocs.importing.visits import BookedVisit
from kitdocs.practice.message import Message
from kitdocs.practice.values import clock_text, share_text


def chair_records(
    chairs: Sequence[NewRecord], there: Mapping[str, Any], language: str, sources: tuple[str, ...]
) -> Iterator[BroughtRecord]:
    """Yield the chairs that the folder does not have, each with a colour and a mark that no other has."""
    found = looks_of([{} for _ in chairs], ChairLooks(there.values(), language))
    for chair, look in zip(chairs, found, strict=True):
        fields = {"name": chair.name, **look}
        yield BroughtRecord(stem="chairs", id=chair.id, fields=fields, sources=sources, usual=tuple(look))


def procedure_records(
    figures: BookFigures,
    new: Mapping[str, NewRecord],
    sources: tuple[str, ...],
    notes_of: Callable[[str, ProcedureFigures], Iterable[Message]],
) -> Iterator[BroughtRecord]:
    """Yield what the book says of each procedure, and the name of one that the folder does not have.

    `notes_of` says on what its figures rest.
    """
    for id_, found in figures.procedures.items():
        fields = {**({"name": new[id_].name} if id_ in new else {}), **dict(_fields(found))}
        if fields:
            yield BroughtRecord(
                stem="procedures", id=id_, fields=fields, sources=sources, notes=tuple(notes_of(id_, found))
            )


def practice_records(figures: BookFigures, sources: tuple[str, ...]) -> Iterator[BroughtRecord]:
    """Yield what the book says of all visits: how many are not kept, and how they run over."""
    fields = dict(_fields(ProcedureFigures(no_shows=figures.no_shows, overrun=figures.overrun)))
    if fields:
        yield BroughtRecord(stem="practice", id="", fields=fields, sources=sources)


def schedule_records(
    visits: Iterable[BookedVisit], days: Iterable[date], usual: Mapping[str, float], sources: tuple[str, ...]
) -> Iterator[BroughtRecord]:
    """Yield the lines of schedule.csv: the visits of some days whose chair and minutes are known.

    `usual` are the minutes of procedures whose visits do not say how long they are booked for.
    """
    wanted = set(days)
    mine = [visit for visit in visits if visit.day in wanted and visit.standing != "cancelled" and visit.chair]
    for visit in sorted(mine, key=lambda visit: (visit.day, visit.start, visit.chair, visit.procedure)):
        minutes = visit.booked or usual.get(visit.procedure)
        if minutes:
            fields = {
                "day": visit.day.isoformat(),
                "start": clock_text(visit.start),
                "chair": visit.chair,
                "procedure": visit.procedure,
                "minutes": f"{minutes:g}",
            }
            yield BroughtRecord(stem="schedule", id="", fields=fields, sources=sources)


def _fields(found: ProcedureFigures) -> Iterator[tuple[str, Any]]:
    if found.minutes:
        yield "minutes", f"{found.minutes.value:g} min"
    if found.per_day:
        yield "per_day", per_day_of(found.per_day.value)
    if found.when:
        yield "when", when_of(found.when)
    if found.no_shows:
        yield "no_shows", share_of_visits(found.no_shows.value)
    if found.overrun:
        yield "overrun", overrun_of(found.overrun)


def per_day_of(value: float) -> float:
    """Return how many a busy day, to a tenth; below one, to a hundredth."""
    rounded = round(value, 1 if value >= 1 else 2)
    return int(rounded) if rounded == int(rounded) else rounded


def share_of_visits(share: float) -> str:
    """Return a share to the whole per cent, never 0."""
    return share_text(max(1, round(100 * share)) / 100)


def when_of(found: BookingTimes) -> str | dict[str, str]:
    """Return when visits are booked: the time, with the share where it is not that of all, or several with theirs."""
    if found.all and len(found.windows) == 1:
        return str(next(iter(found.windows)))
    whole = 1.0 if found.all else found.share.value
    shares = [max(1, round(100 * share)) for share in found.windows.values()]
    # Rounded, they are as much together as they are, and never more than all.
    shares[shares.index(max(shares))] += round(100 * whole) - sum(shares)
    return {str(window): share_text(share / 100) for window, share in zip(found.windows, shares, strict=True)}


def overrun_of(found: OverrunEstimate) -> dict[str, str]:
    """Return how visits run over, in whole minutes."""
    median = max(1, round(found.median.value))
    most = min(240, max(median + 1, round(found.most)))
    return {"share": share_of_visits(found.share.value), "median": f"{median} min", "most": f"{most} min"}
