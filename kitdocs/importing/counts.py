"""Counts of an inventory's lines: read, or asked about."""

from __future__ import annotations

from collections.abc import Callable

from kitdocs.importing import columns
from kitdocs.importing.columns import COUNT_WORDS, Line
from kitdocs.importing.found import NOTHING, Doubt, Known, Refused, UnusedCells
from kitdocs.importing.grids import GridCell
from kitdocs.importing.vocabulary import folded
from kitdocs.practice.message import Message, message

#: Of one instrument; a larger number is no count.
_MOST_PIECES = 9999


class Counts:
    """How many there are, and how many are in repair. Questions go to `ask`; cells that wait for one, to `unused`."""

    def __init__(self, known: Known, ask: Callable[[Doubt], None], unused: list[UnusedCells]) -> None:
        self._known, self._ask, self._unused = known, ask, unused
        self._told: set[tuple[str, ...]] = set()

    def of(self, line: Line, field_: str) -> int | None:
        """Return the `stock` of a line, or what is `in_repair`; None where it has none, or nobody has said yet."""
        cell = line.cells.get(field_)
        stock = line.cells.get("stock")
        if cell is None and field_ == "in_repair" and stock:
            both = columns.some_in_repair(stock.text)
            return both[1] if both and self._how_many(line, stock, both) is not None else None
        if cell is None:
            return None
        if field_ == "stock" and "in_repair" not in line.cells and (both := columns.some_in_repair(cell.text)):
            return self._how_many(line, cell, both)
        try:
            return columns.count_of(cell)
        except ValueError:
            about = ("counts", folded(line.text("name")), cell.text)
            answer = self._known.answer(*about)
            if answer is not None and not _no_count(answer):
                return None if answer == NOTHING else _counted(answer)
            self._ask(
                Doubt(
                    about=about,
                    asked=message("import.ask.count", name=line.text("name"), text=cell.text),
                    suggested=columns.likely_count(cell.text),
                    sure=0.5,
                    sources=(line.place(field_),),
                    check=_no_count,
                )
            )
            self._unused.append(line.unused(field_, message("import.unused.no-count")))
            return None

    def _how_many(self, line: Line, cell: GridCell, both: tuple[int, int]) -> int | None:
        """How many are here of a count that speaks of some in repair; None as long as nobody has said."""
        total, away = both
        among: dict[str, Message | str] = {
            "of": message("import.choice.repair-of", here=max(0, total - away), away=away),
            "beside": message("import.choice.repair-beside", here=total, away=away),
        }
        about = ("repair", folded(line.text("name")), cell.text)
        answer = self._known.chosen(*about, among=among)
        if answer is None:
            asked = message("import.ask.repair", name=line.text("name"), text=cell.text)
            where = (line.place("stock"),)
            self._ask(Doubt(about=about, asked=asked, choices=among, suggested="of", sure=0.6, sources=where))
            if about not in self._told:
                self._unused.append(line.unused("stock", message("import.unused.no-count")))
            self._told.add(about)
            return None
        return total if answer == "beside" else max(0, total - away)


def _no_count(answer: str) -> Refused | None:
    """Why an answer is no count of pieces; None when it is one, or says that there is none to state."""
    is_number = answer.isascii() and answer.isdigit() and int(answer) <= _MOST_PIECES
    is_count = answer == NOTHING or is_number or folded(answer) in COUNT_WORDS
    return None if is_count else Refused(why=(message("import.refused.count"),))


def _counted(answer: str) -> int:
    words = COUNT_WORDS.get(folded(answer))
    return int(answer) if words is None else words
