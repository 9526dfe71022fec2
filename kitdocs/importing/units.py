"""The unit of lengths that were written without one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from statistics import median

from kitdocs.importing import columns
from kitdocs.importing.columns import Line
from kitdocs.importing.found import Doubt, Known
from kitdocs.practice.message import message

_USUAL_LENGTH = 140.0


class UnitOf:
    """The unit of numbers without one: what the heading states, what can only be meant, or what a person says."""

    def __init__(self, lines: Sequence[Line], known: Known) -> None:
        self.known = known
        self.stated: Mapping[str, str] = {}
        self.open: dict[str, list[Line]] = {}
        if lines:
            self.stated = {name: columns.unit_named(unit) for name, unit in lines[0].head.units.items()}
        for field_ in ("length", "width"):
            unclear = [line for line in lines if self._is_unclear(line, field_)]
            if unclear:
                self.open[field_] = unclear

    def of(self, field_: str, number: float) -> str:
        if unit := self.stated.get(field_, ""):
            return unit
        answer = self.known.answer("units", field_)
        can_be = columns.possible_units(number) if field_ == "length" else ()
        if len(can_be) == 1:
            return can_be[0]
        return answer if answer in columns.UNITS and (not can_be or answer in can_be) else ""

    def _is_unclear(self, line: Line, field_: str) -> bool:
        cell = line.cells.get(field_)
        number = columns.bare_number(cell) if cell else None
        answered = self.known.chosen("units", field_, among=columns.UNITS)
        return number is not None and not self.of(field_, number) and answered is None

    def doubts(self) -> list[Doubt]:
        found = []
        for field_, lines in self.open.items():
            numbers = [columns.bare_number(line.cells[field_]) or 0.0 for line in lines]
            likely = min(columns.UNITS, key=lambda unit: abs(median(numbers) * columns.UNITS[unit] - _USUAL_LENGTH))
            heading = lines[0].head.headings[lines[0].head.columns[field_]]
            found.append(
                Doubt(
                    about=("units", field_),
                    asked=message("import.ask.unit", heading=heading, numbers=", ".join(f"{n:g}" for n in numbers[:4])),
                    choices={unit: message(f"import.unit.{unit}") for unit in columns.UNITS},
                    suggested=likely if field_ == "length" else "mm",
                    sure=0.7,
                    sources=tuple(line.place(field_) for line in lines[:6]),
                )
            )
        return found
