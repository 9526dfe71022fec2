"""Order list of the move, to tick off when a thing is ordered and when it has come."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from kitdocs.document.blocks import Block, Cell, Fact, Facts, Matrix, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.move.move import Move
from kitdocs.handbook.pictures import cassette_picture, tip_of
from kitdocs.planning.buying.first_supplies import FirstSupply, first_supplies, total_cost
from kitdocs.planning.buying.orders import OrderLine
from kitdocs.practice.numbers import money


def order_card(move: Move) -> Card:
    """Return instruments, cassettes and supplies to buy. Only supplies have a lead time."""
    return move.card("move/order", tuple(_blocks(move)))


def first_of(brief: Brief) -> tuple[FirstSupply, ...]:
    """Return the supplies that lie ready on the first day."""
    plan = brief.plan
    return first_supplies(
        brief.practice, plan.supplies, sets=plan.days.stock, pouches=plan.days.pouch_stock, sheets=plan.sheets
    )


def pieces_to_buy(move: Move) -> str:
    """Return how much there is to buy: ``124 instruments and 15 cassettes``."""
    counts = ((kind, sum(line.buy for line in _lines(move, kind))) for kind in ("instrument", "cassette"))
    return move.brief.listed(move.words.count(f"move.order.{kind}s", n) for kind, n in counts if n)


def money_of_orders(move: Move) -> str:
    """Return what instruments and cassettes cost; says so where some have no price."""
    orders = move.brief.plan.orders
    total = money(orders.total, orders.currency)
    return move.words("move.order.without-price", money=total) if orders.without_price else total


def _blocks(move: Move) -> Iterator[Block]:
    words, brief = move.words, move.brief
    supplies = first_of(brief)
    if not brief.plan.orders.to_buy:
        yield said(words("move.order.nothing"))
    facts = [Fact(label=words("move.order.total"), value=money_of_orders(move))] if brief.plan.orders.to_buy else []
    if supplies and total_cost(supplies):
        spent = money(total_cost(supplies), brief.practice.settings.currency)
        facts.append(Fact(label=words("move.order.supply-total"), value=spent))
    if facts:
        yield Facts(facts=tuple(facts))
    for kind in ("instrument", "cassette"):
        lines = _lines(move, kind)
        if lines:
            yield _table(move, f"{kind}-table", (_piece(move, line) for line in lines))
    if supplies:
        yield said(words("move.order.supply-why"))
        yield _table(move, "supply-table", (_supply(move, supply) for supply in supplies))


def _table(move: Move, title: str, rows: Iterable[tuple[Cell, ...]]) -> Matrix:
    words = move.words
    numbers = ("pieces", "boxes", "costs") if title == "supply-table" else ("buy", "costs")
    head = tuple(words(f"move.order.{name}") for name in ("thing", *numbers, "ordered", "come"))
    return Matrix(
        title=words(f"move.order.{title}"), head=head, rows=tuple(rows), numbers=tuple(range(1, len(numbers) + 1))
    )


def _lines(move: Move, kind: str) -> tuple[OrderLine, ...]:
    return tuple(line for line in move.brief.plan.orders.to_buy if line.kind == kind)


def _piece(move: Move, line: OrderLine) -> tuple[Cell, ...]:
    spares = move.words.count("move.order.spares", line.spares) if line.spares else ""
    picture = tip_of(move.brief, line.id) if line.kind == "instrument" else cassette_picture(move.brief, line.id)
    name = Cell(text=move.brief.say(line.name), detail=spares, picture=picture)
    return name, Cell(text=str(line.buy)), _cost(line.total), Cell(tick=True), Cell(tick=True)


def _supply(move: Move, supply: FirstSupply) -> tuple[Cell, ...]:
    boxes = f"{supply.boxes} × {supply.use.pack:,}"
    numbers = (Cell(text=f"{supply.needed:,}"), Cell(text=boxes), _cost(supply.cost))
    return Cell(text=move.brief.supply(supply.use)), *numbers, Cell(tick=True), Cell(tick=True)


def _cost(cost: Decimal | None) -> Cell:
    return Cell(text="–" if cost is None else money(cost))
