"""Stock count form: everything with its picture, how many are needed, and boxes to write in.

The numbers of stock.csv are not on it: whoever counts against a number finds that number (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kitdocs.document.blocks import Cell, FormGrid
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.forms.form_card import form_card, form_rules
from kitdocs.handbook.pictures import cassette_picture, photo_of, tip_of
from kitdocs.handbook.rules.quote import rule_text

_WIDTHS = (78.0, 22, 24, 26, 46)

#: Empty rows below, for what stands in no file yet.
_MORE = 3


def count_sheet(brief: Brief) -> Card:
    """Return the form for counting every instrument, cassette and packed pouch of the practice."""
    need = {line.id: line.need for line in brief.plan.orders.lines}
    rows = (
        *_group(
            brief,
            "instruments",
            (
                _instrument(brief, i, need[i])
                for i, record in brief.practice.instruments.items()
                if not record.single_use
            ),
        ),
        *_group(brief, "cassettes", (_cassette(brief, c, need[c]) for c in brief.practice.cassettes)),
        *_group(brief, "pouches", (_pouch(brief, p) for p in brief.practice.pouches)),
    )
    head = tuple(brief.words(f"forms.count.{name}") for name in ("thing", "need", "on-hand", "in-repair"))
    grid = FormGrid(columns=(*head, brief.words("forms.remarks")), widths=_WIDTHS, rows=_MORE, given=rows)
    blocks = (form_rules(brief, "count", rule_text(brief, "count-all"), rule_text(brief, "count-write")), grid)
    return form_card(brief, "count-sheet", "count", blocks, hangs="storage", place="storage")


def _group(brief: Brief, kind: str, rows: Iterable[tuple[Cell, ...]]) -> Iterator[tuple[Cell, ...]]:
    counted = list(rows)
    if counted:
        yield (Cell(text=brief.words(f"forms.count.{kind}")),)
        yield from counted


def _instrument(brief: Brief, instrument: str, need: int) -> tuple[Cell, ...]:
    return Cell(text=brief.instrument(instrument), picture=tip_of(brief, instrument)), Cell(text=str(need))


def _cassette(brief: Brief, cassette: str, need: int) -> tuple[Cell, ...]:
    record = brief.practice.cassettes[cassette]
    size = brief.size(record.outside.length, record.outside.width)
    named = Cell(text=brief.say(record.name), detail=size, picture=cassette_picture(brief, cassette))
    return named, Cell(text=str(need))


def _pouch(brief: Brief, pouch: str) -> tuple[Cell, ...]:
    record = brief.practice.pouches[pouch]
    picture = photo_of(brief, pouch, brief.pouch(pouch)) or tip_of(brief, record.contents[0])
    named = Cell(text=brief.pouch(pouch), detail=record.code, picture=picture)
    return named, Cell(text=str(brief.plan.days.pouch_stock.get(pouch, 0)))
