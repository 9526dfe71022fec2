"""An appointment book of some weeks, as the programs of offices export them; patients and practice are invented.

Whatever is about a patient has the letters of `CANARY` in it, in every cell.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from random import Random

from kitdocs.importing.found import NOTHING, About, Found, Known
from kitdocs.importing.grids import Grid, grid_of
from kitdocs.importing.recognising import read_file, recognise_file

CANARY = "zqx"
TYPES = {"ADJ-L": (30, 18), "ADJ-S": (20, 9), "BOND U/L": (75, 3), "DEBAND": (60, 2), "RET CHK": (15, 8)}
#: From Monday, how full each weekday is.
WEEK = (1.0, 1.0, 1.0, 1.0, 0.3)
MONDAY = date(2026, 11, 2)
FIRST = "Ana Bo Cy Di Ed Flo Gus Hal Ira Jo Kit Lou".split()  # noqa: SIM905
LAST = "Quill Tern Juniper Marlow Ostrom Vance Pell Harrow".split()  # noqa: SIM905


@dataclass(frozen=True)
class Visit:
    """One visit, in minutes after midnight. `seated` is None for one that was not kept."""

    day: date
    start: int
    minutes: int
    type: str
    chair: int
    outcome: str
    seated: int | None
    dismissed: int | None
    patient: int

    @property
    def first(self) -> str:
        return f"{FIRST[self.patient % len(FIRST)]}{CANARY}"

    @property
    def last(self) -> str:
        """Siblings share it."""
        return f"{LAST[self.patient // 3 % len(LAST)]}{CANARY.title()}"


def book(seed: int = 1, weeks: int = 2, *, monday: date = MONDAY, patients: int = 260) -> list[Visit]:
    """The visits of some weeks: nine chairs, 6 % not kept, 3 % cancelled, three in ten run over."""
    draw = Random(seed)
    found = []
    for week in range(weeks):
        for weekday, full in enumerate(WEEK):
            day = monday + timedelta(days=7 * week + weekday)
            for kind, (minutes, count) in TYPES.items():
                for _ in range(round(count * full)):
                    start = draw.choice([*range(480, 710, 5), *range(780, 1000, 5)])
                    outcome = draw.choices(["Completed", "No Show", "Cancelled"], [91, 6, 3])[0]
                    seated = start + draw.randrange(0, 7)
                    over = round(draw.lognormvariate(2.0, 0.6)) if draw.random() < 0.3 else -draw.randrange(0, 4)
                    kept = outcome == "Completed"
                    found.append(
                        Visit(
                            day,
                            start,
                            minutes,
                            kind,
                            draw.randint(1, 9),
                            outcome,
                            seated if kept else None,
                            seated + minutes + over if kept else None,
                            draw.randrange(patients),
                        )
                    )
    return sorted(found, key=lambda visit: (visit.day, visit.start, visit.chair))


def american(minutes: int | None) -> str:
    return "" if minutes is None else f"{minutes // 60 % 12 or 12}:{minutes % 60:02d} {'AM' if minutes < 720 else 'PM'}"


def clock(minutes: int | None) -> str:
    return "" if minutes is None else f"{minutes // 60:02d}:{minutes % 60:02d}"


Column = Callable[[Visit], object]
ENGLISH: Mapping[str, Column] = {
    "Appt Date": lambda v: f"{v.day.month}/{v.day.day}/{v.day.year}",
    "Start Time": lambda v: american(v.start),
    "Patient Name": lambda v: f"{v.last}, {v.first}",
    "DOB": lambda v: f"{v.patient % 12 + 1}/3/{1980 + v.patient % 38} {CANARY}",
    "Duration": lambda v: v.minutes,
    "Operatory": lambda v: f"OP {v.chair}",
    "Home Phone": lambda v: f"555-01{v.patient % 90 + 10} {CANARY}",
    "Appt Type": lambda v: v.type,
    "Chart #": lambda v: f"{CANARY}{104_000 + 31 * v.patient}",
    "Status": lambda v: v.outcome,
    "Seated": lambda v: american(v.seated),
    "Dismissed": lambda v: american(v.dismissed),
    "Notes": lambda v: f"{v.first} was late, {CANARY} called",
    "": lambda v: f"{v.first.lower()}@{CANARY}.example",
}
SPANISH: Mapping[str, Column] = {
    "Fecha": lambda v: f"{v.day.day:02d}/{v.day.month:02d}/{v.day.year}",
    "Hora": lambda v: clock(v.start),
    "Hora fin": lambda v: clock(v.start + v.minutes),
    "Nombre del paciente": lambda v: f"{v.first} {v.last}",
    "F. nacimiento": lambda v: f"03/{v.patient % 12 + 1:02d}/{1980 + v.patient % 38}{CANARY}",
    "Sillón": lambda v: f"Sillón {v.chair}",
    "Tipo de cita": lambda v: v.type,
    "Teléfono": lambda v: f"{CANARY} 55501{v.patient % 90 + 10}",
    "Estado": lambda v: {"Completed": "Atendida", "No Show": "No asistió", "Cancelled": "Cancelada"}[v.outcome],
    "Observaciones": lambda v: f"{CANARY} llegó tarde",
}


def table(visits: Sequence[Visit], columns: Mapping[str, Column] = ENGLISH) -> list[list[object]]:
    return [[*columns], *([column(visit) for column in columns.values()] for visit in visits)]


def csv_text(rows: Sequence[Sequence[object]], delimiter: str = ",") -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter).writerows(rows)
    return out.getvalue()


def grid(visits: Sequence[Visit], columns: Mapping[str, Column] = ENGLISH) -> Grid:
    return grid_of("appts.csv", "", [[str(cell) for cell in row] for row in table(visits, columns)])


def taken(source: Grid | Path, known: Known | None = None) -> Found:
    """What the kind of list that a grid or a file is taken for makes of it."""
    known = known or Known()
    grids = read_file(source) if isinstance(source, Path) else (source,)
    (recognised,) = recognise_file(grids, known)
    assert recognised.kind and recognised.kind.name == "appointments"
    return recognised.kind.take(recognised.grids, known)


def answered(source: Grid | Path, known: Known | None = None, **answers: str) -> tuple[Found, Mapping[About, str]]:
    """The same when every question was answered as suggested, or as `answers` say by label; with the answers."""
    known = known or Known()
    said: dict[About, str] = dict(known.answers)
    found = taken(source, known)
    for _ in range(5):
        new = {d.about: answers.get(d.about[-1].replace(" ", "_"), d.suggested or NOTHING) for d in found.doubts}
        if not new.keys() - said.keys():
            break
        said |= new
        found = taken(source, Known(answers=said, records=known.records))
    return found, {**said, **found.remembered}
