"""Report on buying: the order list with reasons and costs, and the surplus."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from kitdocs.document.blocks import Block, Cell, Chart, said
from kitdocs.document.card import Card
from kitdocs.drawings.charts import Bar, bars
from kitdocs.handbook.brief import Brief
from kitdocs.planning.buying.orders import OrderLine, mean_away, uses_per_day
from kitdocs.planning.buying.placement import taken_per_day
from kitdocs.practice.message import Joined, Share, Value, message
from kitdocs.practice.numbers import money, plain
from kitdocs.report.layout import NOTHING, report_card, table
from kitdocs.report.pictured import NAMED_MM, chart

_MOST_BARS = 8


def buying_card(brief: Brief, section: str) -> Card:
    """Return the order list with its total."""
    return report_card("buying", brief.words("report.buying.title"), section, _buying(brief))


def spares_card(brief: Brief, section: str) -> Card | None:
    """Return why there are spares, instrument by instrument; nothing where nothing goes away for repair."""
    words, rows = brief.words, list(_spares(brief))
    if not rows:
        return None
    week, service = brief.practice.settings.day.per_week, Share(brief.plan.days.service)
    heads = ("instrument", "uses", "between", "days", "away", "spares")
    head = [words(f"report.spares.head.{name}") for name in heads]
    blocks = (
        said(words("report.spares.intro", week=week, service=service)),
        table(words("report.spares.table"), head, rows, numbers=(1, 2, 3, 4, 5)),
    )
    return report_card("spares", words("report.spares.title"), section, blocks)


def total_words(brief: Brief) -> Value:
    """Return ``USD 1,234.50``, and what has no price."""
    orders = brief.plan.orders
    total = money(orders.total, orders.currency)
    if not orders.without_price:
        return total
    names = Joined(tuple(line.name for line in orders.without_price))
    return message("report.buying.without-price", total=total, names=names)


def _buying(brief: Brief) -> Iterator[Block]:
    words, orders = brief.words, brief.plan.orders
    if not orders.to_buy:
        yield said(words("report.buying.nothing"))
    else:
        yield _cost_chart(brief)
        rows: list[tuple[Cell, ...]] = [_line(brief, line) for line in orders.to_buy]
        pieces = sum(line.buy for line in orders.to_buy)
        together = (words("report.together"), "", "", f"{pieces:,}", "", money(orders.total))
        rows.append(tuple(Cell(text=text) for text in together))
        head = _head(brief, "item", "needed", "owned", "buy", "price", "total")
        yield table(words("report.buying.table"), head, rows, numbers=(1, 2, 3, 4, 5))
    if orders.surplus:
        yield table(
            words("report.buying.more"),
            _head(brief, "item", "needed", "owned", "over"),
            [(brief.say(line.name), str(line.need), _owned(brief, line), str(line.surplus)) for line in orders.surplus],
            numbers=(1, 2, 3),
        )


def _head(brief: Brief, *names: str) -> list[str]:
    return [brief.words(f"report.buying.head.{name}", currency=brief.plan.orders.currency) for name in names]


def _line(brief: Brief, line: OrderLine) -> tuple[Cell, ...]:
    return (
        Cell(text=brief.say(line.name), detail=_reason(brief, line)),
        Cell(text=str(line.need)),
        _owned(brief, line),
        Cell(text=str(line.buy)),
        Cell(text=money(line.price) if line.price is not None else brief.words("report.buying.no-price")),
        Cell(text=money(line.total) if line.total is not None else NOTHING),
    )


def _owned(brief: Brief, line: OrderLine) -> Cell:
    """Return how many are owned; one that is away for repair is owned, and fills no place until it is back."""
    in_repair = brief.words.count("report.buying.in-repair", line.in_repair) if line.in_repair else ""
    return Cell(text=str(line.owned), detail=in_repair)


def _reason(brief: Brief, line: OrderLine) -> str:
    if line.kind == "cassette":
        return brief.words.count("report.buying.one-for-each", line.in_sets)
    parts = (("in-sets", line.in_sets), ("in-pouches", line.in_pouches), ("spare", line.spares))
    return " + ".join(brief.words(f"report.buying.{where}", n=number) for where, number in parts if number)


def _cost_chart(brief: Brief) -> Chart:
    words, orders = brief.words, brief.plan.orders
    costs = {line: line.total for line in orders.to_buy if line.total}
    dearest = sorted(costs, key=lambda line: costs[line], reverse=True)
    shown, rest = dearest[:_MOST_BARS], dearest[_MOST_BARS:]
    rows = [(f"{brief.say(line.name)} × {line.buy}", costs[line]) for line in shown]
    if rest:
        rows.append(
            (words.count("report.buying.other-kinds", len(rest)), sum((costs[line] for line in rest), Decimal(0)))
        )
    drawing = bars(
        [Bar(label=name, value=float(cost), shown=f"{cost:,.0f}") for name, cost in rows],
        width_mm=NAMED_MM,
        empty=words("report.buying.no-prices"),
    )
    share = sum((costs[line] for line in dearest[:3]), Decimal(0)) / orders.total if orders.total else 0
    summary = words.count(
        "report.buying.says", len(orders.to_buy), total=total_words(brief), share=Share(float(share), 0)
    )
    numbers = table("", _head(brief, "item", "cost"), [(name, money(cost)) for name, cost in rows], numbers=(1,))
    return chart(brief, words("report.buying.chart", currency=orders.currency), drawing, summary, numbers)


def _spares(brief: Brief) -> Iterator[tuple[str | Cell, ...]]:
    uses = uses_per_day(brief.practice, taken_per_day(brief.plan.days))
    for line in brief.plan.orders.lines:
        repair = brief.practice.instruments[line.id].repair if line.kind == "instrument" else None
        if repair is not None:
            yield (
                brief.instrument(line.id),
                plain(uses[line.id]),
                plain(repair.uses_between),
                plain(repair.days_away),
                plain(mean_away(brief.practice, line.id, uses[line.id]), 2),
                Cell(text=str(line.spares), detail=_away(brief, line)),
            )


def _away(brief: Brief, line: OrderLine) -> str:
    """Return how many are away by stock.csv, and whether they are more than the spares."""
    if not line.in_repair:
        return ""
    short = line.in_repair > line.spares
    return brief.words.count("report.spares.away-today-short" if short else "report.spares.away-today", line.in_repair)
