"""Layout of cards: tables, short facts and steps of plain words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeAlias

from kitdocs.document.blocks import Cell, Fact, Facts, Matrix, Step, Steps

CellText: TypeAlias = "str | int | Cell | None"


def cells(*texts: CellText) -> tuple[Cell, ...]:
    """Return a row of a table; where nothing is known, a cell is empty."""
    return tuple(each if isinstance(each, Cell) else Cell(text="" if each is None else str(each)) for each in texts)


def table(title: str, head: Iterable[str], rows: Iterable[Sequence[CellText]], numbers: Iterable[int] = ()) -> Matrix:
    """Return a table of words and cells; `numbers` are the columns set flush right."""
    return Matrix(title=title, head=tuple(head), rows=tuple(cells(*row) for row in rows), numbers=tuple(numbers))


def facts(*stated: Fact | tuple[str, str], title: str = "") -> Facts:
    """Return short facts, each a label and a value."""
    return Facts(
        title=title,
        facts=tuple(fact if isinstance(fact, Fact) else Fact(label=fact[0], value=fact[1]) for fact in stated),
    )


def steps(title: str, texts: Iterable[str], *, numbered: bool = True) -> Steps:
    """Return steps in words; a text that is empty, as what does not apply to the practice is, is left out."""
    return Steps(title=title, steps=tuple(Step(text=text) for text in texts if text), numbered=numbered)
