"""Rows of an appointment export: date, times, and the texts that say where, for what, and what became of it.

Only columns whose heading says one of these are read. What a row's texts mean is settled elsewhere.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from kitdocs.importing.found import About, Doubt, Known, Refused, UnusedCells, as_about
from kitdocs.importing.grids import CellValue, Grid, column_letters
from kitdocs.importing.headings import HeadRow, Vocabulary, head_of
from kitdocs.importing.moments import Moment, Order, minutes_of, moment_of, needs_order, of_the_day, order_of, time_of
from kitdocs.importing.people import looks_like_people
from kitdocs.importing.vocabulary import in_other_languages
from kitdocs.practice.message import message

_FIELDS = {
    "day": "date|appointment date|appt date|visit date|service date|date of service|day|fecha|fecha de la cita"
    "|fecha cita|fecha de visita|dia|start date|date time|datetime|appointment date time|appointment datetime"
    "|fecha y hora|scheduled date|scheduled for|fecha inicio|fecha de inicio",
    "start": "start|start time|time|appt time|appointment time|begin|begin time|begins|from|scheduled time"
    "|scheduled start|appointment start|hora|hora inicio|hora de inicio|inicio|comienzo|desde|hora de la cita"
    "|hora cita",
    "end": "end|end time|finish|to|until|scheduled end|appointment end|hora fin|hora de fin|fin|hora final|hasta"
    "|termino",
    "minutes": "minutes|duration|length|mins|appointment length|appt length|appt duration|appointment duration"
    "|scheduled minutes|length min|time needed|duracion|minutos|duracion de la cita|tiempo",
    "units": "units|time units|slots|unidades de tiempo",
    "chair": "chair|operatory|operatory name|op|column|chair column|room|resource|chair number|sillon|unidad|gabinete"
    "|columna|box|recurso|sala|equipo",
    "provider": "provider|provider name|doctor|dr|assigned to|staff|assistant|proveedor|doctora|profesional|odontologo"
    "|ortodoncista|auxiliar",
    "type": "type|appointment type|appt type|procedure|procedures|procedure code|visit type|code|treatment|service"
    "|tipo|tipo de cita|tipo de visita|procedimiento|tratamiento|servicio|codigo",
    "summary": "summary|subject|description|appointment|reason|reason for visit|title|asunto|descripcion|motivo"
    "|motivo de la cita|cita|resumen|titulo",
    "outcome": "status|appointment status|appt status|outcome|state|estado|estatus|estado de la cita|resultado"
    "|situacion",
    "seated": "seated|seated time|time seated|in chair|in chair time|treatment start|actual start|patient seated"
    "|sentado|hora sentado|inicio real|pasa a sillon|entrada|hora de entrada",
    "dismissed": "dismissed|dismissed time|dismissal|checked out|check out|checkout|check out time|completed time"
    "|actual end|treatment end|patient dismissed|salida|hora de salida|fin real",
}
_PHRASES = {name: phrases.split("|") for name, phrases in _FIELDS.items()}
#: As columns of a database are named: `ApptDate`, `start_time`.
VOCABULARY = Vocabulary(
    {name: {*each, *(p.replace(" ", "") for p in each)} for name, each in _PHRASES.items()},
    others={language: there["headings"]["appointments"] for language, there in in_other_languages().items()},
)

ORDERS: Mapping[str, Order] = {"mdy": "mdy", "dmy": "dmy"}
#: The ending of a calendar's file.
CALENDAR = ".ics"
#: What a calendar's reader writes for the outcome of a whole day on which nobody works.
CLOSED = "closed all day"
_UNITS = ("5", "10", "15")
#: A year of a large practice; what lies beyond is not read, and that is told.
MOST_ROWS = 100_000


@dataclass(frozen=True, slots=True, kw_only=True)
class AppointmentRow:
    """One row. Minutes; `start` after midnight. `at` is its number among all rows, `row` that in its sheet."""

    at: int
    grid: str
    row: int
    day: date
    start: float
    booked: float | None
    took: float | None
    chair: str
    by_staff: bool
    """Whether `chair` is who sees the patient, for want of a chair."""
    free_text: bool
    """Whether `chair` may hold any words, as in a calendar."""
    type: str
    headed: bool
    """Whether the heading of its column says that it is a type; that of a calendar's events never does."""
    outcome: str


@dataclass(slots=True)
class AppointmentRows:
    """What the sheets of a file come to."""

    rows: list[AppointmentRow] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)
    unused: list[UnusedCells] = field(default_factory=list)
    remembered: dict[About, str] = field(default_factory=dict)
    closed: set[date] = field(default_factory=set)
    """Days on which a calendar says that the practice is closed."""


def settled(known: Known) -> dict[str, str]:
    """Return what people said that headings of such a list mean."""
    about = as_about("columns", "appointments")
    return {key[2]: answer for key, answer in known.answers.items() if key[:2] == about and len(key) == 3}


def head_of_appointments(grid: Grid, known: Known) -> HeadRow | None:
    """Return the headings of a sheet of appointments; None where it has no date or no time."""
    head = head_of(grid, VOCABULARY, settled(known))
    return head if head and "day" in {*head.columns, *("day" for name in head.columns if name == "start")} else None


def rows_of_appointments(grids: Sequence[Grid], known: Known) -> AppointmentRows:
    """Return the appointments of some sheets, and what of them was not read, by cell.

    Sheets may overlap: a row that an earlier sheet has, too, counts once.
    """
    out = AppointmentRows()
    heads = [(grid, head_of_appointments(grid, known)) for grid in grids]
    sheets = [_Sheet(grid, head, known, out) for grid, head in heads if head]
    orders = {order for sheet in sheets if (order := sheet.order())}
    for sheet in sheets:
        sheet.read(next(iter(orders)) if len(orders) == 1 else None)
    if len(orders) == 1:
        out.remembered[as_about("dates", "order")] = next(iter(orders))
    out.rows = _once(out)
    return out


def _once(read: AppointmentRows) -> list[AppointmentRow]:
    """The rows without those that stand in two sheets; those are told."""
    kept: list[AppointmentRow] = []
    before: Counter[tuple[object, ...]] = Counter()
    for name in dict.fromkeys(row.grid for row in read.rows):
        here: Counter[tuple[object, ...]] = Counter()
        again: list[AppointmentRow] = []
        for row in read.rows:
            if row.grid == name:
                key = (row.day, row.start, row.booked, row.chair.casefold(), row.type.casefold())
                here[key] += 1
                (again if here[key] <= before[key] else kept).append(row)
        before |= here
        if again:
            where = f"{name}: {spans(row.row for row in again)}"
            read.unused.append(UnusedCells(where=where, why=message("appointments.unused.twice")))
    return kept


class _Sheet:
    """One sheet. A column that looks like people is not read, whatever its heading is taken for."""

    def __init__(self, grid: Grid, head: HeadRow, known: Known, out: AppointmentRows) -> None:
        self._grid, self._known, self._out = grid, known, out
        self._lines = list(head.lines(grid))
        self._columns: dict[str, int] = {}
        named = {column: name for name, column in head.columns.items()}
        unneeded: list[str] = []
        for column, heading in head.headings.items():
            texts = [line[column - 1].text for line in self._lines]
            if not any(texts):
                continue
            if reason := looks_like_people(heading, texts):
                out.unused.append(UnusedCells(where=grid.name, why=reason.message(column_letters(column))))
            elif column in named:
                self._columns[named[column]] = column
            else:
                unneeded.append(column_letters(column))
        if unneeded:
            where = f"{grid.name}: {', '.join(unneeded)}"
            out.unused.append(UnusedCells(where=where, why=message("appointments.unused.columns")))

    def _values(self, name: str) -> list[CellValue]:
        column = self._columns.get(name)
        return [line[column - 1].value if column else None for line in self._lines]

    def _texts(self, name: str) -> list[str]:
        column = self._columns.get(name)
        return [line[column - 1].text if column else "" for line in self._lines]

    def order(self) -> Order | None:
        """The order of day and month that the dates themselves say."""
        return ORDERS.get(order_of(self._values(self._dates)) or "")

    @property
    def _dates(self) -> str:
        return "day" if "day" in self._columns else "start"

    def read(self, order: Order | None) -> None:
        """Read the rows. `order` is that of the other sheets, where its own dates do not say it."""
        moments = self._moments(self.order() or order)
        if moments is None:
            return
        starts = self._clock("start", moments)
        ends, seated, dismissed = (self._clock(name, moments) for name in ("end", "seated", "dismissed"))
        minutes = self._minutes()
        chair = "chair" if "chair" in self._columns else "provider"
        type_ = "type" if "type" in self._columns else "summary"
        texts = zip(self._texts(chair), self._texts(type_), self._texts("outcome"), strict=True)
        free_text = self._grid.file.lower().endswith(CALENDAR)
        unread: list[int] = []
        for n, (where, what, outcome) in enumerate(texts):
            row, moment, start = self._lines[n][0].row, moments[n], starts[n]
            if moment and free_text and outcome == CLOSED:
                self._out.closed.add(moment.day)
                continue
            if moment is None or start is None or len(self._out.rows) >= MOST_ROWS:
                unread.append(row)
                continue
            self._out.rows.append(
                AppointmentRow(
                    at=len(self._out.rows),
                    grid=self._grid.name,
                    row=row,
                    day=moment.day,
                    start=start,
                    booked=_between(start, ends[n], minutes[n]),
                    took=_between(seated[n], dismissed[n], None),
                    chair=where,
                    by_staff=chair == "provider",
                    free_text=free_text,
                    type=what,
                    headed=type_ == "type",
                    outcome=outcome,
                )
            )
        if unread:
            where_ = f"{self._grid.name}: {spans(unread)}"
            self._out.unused.append(UnusedCells(where=where_, why=message("appointments.unused.no-time")))

    def _moments(self, order: Order | None) -> list[Moment | None] | None:
        """The dates of a column; None where only a person can say which figure is the month."""
        values = self._values(self._dates)
        if order is None and needs_order(values):
            order = ORDERS.get(self._known.answer("dates", "order") or "")
            if order is None:
                if not any(doubt.about == ("dates", "order") for doubt in self._out.doubts):
                    self._out.doubts.append(_which_is_the_month(values, self._grid))
                return None
        moments = [moment_of(value, order) for value in values]
        return self._local(moments) if any(moment and moment.utc for moment in moments) else moments

    def _local(self, moments: Sequence[Moment | None]) -> list[Moment | None] | None:
        """Universal times as the clock on the wall shows them; None as long as nobody has said where the wall is."""
        zone = _zone_named(self._known.answer("clock", "zone") or "")
        if zone is None:
            asked = message("appointments.ask.zone", file=self._grid.file)
            doubt = Doubt(about=("clock", "zone"), asked=asked, sources=(self._grid.name,), check=_not_a_zone)
            self._out.doubts.append(doubt)
            return None
        return [moment and moment.local(zone) for moment in moments]

    def _clock(self, name: str, moments: Sequence[Moment | None]) -> list[float | None]:
        """The times of a column; where it has none, and for starts, those that stand with the dates."""
        found = []
        for value, moment in zip(self._values(name), moments, strict=True):
            clock = time_of(value)
            if clock is None and isinstance(value, str) and (with_date := moment_of(value, "mdy")):
                clock = None if with_date.minute is None else (with_date.minute, with_date.halves)
            if clock is None and name == "start" and moment and moment.minute is not None:
                clock = moment.minute, moment.halves
            found.append(clock)
        return of_the_day(found)

    def _minutes(self) -> list[float | None]:
        if "minutes" in self._columns:
            return [minutes_of(value) for value in self._values("minutes")]
        if "units" not in self._columns:
            return [None] * len(self._lines)
        answer = self._known.chosen("minutes", "unit", among=_UNITS)
        if answer is None:
            choices = {unit: message("appointments.ask.unit-is", minutes=unit) for unit in _UNITS}
            asked = message("appointments.ask.unit", column=column_letters(self._columns["units"]))
            self._out.doubts.append(Doubt(about=("minutes", "unit"), asked=asked, choices=choices, suggested="10"))
            return [None] * len(self._lines)
        return [
            None if (count := minutes_of(value)) is None else count * float(answer) for value in self._values("units")
        ]


def _zone_named(name: str) -> ZoneInfo | None:
    try:
        return ZoneInfo(name) if name else None
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return None


def _not_a_zone(answer: str) -> Refused | None:
    return None if _zone_named(answer) else Refused(why=(message("import.refused.zone"),))


def _between(start: float | None, end: float | None, minutes: float | None) -> float | None:
    """How long something took: its minutes, or from its start to its end."""
    if minutes is None and start is not None and end is not None:
        minutes = end - start
    return minutes if minutes and 0 < minutes <= 12 * 60 else None


def _which_is_the_month(values: Iterable[CellValue], grid: Grid) -> Doubt:
    """The question; most likely is the order in which the dates lie closer together."""
    texts = [value for value in values if isinstance(value, str) and needs_order([value])]
    reach: dict[Order, timedelta] = {}
    for order in ORDERS.values():
        days = sorted(moment.day for text in texts if (moment := moment_of(text, order)))
        if len(days) == len(texts):
            reach[order] = days[-1] - days[0]
    likely: str = min(reach, key=lambda order: reach[order]) if len(set(reach.values())) == 2 else ""
    choices = {"mdy": message("appointments.ask.month-first"), "dmy": message("appointments.ask.day-first")}
    return Doubt(
        about=("dates", "order"),
        asked=message("appointments.ask.order"),
        choices=choices,
        suggested=likely,
        sure=0.8 if likely else 0.0,
        why=message("appointments.ask.order-why") if likely else "",
        sources=(grid.name,),
    )


def spans(rows: Iterable[int], most: int = 40) -> str:
    """Return rows as people write them: ``2-5, 9, 14``; after so many spans only that there are more."""
    found: list[list[int]] = []
    for row in sorted(set(rows)):
        if found and row == found[-1][1] + 1:
            found[-1][1] = row
        else:
            found.append([row, row])
    texts = [f"{first}" if first == last else f"{first}-{last}" for first, last in found]
    return ", ".join(texts[:most]) + (", …" if len(texts) > most else "")
