"""Card of the store: how many of each should be there, and when to order again."""

from __future__ import annotations

from kitdocs.document.blocks import Cell, Matrix
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.sets import set_cell
from kitdocs.handbook.cards.spares import spares
from kitdocs.handbook.pictures import tip_of
from kitdocs.planning.buying.supplies import SupplyUse


def stock_card(brief: Brief) -> Card:
    """Return how many of each set and pouch the practice keeps, and at how many of each supply it orders again."""
    words = brief.words
    supplies = tuple(_supply(brief, use) for use in brief.plan.supplies if use.per_day)
    head = tuple(words(f"card.stock.{name}") for name in ("supply", "order-at", "pack"))
    order = (Matrix(title=words("card.stock.order"), head=head, rows=supplies, numbers=(1, 2)),) if supplies else ()
    return Card(
        id="stock",
        kind="stock",
        form="sheet",
        title=words("card.stock.title"),
        section=words("card.section.room"),
        hangs=words("card.hangs.storage"),
        place="storage",
        area="storage",
        front=(_sets(brief), _pouches(brief), *_spares(brief), *order),
    )


def _sets(brief: Brief) -> Matrix:
    words, owned = brief.words, brief.plan.days.stock
    rows = tuple((set_cell(brief, set_id), Cell(text=str(owned.get(set_id, 0)))) for set_id in brief.practice.sets)
    head = (words("card.map.set"), words("card.stock.in-all"))
    return Matrix(title=words("card.stock.sets"), head=head, rows=rows, numbers=(1,))


def _pouches(brief: Brief) -> Matrix:
    words, owned = brief.words, brief.plan.days.pouch_stock
    rows = tuple(
        (Cell(text=brief.pouch(pouch), detail=brief.code_and_kind(pouch)), Cell(text=str(owned.get(pouch, 0))))
        for pouch in brief.practice.pouches
    )
    head = (words("card.map.pouch"), words("card.stock.in-all"))
    return Matrix(title=words("card.stock.pouches"), head=head, rows=rows, numbers=(1,))


def _spares(brief: Brief) -> tuple[Matrix, ...]:
    """Return how many spares there should be of each instrument. A posted card never says how many are away."""
    kept = spares(brief)
    rows = tuple(
        (Cell(text=brief.instrument(instrument), picture=tip_of(brief, instrument)), Cell(text=str(kept[instrument])))
        for instrument in brief.practice.instruments
        if instrument in kept
    )
    head = (brief.words("repair.instrument"), brief.words("repair.kept"))
    return (Matrix(title=brief.words("repair.stock"), head=head, rows=rows, numbers=(1,)),) if rows else ()


def _supply(brief: Brief, use: SupplyUse) -> tuple[Cell, ...]:
    return Cell(text=brief.supply(use)), Cell(text=f"{use.reorder_at:,}"), Cell(text=f"{use.pack:,}")
