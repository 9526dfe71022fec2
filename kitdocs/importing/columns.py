"""Headings of the lists that offices keep (lists.yaml), and the values below them."""

from __future__ import annotations

import re
from collections.abc import Collection, Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path
from typing import Any, cast

import yaml

from kitdocs.importing.found import NOTHING, Doubt, Known, UnusedCells
from kitdocs.importing.grids import Grid, GridCell, column_letters
from kitdocs.importing.headings import HeadRow, Vocabulary, head_of, plain_words
from kitdocs.importing.people import PATIENT, Reason, is_name, looks_like_people
from kitdocs.importing.vocabulary import folded, in_other_languages, other_words, words_of
from kitdocs.practice import quantities
from kitdocs.practice.message import Message, message


@cache
def _headings() -> Mapping[str, Any]:
    return cast(dict[str, Any], yaml.safe_load((Path(__file__).parent / "lists.yaml").read_text("utf-8")))


@cache
def vocabulary(kind: str) -> Vocabulary:
    """Return the headings of one kind of list."""
    return Vocabulary(
        {name: [str(word) for word in words] for name, words in _headings()[kind].items()},
        weak=[*map(str, _headings()["weak"]), *other_words("weak")],
        others={language: there["headings"][kind] for language, there in in_other_languages().items()},
    )


def fields_of(kind: str) -> tuple[str, ...]:
    """Return the fields that a list of this kind can have."""
    return tuple(_headings()[kind])


def head(kind: str, grid: Grid, known: Known) -> HeadRow | None:
    """Return the headings of a sheet as a list of this kind, by its usual words and by what people said of them."""
    said = {about[2]: answer for about, answer in known.answers.items() if about[:2] == ("columns", kind)}
    settled = {heading: answer for heading, answer in said.items() if answer in (*fields_of(kind), NOTHING)}
    found = head_of(grid, vocabulary(kind), settled)
    return found and _without_running_number(grid, found, vocabulary(kind), settled)


def _without_running_number(grid: Grid, found: HeadRow, words: Vocabulary, settled: Collection[str]) -> HeadRow:
    """The headings without a count that only numbers the lines: 1, 2, 3 below `No.`; unless people said it is one."""
    for count in ("stock", "on_hand"):
        column = found.columns.get(count, 0)
        heading = words.meant(found.headings[column]) if column else None
        if heading is None or heading.sure == 1.0 or plain_words(found.headings[column]) in settled:
            continue
        values = [row[column - 1].text for row in found.lines(grid) if row[column - 1].text]
        if len(values) >= _FEWEST_NUMBERED and values == [str(n + 1) for n in range(len(values))]:
            return replace(found, columns={name: at for name, at in found.columns.items() if name != count})
    return found


#: So many lines in a row, at least, are numbered on purpose.
_FEWEST_NUMBERED = 3


def score(kind: str, grid: Grid, known: Known, needed: Iterable[str], telling: Iterable[str]) -> float:
    """Return how surely a sheet is a list of this kind: all `needed` fields are there; `telling` make it surer."""
    found = head(kind, grid, known)
    if found is None or not set(needed) <= found.columns.keys():
        return 0.0
    if is_about_patients(grid, found) or any(_refused(grid, found, found.columns[field]) for field in needed):
        return 0.0
    return min(0.5 + 0.15 * len(set(telling) & found.columns.keys()), 1.0)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a list: its cells by field."""

    grid: Grid
    head: HeadRow
    cells: Mapping[str, GridCell]

    def text(self, field: str) -> str:
        """Return what a person reads in one of its cells; '' where there is none."""
        cell = self.cells.get(field)
        return cell.text if cell else ""

    def place(self, field: str = "name") -> str:
        """Return where a cell stands: ``inventory.xlsx, Pliers, B7``."""
        cell = self.cells.get(field) or next(iter(self.cells.values()))
        return f"{self.grid.name}, {cell.where}"

    def unused(self, field: str, why: Message) -> UnusedCells:
        """Return that a cell was not used, with what it says: the column is one that was mapped."""
        return UnusedCells(where=f"{self.place(field)}: {self.text(field)}", why=why)


def lines_of(kind: str, grid: Grid, known: Known) -> tuple[list[Line], list[UnusedCells]]:
    """Return the lines of a sheet, and the columns and lines that are not read."""
    found = head(kind, grid, known)
    if found is None:
        return [], [UnusedCells(where=grid.name, why=message("import.unused.no-headings"))]
    of_column = {column: name for name, column in found.columns.items()}
    refused = _people(grid, found)
    of_column = {column: name for column, name in of_column.items() if column not in refused}
    lines = []
    for row in found.lines(grid):
        cells = {of_column[cell.column]: cell for cell in row if cell.column in of_column and cell.text}
        if cells:
            lines.append(Line(grid, found, cells))
    return lines, _columns_unused(grid, found, of_column, refused)


@dataclass(frozen=True, slots=True)
class NamedLines:
    """The sheets of a list in which each line has a name of its own; `doubts` and `unused` grow while it is read."""

    kind: str
    grids: Sequence[Grid]
    known: Known
    needed: Sequence[str]
    doubts: list[Doubt] = field(default_factory=list)
    unused: list[UnusedCells] = field(default_factory=list)

    def beside(self, taken: Container[str]) -> Iterator[tuple[str, Line]]:
        """Yield each line with its name, folded, that is not `taken` when its turn comes."""
        for grid in self.grids:
            lines, unread = lines_of(self.kind, grid, self.known)
            self.doubts.extend(unclear_columns(self.kind, grid, self.known, self.needed))
            self.unused.extend(unread)
            for line in lines:
                name = folded(line.text("name"))
                if not line.text("name") or name in taken:
                    why = message(f"import.unused.{'twice' if line.text('name') else 'nameless'}")
                    self.unused.append(line.unused("name", why))
                else:
                    yield name, line


#: So many headings are asked about at most.
_MOST_ASKED = 12


def unclear_columns(kind: str, grid: Grid, known: Known, needed: Iterable[str]) -> list[Doubt]:
    """Return the questions about headings that nothing is known of, where a needed field has no column yet.

    A column that looks as if it were about people is not asked about, and neither is one that nobody headed.
    """
    found = head(kind, grid, known) or _some_head(grid)
    if found is None or set(needed) <= found.columns.keys():
        return []
    mapped, refused = set(found.columns.values()), _people(grid, found)
    asked = []
    for column, heading in found.headings.items():
        plain = plain_words(heading)
        filled = any(row[column - 1].value is not None for row in grid.rows[found.last :])
        if column in mapped or column in refused or not plain or not filled or is_name(heading):
            continue
        if known.chosen("columns", kind, plain, among=(*fields_of(kind), NOTHING)) is None:
            fields = {field: message(f"import.field.{field}") for field in fields_of(kind)}
            asked.append(
                Doubt(
                    about=("columns", kind, plain),
                    asked=message("import.ask.column", heading=heading, sheet=grid.name),
                    choices={**fields, NOTHING: message("import.choice.nothing")},
                    sources=(f"{grid.name}, {column_letters(column)}{found.last}",),
                )
            )
    return asked[:_MOST_ASKED]


def _some_head(grid: Grid) -> HeadRow | None:
    """The first row of several texts without digits, for headings of which none is known."""
    for row in grid.rows[:10]:
        filled = [cell for cell in row if cell.value is not None]
        if len(filled) > 1 and all(isinstance(c.value, str) and not re.search(r"\d", c.value) for c in filled):
            headings = {cell.column: cell.text for cell in filled}
            return HeadRow(first=row[0].row, last=row[0].row, columns={}, units={}, headings=headings)
    return None


def is_about_patients(grid: Grid, found: HeadRow) -> bool:
    """Whether a sheet has a column of birth dates, record numbers or patients by its heading: no list of things has."""
    reasons = [_refused(grid, found, column) for column in found.headings]
    return any(reason and reason.seen_in == "heading" and reason.kind in _OF_PATIENTS for reason in reasons) or any(
        not PATIENT.isdisjoint(words_of(heading)) for heading in found.headings.values()
    )


_OF_PATIENTS = ("birth-date", "record-number")


def _people(grid: Grid, found: HeadRow) -> dict[int, Message]:
    """The columns that look as if they were about people, mapped or not, each with what is said of it."""
    refused = {}
    for column in range(1, len(grid.rows[0]) + 1 if grid.rows else 1):
        if reason := _refused(grid, found, column):
            refused[column] = reason.message(column_letters(column))
    return refused


def _refused(grid: Grid, found: HeadRow, column: int) -> Reason | None:
    heading = found.headings.get(column, "")
    return looks_like_people(heading, (row[column - 1].text for row in grid.rows[found.last :]))


def _columns_unused(
    grid: Grid, found: HeadRow, mapped: Iterable[int], refused: Mapping[int, Message]
) -> list[UnusedCells]:
    """Each column that is not mapped, by its letters and how far it reaches; never what is in it."""
    unused = []
    for column in range(1, len(grid.rows[0]) + 1 if grid.rows else 1):
        rows = [row[column - 1].row for row in grid.rows[found.last :] if row[column - 1].value is not None]
        if column not in mapped and rows:
            letters = column_letters(column)
            where = f"{grid.name}, {letters}{rows[0]}:{letters}{rows[-1]}"
            why = message(f"import.unused.{'again' if column in found.again else 'column'}")
            unused.append(UnusedCells(where=where, why=refused.get(column, why)))
    return unused


_PIECES = r"(?:pcs?|pieces?|ea|each|uds?|unidad(?:es)?|pzas?|piezas?|units?|u|ct|count|x)?"
_COUNT = re.compile(rf"x?\s*(\d{{1,4}})\s*{_PIECES}\.?", re.IGNORECASE)
_WORDS = (
    "zero one two three four five six seven eight nine ten eleven twelve",
    "cero uno dos tres cuatro cinco seis siete ocho nueve diez once doce",
)
#: Counts in words, as far as people write them out.
COUNT_WORDS = {"none": 0, "ninguno": 0, "ninguna": 0, "una": 1}
COUNT_WORDS |= {word: n for words in _WORDS for n, word in enumerate(words.split())}
_BLANK = {"", "-", "--", "n/a", "na", "n/d", "nd", "?", "x", "."}


def count_of(cell: GridCell) -> int | None:
    """Return the count in a cell, None where it is blank or as good as blank. Raise ValueError for what is no count."""
    value, text = cell.value, cell.text.casefold()
    if isinstance(value, int | float) and not isinstance(value, bool):
        if value != int(value) or not 0 <= value < 10_000:
            raise ValueError(text)
        return int(value)
    if text in _BLANK:
        return None
    if text in COUNT_WORDS:
        return COUNT_WORDS[text]
    if not isinstance(value, str) or not (match := _COUNT.fullmatch(text.removesuffix(".0").removesuffix(",0"))):
        raise ValueError(text)
    return int(match[1])


#: Some of a count that are away: ``31 (2 in repair)``.
_REPAIR = re.compile(
    r"(\d{1,4})\s*[(,;+/-]?\s*(\d{1,4})\s+(?:(?:are|is|of them|out|away|being|en|in|at|on|for|para|a)\s+)*"
    r"(?:repair\w*|reparacion\w*|sharpen\w*|afila\w*|service|mantenimiento)\s*\)?"
)


def some_in_repair(text: str) -> tuple[int, int] | None:
    """Return a count and how many are in repair, where a cell says both; whether they are among it, it does not say."""
    found = _REPAIR.fullmatch(folded(text))
    return (int(found[1]), int(found[2])) if found else None


#: Words that leave a number what it is, and words for twelve.
_ABOUT = frozenset(("about", "approx", "approximately", "around", "ca", "circa", "ea", "each", "pc", "pcs", "or", "so"))
_ABOUT |= {"aprox", "unos", "unas", "uds", "ud", "mas", "o", "menos"}
_DOZEN = frozenset(("doz", "dozen", "dz", "docena", "docenas"))


def likely_count(text: str) -> str:
    """Return the count that an unclear text likely means: ``12`` of ``~12``, ``1 doz`` and ``10 + 2``; '' for none.

    Beside a word that says something else, a number says nothing: ``12 boxes``.
    """
    numbers = [int(n) for n in re.findall(r"\d{1,4}", text)]
    words = set(re.findall(r"[^\W\d_]+", folded(text)))
    if re.fullmatch(r"\s*\d{1,4}(\s*\+\s*\d{1,4})+\s*", text):
        return str(sum(numbers))
    if len(numbers) != 1 or re.search(r"[-/.,]\s*\d|\d\s*[-/.,]", text) or words - _ABOUT - _DOZEN:
        return ""
    return str(numbers[0] * (12 if words & _DOZEN else 1))


#: What an instrument can measure, in millimetres, tip to end: shorter is a bur, longer fits no cassette. Ours.
SHORTEST, LONGEST = 40.0, 330.0
UNITS = {"mm": 1.0, "cm": 10.0, "in": 25.4}
_UNIT_WORDS = {
    "mm": "mm",
    "millimetres": "mm",
    "cm": "cm",
    "in": "in",
    "inch": "in",
    "inches": "in",
    '"': "in",
    "”": "in",
}
_UNIT_WORDS |= {"pulg": "in", "pulgadas": "in", "milimetros": "mm", "centimetros": "cm", "pulgada": "in", "ins": "in"}


def unit_named(text: str) -> str:
    """Return ``mm``, ``cm`` or ``in`` for the unit that a heading states, '' for none."""
    return _UNIT_WORDS.get(text.casefold().strip(". "), "")


def possible_units(number: float) -> tuple[str, ...]:
    """Return the units in which an instrument can measure so many."""
    return tuple(unit for unit, size in UNITS.items() if SHORTEST <= number * size <= LONGEST)


def length_written(text: str) -> str:
    """Return a length as it is written in a practice folder, from a text with its unit. Raise ValueError.

    Of ``5 1/2" (14 cm)`` the first is taken, when both say the same within 3 mm.
    """
    cleaned = text.strip().rstrip(".")
    try:
        quantities.length(cleaned)
        return re.sub(r"\s*(?:[\"″”]|''|’’)$", " in", cleaned)
    except ValueError:
        parts = [part.strip(" ()") for part in re.split(r"[/(=]|\s-\s|,\s", cleaned) if part.strip(" ()")]
        if len(parts) != 2 or re.fullmatch(r"[\d\s]+", parts[0]):
            raise
        first, second = map(quantities.length, parts)
        if abs(first - second) > 3:
            raise
        return length_written(parts[0])


def bare_number(cell: GridCell) -> float | None:
    """Return the number in a cell that states no unit; None for anything else."""
    if isinstance(cell.value, int | float) and not isinstance(cell.value, bool):
        return float(cell.value)
    try:
        found = quantities.number(cell.text)
    except ValueError:
        return None
    return found if isinstance(found, float) else None
