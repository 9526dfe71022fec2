"""The report's first page: what the owner asks, answered at a glance."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Caution, Chart, Fact, Facts
from kitdocs.document.card import Card
from kitdocs.drawings.charts import Bar, bars
from kitdocs.handbook.brief import Brief
from kitdocs.practice.message import Message, Share, counted, message
from kitdocs.practice.numbers import money, plain
from kitdocs.report.buying import total_words
from kitdocs.report.day import busiest_words, ends_words
from kitdocs.report.layout import report_card, table
from kitdocs.report.pictured import HALF_MM, chart
from kitdocs.report.supplies import day_cost
from kitdocs.report.warnings import open_warnings, warning_place, warning_text, warnings_words


def summary_card(brief: Brief, section: str) -> Card:
    """Return the first page."""
    words = brief.words
    limits = Caution(title=words("report.summary.limits-title"), text=words("report.summary.limits"))
    blocks = (_answers(brief), _to_own(brief), *_open(brief), limits)
    return report_card("summary", words("report.summary.title"), section, blocks)


def _answers(brief: Brief) -> Facts:
    words, plan, days = brief.words, brief.plan, brief.plan.days
    pieces = sum(line.buy for line in plan.orders.to_buy)
    pieces_for = message("report.summary.pieces-for", pieces=counted("report.pieces", pieces), cost=total_words(brief))
    cost = money(day_cost(brief), plan.orders.currency)
    answers = {
        "sets": _kinds(counted("report.sets", sum(days.stock.values())), len(days.stock)),
        "pouches": _kinds(counted("report.pouches", sum(days.pouch_stock.values())), len(days.pouch_stock)),
        "buy": pieces_for if pieces else message("report.summary.nothing"),
        "last": ends_words(brief),
        "busiest": busiest_words(brief),
        **({"supplies": message("report.summary.supplies-cost", cost=cost)} if plan.supplies else {}),
        "warnings": warnings_words(brief),
    }
    return Facts(
        facts=tuple(
            Fact(label=words(f"report.summary.{name}"), value=words.say(answer)) for name, answer in answers.items()
        )
    )


def _kinds(things: Message, kinds: int) -> Message:
    return message("report.summary.of-kinds", things=things, kinds=counted("report.kinds", kinds))


def _to_own(brief: Brief) -> Chart:
    """Return the sets to own as bars, drawn from the same numbers as the table."""
    words, days = brief.words, brief.plan.days
    drawing = bars(
        [Bar(label=brief.set(id_), value=own, shown=str(own)) for id_, own in days.stock.items()], width_mm=HALF_MM
    )
    most = max(days.stock, key=lambda id_: days.stock[id_])
    summary = words(
        "report.summary.chart-says",
        service=Share(days.service),
        visits=plain(days.visits.mean),
        most=days.stock[most],
        set=brief.set(most),
    )
    rows = [(brief.set(id_), plain(stock.taken_per_day), str(stock.own)) for id_, stock in days.sets.items()]
    head = [words(f"report.summary.head.{name}") for name in ("set", "taken", "own")]
    return chart(brief, words("report.summary.chart"), drawing, summary, table("", head, rows, numbers=(1, 2)))


def _open(brief: Brief) -> Iterator[Block]:
    problems = open_warnings(brief)
    if problems:
        head = [brief.words(f"report.summary.first-head.{name}") for name in ("where", "warning")]
        rows = [(warning_place(brief, p), warning_text(brief, p, p.message)) for p in problems[:3]]
        yield table(brief.words("report.summary.first"), head, rows)
