"""The first-week watch list: what to note each day, and what to do when a limit is passed."""

from __future__ import annotations

from kitdocs.document.blocks import Cell, FormGrid, Matrix, said
from kitdocs.document.card import Card
from kitdocs.handbook.move.move import Move
from kitdocs.handbook.move.watch import Watched, watched

DAYS = 5


def first_week_card(move: Move) -> Card:
    """Return a grid of days to write in, and below it which number to change."""
    words = move.words
    rows = tuple(watched(move))
    grid = FormGrid(
        columns=(
            words("move.week.watch"),
            words("move.week.limit"),
            *(words("move.week.day", n=n) for n in range(1, DAYS + 1)),
        ),
        widths=(96, 22, *[13] * DAYS),
        rows=0,
        fields=(words("move.week.begun"), words("move.week.by")),
        given=tuple((Cell(text=row.what, detail=row.why), Cell(text=row.limit)) for row in rows),
    )
    intro, then = (
        said(words("move.week.intro")),
        said(words("move.week.tell", card=words("card.mishaps.title")), words("move.week.then")),
    )
    return move.card("move/first-week", (intro, grid, _passed(move, rows), then))


def _passed(move: Move, rows: tuple[Watched, ...]) -> Matrix:
    words = move.words
    return Matrix(
        title=words("move.week.passed"),
        head=(words("move.week.watch"), words("move.week.change")),
        rows=tuple((Cell(text=row.what), Cell(text=row.change)) for row in rows),
    )
