"""Meanings of the texts of an appointment book: which chair, which procedure, what became of the visit.

What the folder knows by name, or a person has said before, is taken without a question; a label that may be shown is
asked about; all else is told by its row.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from kitdocs.importing.appointment_rows import AppointmentRow, spans
from kitdocs.importing.appointment_words import OUTCOMES, is_chair, is_no_visit, likest, numbered
from kitdocs.importing.askable import Askable, Phrase, Said, askable, phrase
from kitdocs.importing.found import NOTHING, About, Doubt, Known, UnusedCells, as_about
from kitdocs.importing.naming import name_written, names_of
from kitdocs.importing.variants import variant_of
from kitdocs.importing.vocabulary import folded
from kitdocs.practice.message import Message, counted, message
from kitdocs.practice.values import as_id

#: An answer that says: a record of its own, named by the label.
NEW = "new"
_STANDINGS = ("kept", "absent", "cancelled", "booked")


@dataclass(frozen=True, slots=True)
class NewRecord:
    """A chair or procedure that the folder does not have yet."""

    id: str
    name: str


@dataclass(slots=True)
class Meanings:
    """What rows mean, by `AppointmentRow.at`; a row without an entry is not known, or is left out on purpose."""

    chairs: dict[int, str] = field(default_factory=dict)
    procedures: dict[int, str] = field(default_factory=dict)
    outcomes: dict[int, str] = field(default_factory=dict)
    new_chairs: dict[str, NewRecord] = field(default_factory=dict)
    new_procedures: dict[str, NewRecord] = field(default_factory=dict)
    left_out: set[int] = field(default_factory=set)
    """Rows that are no visits, or whose chair a person left out."""
    unknown: set[int] = field(default_factory=set)
    """Rows that do not count, because their type may not be shown and is not known."""
    doubts: list[Doubt] = field(default_factory=list)
    unused: list[UnusedCells] = field(default_factory=list)
    remembered: dict[About, str] = field(default_factory=dict)


def meanings_of(rows: Sequence[AppointmentRow], known: Known) -> Meanings:
    """Return what the texts of the rows mean, with a question for each label that is not known and may be shown."""
    out = Meanings()
    _Types(rows, known, out).settle()
    _Chairs(rows, known, out).settle()
    _Outcomes(rows, known, out).settle()
    return out


@dataclass(frozen=True, slots=True)
class _Label:
    """What comes again and again in a column: as it is written most often, and in which rows."""

    written: str
    rows: list[AppointmentRow] = field(default_factory=list)


class _Labels:
    """One of the columns. `about` is what its answers are kept under."""

    about = ""

    def __init__(self, rows: Sequence[AppointmentRow], known: Known, out: Meanings) -> None:
        self._rows, self._known, self._out = rows, known, out
        self._labels: dict[Phrase, _Label] = {}
        self._answered = {key[1]: said for key, said in known.answers.items() if key[0] == self.about and len(key) == 2}

    def _text(self, row: AppointmentRow) -> str:
        raise NotImplementedError

    def _meant(self, label: Phrase) -> str | None:
        """What a label means without asking; None when that is not known, or the answer is no word."""
        meant = self._answered.get(as_about(" ".join(label))[0])
        return meant if meant == NOTHING or (meant and as_id(folded(meant)) and name_written(meant)) else None

    def _doubt(self, label: Phrase, written: str, seen: Sequence[AppointmentRow]) -> Doubt:
        raise NotImplementedError

    def _take(self, row: AppointmentRow, meant: str, written: str) -> None:
        raise NotImplementedError

    def _read(self, said: Sequence[Said], is_known: Callable[[Phrase], bool]) -> Askable:
        raise NotImplementedError

    def _without_asking(self, written: str) -> str | None:
        """What a label that may be shown means, where nobody need be asked."""
        return None

    def settle(self) -> None:
        """Give each row what its label means; ask about those that nobody has said, and tell the rows of the rest."""
        of = {row.at: row for row in self._rows}
        said = [Said(row=row.at, text=self._text(row), day=row.day) for row in self._rows if self._text(row)]
        found = self._read(said, lambda label: self._meant(label) is not None)
        for at, label in found.labels.items():
            new = _Label(found.written.get(label, " ".join(label)))
            self._labels.setdefault(label, new).rows.append(of[at])
        for label, seen in self._labels.items():
            meant = self._meant(label)
            if meant is None and (meant := self._without_asking(seen.written)):
                self._out.remembered[self.about, " ".join(label)] = meant
            for row in seen.rows if meant is not None else ():
                self._take(row, meant or "", seen.written)
            if meant is None:
                self._out.doubts.append(self._doubt(label, seen.written, seen.rows))
        if self.about == "types":
            self._out.unknown |= {*found.hidden}
        for grid in dict.fromkeys(of[at].grid for at in found.hidden):
            hidden = [of[at].row for at in found.hidden if of[at].grid == grid]
            why = counted(f"appointments.unused.{self.about}", len(hidden))
            self._out.unused.append(UnusedCells(where=f"{grid}: {spans(hidden)}", why=why))


def _sources(rows: Sequence[AppointmentRow]) -> tuple[str, ...]:
    grids = dict.fromkeys(row.grid for row in rows)
    return tuple(f"{grid}: {spans((row.row for row in rows if row.grid == grid), 8)}" for grid in grids)


def _choices(records: Mapping[str, object]) -> dict[str, Message | str]:
    return {id_: names_of(id_, record)[0] for id_, record in records.items()}


class _Types(_Labels):
    about = "types"

    def __init__(self, rows: Sequence[AppointmentRow], known: Known, out: Meanings) -> None:
        super().__init__(rows, known, out)
        records = known.of("procedures").items()
        self._names = {id_: [phrase(name) for name in names_of(id_, record)] for id_, record in records}
        self._ids = {name: id_ for id_, names in self._names.items() for name in names}

    def _text(self, row: AppointmentRow) -> str:
        return row.type

    def _meant(self, label: Phrase) -> str | None:
        """What a label means; what is the same as another label means what that does."""
        meant = super()._meant(label) or self._ids.get(label)
        other = super()._meant(phrase(meant)) if meant and phrase(meant) != label else None
        return meant if other in (None, NEW) else other

    def _read(self, said: Sequence[Said], is_known: Callable[[Phrase], bool]) -> Askable:
        names = [name for names in self._names.values() for name in names]
        return askable(
            said,
            is_known,
            headed=all(row.headed for row in self._rows),
            variant=lambda label, shown: variant_of(label, (*shown, *names)),
        )

    def _take(self, row: AppointmentRow, meant: str, written: str) -> None:
        if meant == NOTHING:
            self._out.left_out.add(row.at)
            return
        self._out.procedures[row.at] = _id_of(meant, written, self._known.of("procedures"), self._out.new_procedures)

    def _doubt(self, label: Phrase, written: str, seen: Sequence[AppointmentRow]) -> Doubt:
        like, sure = likest(label, self._names)
        suggested, sure = (NOTHING, 0.9) if is_no_visit(label) else (like, sure) if like else (NEW, 0.6)
        asked = counted("appointments.ask.type", len(seen), type=written, days=_days(seen))
        same: dict[str, Message | str] = {}
        if other := variant_of(label, self._more_often(label)):
            suggested, sure = self._labels[other].written, 0.8
            same[suggested] = message("appointments.ask.same-type", name=suggested)
        choices = {
            **same,
            NEW: message("appointments.ask.new-procedure", name=written),
            NOTHING: message("appointments.ask.no-visit"),
            **_choices(self._known.of("procedures")),
        }
        about = (self.about, " ".join(label))
        return Doubt(about=about, asked=asked, choices=choices, suggested=suggested, sure=sure, sources=_sources(seen))

    def _more_often(self, label: Phrase) -> list[Phrase]:
        """The other labels that come more often than this one and are no record's yet, most often first."""
        often = {other: len(found.rows) for other, found in self._labels.items() if other not in self._ids}
        return sorted((other for other in often if often[other] > often[label]), key=lambda each: -often[each])


class _Chairs(_Labels):
    about = "chairs"

    def __init__(self, rows: Sequence[AppointmentRow], known: Known, out: Meanings) -> None:
        super().__init__(rows, known, out)
        records = known.of("chairs")
        self._by_staff = all(row.by_staff for row in rows)
        self._names = {id_: [phrase(name) for name in names_of(id_, record)] for id_, record in records.items()}
        self._ids = {name: id_ for id_, names in self._names.items() for name in names}
        self._numbers: dict[str, list[str]] = {}
        for id_ in records:
            self._numbers.setdefault(numbered(phrase(id_)), []).append(id_)

    def _text(self, row: AppointmentRow) -> str:
        return row.chair

    def _meant(self, label: Phrase) -> str | None:
        return super()._meant(label) or self._ids.get(label)

    def _without_asking(self, written: str) -> str | None:
        """In a folder without chairs, those with a number are its own."""
        return NEW if numbered(phrase(written)) and not (self._by_staff or self._known.of("chairs")) else None

    def _read(self, said: Sequence[Said], is_known: Callable[[Phrase], bool]) -> Askable:
        return askable(
            said,
            is_known,
            headed=not any(row.free_text for row in self._rows),
            staff=not any(row.free_text for row in self._rows),
        )

    def _take(self, row: AppointmentRow, meant: str, written: str) -> None:
        if meant == NOTHING:
            self._out.left_out |= set() if self._by_staff else {row.at}
            return
        self._out.chairs[row.at] = _id_of(meant, written, self._known.of("chairs"), self._out.new_chairs)

    def _doubt(self, label: Phrase, written: str, seen: Sequence[AppointmentRow]) -> Doubt:
        numbers = self._numbers.get(numbered(label), []) if numbered(label) else []
        same = [id_ for id_ in numbers if is_chair(label, self._names[id_])]
        suggested, sure = (same[0], 0.8) if len(same) == 1 else (NOTHING if self._by_staff else NEW, 0.6)
        key = "appointments.ask.whose-chair" if self._by_staff else "appointments.ask.chair"
        choices = {
            NEW: message("appointments.ask.new-chair", name=written),
            NOTHING: message("appointments.ask.no-one-chair" if self._by_staff else "appointments.ask.no-chair"),
            **_choices(self._known.of("chairs")),
        }
        return Doubt(
            about=(self.about, " ".join(label)),
            asked=counted(key, len(seen), chair=written, days=_days(seen)),
            choices=choices,
            suggested=suggested,
            sure=sure,
            sources=_sources(seen),
        )


class _Outcomes(_Labels):
    about = "outcomes"

    def _text(self, row: AppointmentRow) -> str:
        return row.outcome

    def _meant(self, label: Phrase) -> str | None:
        meant = super()._meant(label)
        return meant if meant in _STANDINGS else OUTCOMES.get(label)

    def _read(self, said: Sequence[Said], is_known: Callable[[Phrase], bool]) -> Askable:
        return askable(said, is_known, headed=True)

    def _take(self, row: AppointmentRow, meant: str, written: str) -> None:
        self._out.outcomes[row.at] = meant

    def _doubt(self, label: Phrase, written: str, seen: Sequence[AppointmentRow]) -> Doubt:
        choices: dict[str, Message | str] = {
            standing: message(f"appointments.ask.outcome-is.{standing}") for standing in _STANDINGS
        }
        asked = counted("appointments.ask.outcome", len(seen), outcome=written, days=_days(seen))
        return Doubt(
            about=(self.about, " ".join(label)), asked=asked, choices=choices, sources=_sources(seen), needed=False
        )


def _days(rows: Sequence[AppointmentRow]) -> Message:
    return counted("appointments.on-days", len({row.day for row in rows}))


def _id_of(meant: str, written: str, records: Mapping[str, object], new: dict[str, NewRecord]) -> str:
    """The id that an answer names, by id or name. A new record is named by its label, or as the answer says."""
    if meant in records:
        return meant
    called = {phrase(name): id_ for id_, record in records.items() for name in names_of(id_, record)}
    name = name_written(written if meant == NEW else meant) or "?"
    if meant != NEW and phrase(name) in called:
        return called[phrase(name)]
    id_ = as_id(folded(name)) or "unnamed"
    if id_ not in records:
        new.setdefault(id_, NewRecord(id_, name))
    return id_
