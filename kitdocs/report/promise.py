"""The two promises in the report: what the numbers keep, how sure that is, and what another promise would cost."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from functools import partial
from typing import Literal

from kitdocs.document.blocks import Block, Chart, Matrix, said
from kitdocs.document.card import Card
from kitdocs.drawings.chance_curve import ChancePoint, ChanceWords, chance_curve
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import CellText, table
from kitdocs.planning.buying.ladder import Rung
from kitdocs.planning.day.promise import worth
from kitdocs.practice.message import Message, Share, Value, message
from kitdocs.report.layout import HALF_MM, NARROW_MM, chart, report_card


def promise_card(brief: Brief) -> Card:
    """Return the part about the two promises and money against the chance."""
    return report_card(brief, "day", "promise", _promise(brief))


def promise_answers(brief: Brief) -> dict[str, Message]:
    """Return, for the first page, what each promise keeps."""
    days = brief.plan.days
    answers = {"nobody-waits": message("report.summary.kept", asked=Share(days.service), **_kept(brief, "sets"))}
    if days.drawer_pouches:
        asked = Share(days.drawer_service)
        answers["no-drawer"] = message("report.summary.kept", asked=asked, **_kept(brief, "drawers"))
        answers["nothing-short"] = message("report.summary.kept-both", **_kept(brief, "all"))
    return answers


def _kept(brief: Brief, name: Literal["sets", "drawers", "all"]) -> dict[str, Value]:
    """Return on how many of the days a promise is kept, and between what the chance lies on other days.

    Counts that were chosen on some days keep it on others a little less often. So the lower end is that of days that
    had no part in the choice, where they were judged.
    """
    kept = getattr(brief.plan.days.promises, name).kept
    elsewhere = brief.plan.on_other_days.get(name, kept)
    low, high = min(kept.low, elsewhere.low), max(kept.high, elsewhere.high)
    return {"share": Share(kept.share, 1), "low": Share(low, 1), "high": Share(high, 1)}


def _promise(brief: Brief) -> Iterator[Block]:
    words, days = brief.words, brief.plan.days
    yield said(words("report.promise.sets", asked=Share(days.service), **_kept(brief, "sets")))
    if days.drawer_pouches:
        yield said(words("report.promise.drawers", asked=Share(days.drawer_service), **_kept(brief, "drawers")))
        yield said(words("report.promise.all", **_kept(brief, "all")))
    yield _money_against_chance(brief)
    yield _one_alone(brief)
    yield said(_how(brief))
    yield from _written(brief)


def _how(brief: Brief) -> str:
    """Return how that was counted, and how such counts do on days that had no part in their choice."""
    words, days, judged = brief.words, brief.plan.days, brief.plan.on_other_days
    how = words("report.promise.how", days=days.days)
    spares = words("report.promise.spares")
    if not judged:  # few days were run
        return f"{how} {words('report.promise.brackets')} {spares}"
    values = {
        f"{name}{end}": Share(share, 1)
        for name, chance in judged.items()
        for end, share in (("", chance.share), ("_low", chance.low), ("_high", chance.high))
    }
    key = "report.promise.on-other-days" if days.drawer_pouches else "report.promise.on-other-days-sets"
    return f"{how} {words(key, **values)} {words('report.promise.brackets-other-days')} {spares}"


def _written(brief: Brief) -> Iterator[Block]:
    """Yield what the numbers cost that the practice has written; nothing where they are the computed ones."""
    chosen = brief.plan.days.chosen_drawers
    if chosen.counts == chosen.computed:
        return
    worths = (
        sum((worth(brief.practice, pouch) * count for (_, pouch), count in counts.items()), Decimal(0))
        for counts in (chosen.counts, chosen.computed)
    )
    with_written, if_computed = (brief.words.money(each, brief.plan.orders.currency) for each in worths)
    yield said(
        brief.words(
            "report.promise.written",
            money=with_written,
            money_computed=if_computed,
            computed=Share(chosen.kept_if_computed.share, 1),
            kept=Share(chosen.kept.share, 1),
        )
    )


def _money_against_chance(brief: Brief) -> Chart:
    words, currency = brief.words, brief.plan.orders.currency
    plan = next(rung for rung in brief.plan.ladder if rung.is_plan)
    buy = words.money(plan.buy, currency)
    points = [_point(rung) for rung in brief.plan.ladder if not rung.is_plan]
    there = ChanceWords(
        each=words("report.promise.each"),
        both=words("report.promise.both"),
        plan=words("report.promise.plan", money=buy),
    )
    drawing, narrow = (
        chance_curve(points, _point(plan), words=there, money_words=partial(words.number, places=0), width_mm=width)
        for width in (HALF_MM, NARROW_MM)
    )
    head = words.each("report.promise.head", "asked", "sets", "drawers", "all", "buy", currency=currency)
    numbers = table("", head, [_row(brief, rung) for rung in brief.plan.ladder], numbers=(1, 2, 3, 4))
    summary = words("report.promise.says", money=buy, kept=Share(plan.all.share, 1))
    title = words("report.promise.chart", currency=currency)
    return chart(brief, title, drawing, summary, numbers, narrow=narrow)


def _point(rung: Rung) -> ChancePoint:
    each = min(rung.sets.share, rung.drawers.share)
    return ChancePoint(money=float(rung.buy), each=100 * each, both=100 * rung.all.share)


def _row(brief: Brief, rung: Rung) -> tuple[CellText, ...]:
    kept = (brief.words.percent(chance.share, 1) for chance in (rung.sets, rung.drawers, rung.all))
    return (_asked(brief, rung), *kept, brief.words.money(rung.buy))


def _one_alone(brief: Brief) -> Matrix:
    """Return what there would be to buy if one promise was changed and the other stayed as planned."""
    words = brief.words
    head = words.each("report.promise.alone.head", "asked", "sets", "drawers", currency=brief.plan.orders.currency)
    rows = [
        (_asked(brief, rung), words.money(rung.buy_for_sets), words.money(rung.buy_for_drawers))
        for rung in brief.plan.ladder
        if not rung.is_plan
    ]
    return table(words("report.promise.alone.title"), head, rows, numbers=(1, 2))


def _asked(brief: Brief, rung: Rung) -> str:
    if rung.is_plan:
        return brief.words("report.promise.as-planned")
    return brief.words.percent(rung.asked, 1) if rung.asked is not None else brief.words("report.promise.one-fewer")
