"""Appointment exports and calendars: figures of procedures from several weeks, and busy days for schedule.csv."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from pathlib import Path
from statistics import mode
from typing import Any, get_args

from kitdocs.importing.appointment_meanings import Meanings, NewRecord, meanings_of
from kitdocs.importing.appointment_rows import (
    CALENDAR,
    AppointmentRow,
    AppointmentRows,
    head_of_appointments,
    rows_of_appointments,
)
from kitdocs.importing.appointment_words import numbered
from kitdocs.importing.askable import phrase
from kitdocs.importing.book_records import chair_records, practice_records, procedure_records, schedule_records
from kitdocs.importing.book_told import told_of, told_of_procedure
from kitdocs.importing.booking_times import LEAST_DAYS, WorkingHours
from kitdocs.importing.estimates import figures_of
from kitdocs.importing.found import Doubt, Found, KindOfList, Known
from kitdocs.importing.grids import Grid
from kitdocs.importing.new_folder import base_texts
from kitdocs.importing.visits import BookedVisit, OpenDays, Standing, busiest_day, open_days
from kitdocs.practice.message import message
from kitdocs.practice.quantities import clock
from kitdocs.practice.reading.text_file import text_file
from kitdocs.practice.reading.yaml_file import read_yaml

#: What schedule.csv is made of: nothing, for the figures are there; the busiest day; all busy days.
_FIGURES, _BUSIEST, _ALL = "figures", "busiest", "all"


_STANDINGS: Mapping[str, Standing] = {each: each for each in get_args(Standing)}


def score(grid: Grid, known: Known) -> float:
    """Return how surely a sheet is an appointment book: it has dates and times, and says what for or where."""
    head = head_of_appointments(grid, known)
    if head is None:
        return 0.0
    has_time = "start" in head.columns or CALENDAR in grid.file.lower()
    says = {"type", "summary", "chair", "provider"} & head.columns.keys()
    return 0.95 if has_time and says else 0.4


def take(grids: Sequence[Grid], known: Known) -> Found:
    """Return what appointments come to. What only a person can say is asked first, and the rest waits for it."""
    read = rows_of_appointments(grids, known)
    means = meanings_of(read.rows, known)
    visits = _visits(read, means)
    days = open_days(visits, read.closed)
    figures = figures_of(visits, days, _hours(known, visits))
    usual = {id_: each.minutes.value for id_, each in figures.procedures.items() if each.minutes}
    doubts = [*read.doubts, *means.doubts]
    lines, question = _scheduled(known, visits, days)
    sources = tuple(dict.fromkeys(row.grid for row in read.rows))
    new_chairs = sorted(means.new_chairs.values(), key=_in_turn)
    return Found(
        records=(
            *chair_records(new_chairs, known.of("chairs"), known.language, sources),
            *procedure_records(figures, means.new_procedures, sources, told_of_procedure),
            *practice_records(figures, sources),
            *schedule_records(visits, lines, usual, sources),
        ),
        doubts=(*doubts, *question),
        unused=(*read.unused, *means.unused),
        likely={("minutes", id_): f"{minutes:g}" for id_, minutes in _booked(visits).items() if id_ not in usual},
        remembered={**read.remembered, **means.remembered},
        told=tuple(told_of(figures, days, visits, lines, unknown=len(means.unknown))) if visits else (),
        details=tuple(each for id_, of in figures.procedures.items() for each in told_of_procedure(id_, of)),
    )


def _booked(visits: Iterable[BookedVisit]) -> dict[str, float]:
    """How long visits of each procedure are mostly booked for, however few there are."""
    found: dict[str, list[float]] = {}
    for visit in visits:
        if visit.booked:
            found.setdefault(visit.procedure, []).append(visit.booked)
    return {id_: mode(minutes) for id_, minutes in found.items()}


def _in_turn(chair: NewRecord) -> tuple[str, int, str]:
    """Chairs in the order of their numbers."""
    number = numbered(phrase(chair.name))
    return chair.name.replace(number, ""), int(number or 0), chair.name


def _visits(read: AppointmentRows, means: Meanings) -> list[BookedVisit]:
    outcomes = _outcomes(read, means)
    return [
        BookedVisit(
            day=row.day,
            start=row.start,
            booked=row.booked,
            took=row.took,
            chair=means.chairs.get(row.at, ""),
            procedure=means.procedures[row.at],
            standing=outcomes[row.at],
        )
        for row in read.rows
        if row.at in means.procedures and row.at not in means.left_out
    ]


def _outcomes(read: AppointmentRows, means: Meanings) -> Mapping[int, Standing]:
    """What became of each visit. A list that never says “kept” says it by saying nothing else."""
    said = means.outcomes
    never_kept = "kept" not in said.values() and "absent" in said.values()

    def outcome(row: AppointmentRow) -> Standing:
        standing = _STANDINGS.get(said.get(row.at, ""), "booked")
        return "kept" if standing == "booked" and (row.took or never_kept) else standing

    return {row.at: outcome(row) for row in read.rows}


def _scheduled(known: Known, visits: Sequence[BookedVisit], days: OpenDays) -> tuple[list[date], tuple[Doubt, ...]]:
    """The days of schedule.csv. With days enough for figures, whether it is wanted is asked."""
    with_chairs = [visit for visit in visits if visit.chair]
    top = busiest_day(with_chairs, days)
    if top is None or not any(visit.day == top for visit in with_chairs):
        return [], ()
    if len(days.busy) < LEAST_DAYS:
        return [top], ()
    answer = known.chosen("days", "schedule", among=(_FIGURES, _BUSIEST, _ALL))
    choices = {each: message(f"appointments.ask.schedule-is.{each}") for each in (_FIGURES, _BUSIEST, _ALL)}
    question = Doubt(
        about=("days", "schedule"),
        asked=message("appointments.ask.schedule", day=top.isoformat()),
        choices=choices,
        suggested=_FIGURES,
        sure=0.7,
        why=message("appointments.ask.schedule-why"),
        needed=False,
    )
    lines = {_BUSIEST: [top], _ALL: list(days.busy)}.get(answer or "", [])
    return lines, () if answer else (question,)


def _hours(known: Known, visits: Sequence[BookedVisit]) -> WorkingHours:
    """When the practice works: as practice.yaml says, or will say when visits are at no other time.

    Else it is from the first visit to the last, halved at noon.
    """
    there = known.of("practice")
    try:
        hours = _stated_hours((there or _new_practice())["day"])
    except (ValueError, KeyError, TypeError):
        return _seen_hours(visits)
    if there or all(hours.holds(visit.start) for visit in visits):
        return hours
    return _seen_hours(visits)


def _new_practice() -> Any:
    """practice.yaml of a new folder, before anybody has written into it."""
    name = "practice.yaml"
    return read_yaml(text_file(name, ("practice",), base_texts((), "en")[name])).data


def _stated_hours(day: Mapping[str, Any]) -> WorkingHours:
    pause = day.get("pause") or {"start": "12:00", "end": "12:00"}
    return WorkingHours(
        opens=clock(day["opens"]),
        noon=clock(pause["start"]),
        after_noon=clock(pause["end"]),
        closes=clock(day["closes"]),
    )


def _seen_hours(visits: Iterable[BookedVisit]) -> WorkingHours:
    starts = [visit.start for visit in visits] or [8 * 60.0]
    opens, closes = min([*starts, 660.0]), max([*starts, 780.0])
    return WorkingHours(opens=opens, noon=720, after_noon=720, closes=closes, certain=False)


def _read_calendar(path: Path) -> tuple[Grid, ...]:
    from kitdocs.importing.calendars import read_calendar  # noqa: PLC0415  # the library is for calendars only

    return read_calendar(path)


KIND = KindOfList(
    name="appointments",
    score=score,
    take=take,
    speaks_of=("chairs", "procedures"),
    reads={CALENDAR: _read_calendar},
)
