"""The stock of the first morning: what is packed and where it lies, set by set and drawer by drawer."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Cell, Matrix
from kitdocs.document.card import Card
from kitdocs.handbook.move.move import Move
from kitdocs.handbook.pictures import chair_mark_of, set_mark_of


def start_card(move: Move) -> Card:
    """Return the stock to count by on the first morning, before the doors open."""
    return move.card("move/start", tuple(_blocks(move)))


def _blocks(move: Move) -> Iterator[Block]:
    practice = move.brief.practice
    yield _table(move, "sets", ("set", "label", "on-shelf"), _sets(move))
    if practice.pouches:
        yield _table(move, "pouches", ("pouch", "label", "on-shelf"), _pouches(move))
    if any(chair.drawer for chair in practice.chairs.values()):
        yield _table(move, "drawers", ("chair", "in-drawer", "in-all"), _drawers(move))


def _table(move: Move, title: str, head: tuple[str, ...], rows: Iterator[tuple[Cell, ...]]) -> Matrix:
    return Matrix(
        title=move.words(f"move.start.{title}"),
        head=tuple(move.words(f"move.start.{name}") for name in (*head, "counted")),
        rows=tuple((*row, Cell(tick=True)) for row in rows),
        numbers=(2,),
    )


def _sets(move: Move) -> Iterator[tuple[Cell, ...]]:
    brief = move.brief
    for set_id, record in brief.practice.sets.items():
        name = Cell(text=brief.set(set_id), picture=set_mark_of(brief, set_id), link=move.link(f"s/{set_id}"))
        yield name, Cell(text=record.code), Cell(text=str(brief.plan.days.stock.get(set_id, 0)))


def _pouches(move: Move) -> Iterator[tuple[Cell, ...]]:
    """Yield what lies in no drawer on the first morning: all add-ons, and what the drawers leave of their pouches."""
    brief = move.brief
    owned, in_drawers = brief.plan.days.pouch_stock, _in_drawers(move)
    for pouch in brief.practice.pouches:
        link = move.link(f"p/{pouch}")
        left = owned.get(pouch, 0) - in_drawers.get(pouch, 0)
        yield Cell(text=brief.pouch(pouch), link=link), Cell(text=brief.code_and_kind(pouch)), Cell(text=str(left))


def _in_drawers(move: Move) -> dict[str, int]:
    found: dict[str, int] = {}
    for (_, pouch), par in move.brief.plan.par.items():
        found[pouch] = found.get(pouch, 0) + par
    return found


def _drawers(move: Move) -> Iterator[tuple[Cell, ...]]:
    brief = move.brief
    for chair, record in brief.practice.chairs.items():
        if record.drawer:
            pars = {pouch: brief.plan.par[chair, pouch] for pouch in record.drawer}
            name = Cell(text=brief.chair(chair), picture=chair_mark_of(brief, chair), link=move.link(f"r/{chair}"))
            holds = " · ".join(f"{par}\u00a0× {brief.pouch(pouch)}" for pouch, par in pars.items())
            yield name, Cell(text=holds), Cell(text=str(sum(pars.values())))
