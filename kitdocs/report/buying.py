"""What to buy, why, and what it costs; and what there is too much of."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from kitdocs.document.blocks import Block, Cell, Chart, said
from kitdocs.document.card import Card
from kitdocs.drawings.charts import Bar, bars
from kitdocs.handbook.brief import Brief
from kitdocs.planning.buying.orders import OrderLine, mean_away, uses_per_day
from kitdocs.planning.buying.placement import taken_per_day
from kitdocs.practice.numbers import money, percent, plain
from kitdocs.report.pictured import NAMED_MM, chart
from kitdocs.report.telling import and_list, counted, report_card, table

_MOST_BARS = 8


def buying_card(brief: Brief, section: str) -> Card:
    """The order list with its total."""
    return report_card("buying", "What to buy", section, _buying(brief))


def spares_card(brief: Brief, section: str) -> Card | None:
    """Why there are spares, instrument by instrument; nothing where nothing goes away for repair."""
    rows = list(_spares(brief))
    if not rows:
        return None
    level = percent(brief.plan.days.service, 1)
    head = ("Instrument", "Uses a day", "Uses between repairs", "Days away", "Away, on average", "Spares")
    week = brief.practice.settings.day.per_week
    return report_card(
        "spares",
        "Spares that keep sets whole",
        section,
        (
            said(
                "An instrument goes away to be sharpened or mended after so many uses. How many are away at once is "
                f"Poisson with the mean uses a day ÷ uses between repairs × days away × {week}/7 working days (Palm's "
                f"theorem); spares are what is enough on {level} of days. It counts every day as busy: rather "
                "one spare too many."
            ),
            table("Away for repair, and spares for it", head, rows, numbers=(1, 2, 3, 4, 5)),
        ),
    )


def total_words(brief: Brief) -> str:
    """``USD 1,234.50``, and what has no price."""
    orders = brief.plan.orders
    total = money(orders.total, orders.currency)
    if not orders.without_price:
        return total
    return f"{total}, and {and_list(_name(brief, line) for line in orders.without_price)}, which have no price stated"


def _buying(brief: Brief) -> Iterator[Block]:
    orders = brief.plan.orders
    if not orders.to_buy:
        yield said("Nothing needs to be bought: the practice owns what the sets, pouches and spares need.")
    else:
        yield _cost_chart(brief)
        head = ("Item", "Needed", "Owned", "Buy", "Price", f"Total, {orders.currency}")
        rows: list[tuple[Cell, ...]] = [_line(brief, line) for line in orders.to_buy]
        pieces = sum(line.buy for line in orders.to_buy)
        rows.append(tuple(Cell(text=t) for t in ("Together", "", "", f"{pieces:,}", "", money(orders.total))))
        yield table("Order list", head, rows, numbers=(1, 2, 3, 4, 5))
    if orders.surplus:
        yield table(
            "More than needed",
            ("Item", "Needed", "Owned", "Over"),
            [(_name(brief, line), str(line.need), _owned(line), str(line.surplus)) for line in orders.surplus],
            numbers=(1, 2, 3),
        )


def _line(brief: Brief, line: OrderLine) -> tuple[Cell, ...]:
    return (
        Cell(text=_name(brief, line), detail=_reason(line)),
        Cell(text=str(line.need)),
        _owned(line),
        Cell(text=str(line.buy)),
        Cell(text=money(line.price) if line.price is not None else "not stated"),
        Cell(text=money(line.total) if line.total is not None else "–"),
    )


def _owned(line: OrderLine) -> Cell:
    """What is away for repair is owned, and fills no place until it is back."""
    return Cell(text=str(line.owned), detail=f"{line.in_repair} of them in repair" if line.in_repair else "")


def _reason(line: OrderLine) -> str:
    if line.kind == "cassette":
        return f"one for each of {counted(line.in_sets, 'set')}"
    parts = [(line.in_sets, "in sets"), (line.in_pouches, "in pouches"), (line.spares, "spare")]
    return " + ".join(f"{number} {where}" for number, where in parts if number)


def _cost_chart(brief: Brief) -> Chart:
    orders = brief.plan.orders
    costs = {line: line.total for line in orders.to_buy if line.total}
    dearest = sorted(costs, key=lambda line: costs[line] or Decimal(0), reverse=True)
    shown, rest = dearest[:_MOST_BARS], dearest[_MOST_BARS:]
    rows = [(f"{_name(brief, line)} × {line.buy}", costs[line] or Decimal(0)) for line in shown]
    if rest:
        rows.append(
            (f"{counted(len(rest), 'other kind')}", sum((costs[line] or Decimal(0) for line in rest), Decimal(0)))
        )
    drawing = bars(
        [Bar(label=name, value=float(cost), shown=f"{cost:,.0f}") for name, cost in rows],
        width_mm=NAMED_MM,
        empty="no price stated",
    )
    share = sum((costs[line] or Decimal(0) for line in dearest[:3]), Decimal(0)) / orders.total if orders.total else 0
    summary = (
        f"{counted(len(orders.to_buy), 'kind')} of things to buy for {total_words(brief)} together; "
        f"the three dearest lines are {percent(float(share))} of it."
    )
    numbers = table(
        "", ("Item", f"Cost, {orders.currency}"), [(name, money(cost)) for name, cost in rows], numbers=(1,)
    )
    return chart(f"What it costs, {orders.currency}", drawing, summary, numbers)


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
                Cell(text=str(line.spares), detail=_away(line)),
            )


def _away(line: OrderLine) -> str:
    """How many are away by stock.csv, and that no spare is left for them."""
    away = f"{line.in_repair} away today" if line.in_repair else ""
    return f"{away}, more than the spares" if line.in_repair > line.spares else away


def _name(brief: Brief, line: OrderLine) -> str:
    return brief.say(line.name)
