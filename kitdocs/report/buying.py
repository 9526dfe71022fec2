"""Report on money: what to buy and why, spares, what is used up, other places for instruments, savings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from kitdocs.document.blocks import Block, Cell, Chart, said
from kitdocs.document.card import Card
from kitdocs.drawings.charts import Bar, bars
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import CellText, table
from kitdocs.planning.buying.orders import OrderLine, mean_away, uses_per_day
from kitdocs.planning.buying.placement import PlacementStudy, taken_per_day
from kitdocs.planning.buying.placements import WHERE, Where
from kitdocs.planning.buying.savings import Saving, money_saved
from kitdocs.planning.buying.supplies import SupplyUse
from kitdocs.practice.message import Joined, Message, Share, Value, counted, message
from kitdocs.report.amounts import amount
from kitdocs.report.layout import HALF_MM, NAMED_MM, NOTHING, chart, report_card, sentence, with_reason

_MOST_BARS = 8
_DEAREST = 3


def buying_card(brief: Brief) -> Card:
    """Return the order list with its total."""
    return report_card(brief, "buying", "buying", _buying(brief))


def spares_card(brief: Brief) -> Card | None:
    """Return why there are spares, instrument by instrument; nothing where nothing goes away for repair."""
    words, rows = brief.words, list(_spares(brief))
    if not rows:
        return None
    week, service = brief.practice.settings.day.per_week, Share(brief.plan.days.service)
    head = words.each("report.spares.head", "instrument", "uses", "between", "days", "away", "spares")
    blocks = (
        said(words("report.spares.intro", week=week, service=service)),
        table(words("report.spares.table"), head, rows, numbers=(1, 2, 3, 4, 5)),
    )
    return report_card(brief, "buying", "spares", blocks)


def total_words(brief: Brief) -> Value:
    """Return ``USD 1,234.50``, and what has no price."""
    orders = brief.plan.orders
    total = brief.words.money(orders.total, orders.currency)
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
        pieces = sum(line.buy for line in orders.to_buy)
        together = (
            words("report.together"),
            "",
            "",
            words.number(pieces),
            "",
            with_reason("buy.total", words.money(orders.total)),
        )
        rows = [*(_line(brief, line) for line in orders.to_buy), together]
        head = _head(brief, "item", "needed", "owned", "buy", "price", "total")
        yield table(words("report.buying.table"), head, rows, numbers=(1, 2, 3, 4, 5))
    if orders.surplus:
        yield table(
            words("report.buying.more"),
            _head(brief, "item", "needed", "owned", "over"),
            [(brief.say(line.name), str(line.need), _owned(brief, line), str(line.surplus)) for line in orders.surplus],
            numbers=(1, 2, 3),
        )


def _head(brief: Brief, *names: str) -> tuple[str, ...]:
    return brief.words.each("report.buying.head", *names, currency=brief.plan.orders.currency)


def _line(brief: Brief, line: OrderLine) -> tuple[CellText, ...]:
    return (
        Cell(text=brief.say(line.name), detail=_reason(brief, line)),
        str(line.need),
        _owned(brief, line),
        with_reason(f"buy.{line.id}", str(line.buy)),
        brief.words.money(line.price) if line.price is not None else brief.words("report.buying.no-price"),
        brief.words.money(line.total) if line.total is not None else NOTHING,
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
    costly = [Bar(label=name, value=float(cost), shown=words.fixed(float(cost), 0)) for name, cost in rows]
    empty = words("report.buying.no-prices")
    drawing, narrow = (bars(costly, width_mm=width, empty=empty) for width in (NAMED_MM, HALF_MM))
    share = sum((costs[line] for line in dearest[:_DEAREST]), Decimal(0)) / orders.total if orders.total else 0
    summary = words.count("report.buying.says-few", len(orders.to_buy), total=total_words(brief))
    if len(orders.to_buy) > _DEAREST:
        said: dict[str, Value] = {"total": total_words(brief), "share": Share(float(share), 0)}
        summary = words.count("report.buying.says", len(orders.to_buy), **said)
    numbers = table("", _head(brief, "item", "cost"), [(name, words.money(cost)) for name, cost in rows], numbers=(1,))
    title = words("report.buying.chart", currency=orders.currency)
    return chart(brief, title, drawing, summary, numbers, narrow=narrow)


def _spares(brief: Brief) -> Iterator[tuple[CellText, ...]]:
    uses = uses_per_day(brief.practice, taken_per_day(brief.plan.days))
    for line in brief.plan.orders.lines:
        repair = brief.practice.instruments[line.id].repair if line.kind == "instrument" else None
        if repair is not None:
            yield (
                brief.instrument(line.id),
                brief.words.number(uses[line.id]),
                brief.words.number(repair.uses_between),
                brief.words.number(repair.days_away),
                brief.words.number(mean_away(brief.practice, line.id, uses[line.id]), 2),
                Cell(text=str(line.spares), detail=_away(brief, line)),
            )


def _away(brief: Brief, line: OrderLine) -> str:
    """Return how many are away by stock.csv, and whether they are more than the spares."""
    if not line.in_repair:
        return ""
    short = line.in_repair > line.spares
    return brief.words.count("report.spares.away-today-short" if short else "report.spares.away-today", line.in_repair)


def supplies_card(brief: Brief) -> Card | None:
    """Return the part about what is used up; nothing where nothing is."""
    words, currency = brief.words, brief.plan.orders.currency
    if not brief.plan.supplies:
        return None
    together = (words("report.together"), "", "", "", "", words.money(day_cost(brief)))
    blocks = (
        said(words("report.supplies.intro", service=Share(brief.plan.days.service))),
        table(
            words("report.supplies.table"),
            words.each("report.supplies.head", "supply", "per-day", "pack", "at", "boxes", "cost", currency=currency),
            [*(_supply(brief, use) for use in brief.plan.supplies), together],
            numbers=(1, 2, 3, 4, 5),
        ),
    )
    return report_card(brief, "buying", "supplies", blocks)


def day_cost(brief: Brief) -> Decimal:
    """Return what a busy day uses up of everything whose price is stated."""
    return sum((use.cost_per_day for use in brief.plan.supplies if use.cost_per_day is not None), Decimal(0))


def _supply(brief: Brief, use: SupplyUse) -> tuple[CellText, ...]:
    words, cost = brief.words, use.cost_per_day
    return (
        Cell(text=brief.supply(use), detail=words.say(use.why_per_day)),
        words.number(use.per_day),
        words.number(use.pack),
        with_reason(f"{use.figures}.reorder-at", words.number(use.reorder_at)),
        words.count("report.boxes", use.boxes_at_reorder) if use.boxes_at_reorder else NOTHING,
        words.money(cost) if cost is not None else words("report.supplies.no-price"),
    )


def placement_card(brief: Brief, studies: Sequence[PlacementStudy]) -> Card | None:
    """Return what each place for each studied instrument comes to; nothing where none was studied."""
    if not studies:
        return None
    words, now = brief.words, studies[0].now
    rows: list[tuple[CellText, ...]] = [
        (
            brief.instrument(study.instrument),
            words.percent(study.wanted),
            _now(brief, study),
            *(_place(brief, study, where) for where in WHERE),
        )
        for study in studies
    ]
    intro = words(
        "report.placement.intro",
        days=studies[0].days,
        money=words.money(now.money, brief.plan.orders.currency),
        walks=words.number(now.walks_per_day),
        gloves=words.number(now.glove_pairs_per_day),
    )
    head = words.each("report.placement.head", "instrument", "wanted", "now", *WHERE)
    blocks = (said(intro), table(words("report.placement.table"), head, rows, numbers=(1, 3, 4, 5)))
    return report_card(brief, "buying", "placement", blocks)


def _now(brief: Brief, study: PlacementStudy) -> Cell:
    words, now = brief.words, study.now
    where = words(f"report.placement.now.{study.is_now or 'several'}")
    return Cell(text=where, detail=words("report.placement.own-and-buy", own=now.own, buy=now.buy))


def _place(brief: Brief, study: PlacementStudy, where: Where) -> Cell:
    words, placing = brief.words, study.places[where]
    if placing is None:
        return Cell(text=words("report.placement.does-not-fit"))
    cheapest = "-cheapest" if placing is study.cheapest else ""
    if study.is_now == where:
        return Cell(text=words(f"report.placement.as-now{cheapest}"))
    more = placing.money - study.now.money
    difference = words(
        f"report.placement.difference{cheapest}",
        more=f"{'+' if more > 0 else ''}{words.number(float(more), 0)}",
        noise=words.number(float(placing.noise(study.now)), 0),
    )
    walks = counted("report.placement.walks", round(placing.walks_per_day, 1))
    gloves = counted("report.placement.pairs", round(placing.glove_pairs_per_day, 1))
    return Cell(
        text=difference,
        detail=words("report.placement.own-and-walks", own=placing.own, walks=walks, gloves=gloves),
    )


def savings_card(brief: Brief) -> Card | None:
    """Return the part that compares the plan with what was counted before; nothing where nobody counted."""
    words, savings, currency = brief.words, brief.plan.savings, brief.plan.orders.currency
    if not savings:
        return None
    rows = [_saving(brief, saving) for saving in savings]
    total = money_saved(savings)
    if total is not None:
        together = with_reason("savings.money", _in_money(brief, total))
        rows.append((words("report.together"), "", "", "", together))
    head = words.each("report.savings.head", "what", "before", "after", "difference", "money", currency=currency)
    blocks = (
        said(words("report.savings.intro")),
        table(words("report.savings.table"), head, rows, numbers=(1, 2, 3, 4)),
    )
    return report_card(brief, "buying", "savings", blocks)


def _saving(brief: Brief, saving: Saving) -> tuple[CellText, ...]:
    words = brief.words
    before, after = (amount(words, round(count, 1), saving.unit) for count in (saving.before, saving.after))
    if not round(saving.after, 1):
        after = words("report.savings.none")
    what = Cell(text=words.say(saving.name), detail=sentence(words.say(saving.why)))
    difference = with_reason(f"savings.{saving.id}", _difference(brief, saving))
    return what, before, after, difference, _worth(brief, saving)


def _difference(brief: Brief, saving: Saving) -> str:
    """Return the difference in words, because a minus before a saving is easily read the wrong way."""
    if not saving.saved:
        return brief.words("report.savings.same")
    # A countable thing has a name for its unit; time is less, not fewer.
    fewer = "fewer" if isinstance(saving.unit, Message) else "less"
    n = (
        brief.words.number(abs(saving.saved))
        if isinstance(saving.unit, Message)
        else f"{brief.words.number(abs(saving.saved))} {saving.unit}"
    )
    return brief.words(f"report.savings.{fewer if saving.saved > 0 else 'more'}", n=n)


def _worth(brief: Brief, saving: Saving) -> Cell:
    """Return what the difference comes to in money, and how; in words where the practice states no price."""
    if saving.money is None or saving.worth is None:
        return Cell(text=brief.words("report.savings.no-worth"))
    how = f"{brief.words.number(abs(float(saving.priced)), 2)} × {brief.words.money(saving.worth)}"
    return Cell(text=_in_money(brief, saving.money), detail=how)


def _in_money(brief: Brief, saved: Decimal) -> str:
    if not saved:
        return brief.words("report.savings.same")
    return brief.words("report.savings.less" if saved > 0 else "report.savings.more", n=brief.words.money(abs(saved)))
