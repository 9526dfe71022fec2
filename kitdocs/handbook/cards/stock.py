"""Card of the store: how many of each should be there, when to order again, and what no figure counts."""

from __future__ import annotations

from kitdocs.document.blocks import Cell, Facts, Matrix
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.sets import set_cell
from kitdocs.handbook.cards.spares import spares
from kitdocs.handbook.cards.uncounted import lasting, used_up
from kitdocs.handbook.layout import facts, table
from kitdocs.handbook.pictures import tip_of
from kitdocs.planning.buying.supplies import SupplyUse


def stock_card(brief: Brief) -> Card:
    """Return how many of each set and pouch the practice keeps, and at how many of each supply it orders again."""
    words = brief.words
    used = [use for use in brief.plan.supplies if use.per_day]
    supplies = ((_supply(brief, use), brief.words.number(use.reorder_at), brief.words.number(use.pack)) for use in used)
    head = words.each("card.stock", "supply", "order-at", "pack")
    order = (table(words("card.stock.order"), head, supplies, numbers=(1, 2)),) if used else ()
    return Card(
        id="stock",
        kind="stock",
        title=words("card.stock.title"),
        section=words("card.section.room"),
        hangs=words("card.hangs.storage"),
        place="storage",
        area="storage",
        pairs=True,
        front=(_sets(brief), _pouches(brief), *_spares(brief), *order, _uncounted(brief)),
    )


def _supply(brief: Brief, use: SupplyUse) -> Cell:
    return Cell(text=brief.supply(use), detail=brief.lies("supply", use.id, use.kind))


def _sets(brief: Brief) -> Matrix:
    words, owned = brief.words, brief.plan.days.stock
    rows = ((set_cell(brief, set_id), str(owned.get(set_id, 0))) for set_id in brief.practice.sets)
    return table(words("card.stock.sets"), (words("card.map.set"), words("card.stock.in-all")), rows, numbers=(1,))


def _pouches(brief: Brief) -> Matrix:
    words, owned = brief.words, brief.plan.days.pouch_stock
    rows = (
        (
            Cell(text=brief.pouch(pouch), detail=brief.at_stated_place(brief.code_and_kind(pouch), pouch)),
            str(owned.get(pouch, 0)),
        )
        for pouch in brief.practice.pouches
    )
    return table(words("card.stock.pouches"), (words("card.map.pouch"), words("card.stock.in-all")), rows, numbers=(1,))


def _spares(brief: Brief) -> tuple[Matrix, ...]:
    """Return how many spares there should be of each instrument. A posted card never says how many are away."""
    kept = spares(brief)
    rows = [
        (
            Cell(
                text=brief.instrument(instrument),
                detail=brief.lies("spare", instrument),
                picture=tip_of(brief, instrument),
            ),
            str(kept[instrument]),
        )
        for instrument in brief.practice.instruments
        if instrument in kept
    ]
    head = (brief.words("repair.instrument"), brief.words("repair.kept"))
    return (table(brief.words("repair.stock"), head, rows, numbers=(1,)),) if rows else ()


def _uncounted(brief: Brief) -> Facts:
    words, named = brief.words, {"used-up": used_up(brief), "lasting": lasting(brief)}
    lines = ((words(f"card.uncounted.{name}"), " · ".join(things)) for name, things in named.items())
    return facts(*lines, title=words("card.uncounted.title"))
