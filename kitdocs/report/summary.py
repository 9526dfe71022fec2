"""The first page: what the owner asks, answered in one look."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Caution, Cell, Chart, Fact, Facts
from kitdocs.document.card import Card
from kitdocs.drawings.charts import Bar, bars
from kitdocs.handbook.brief import Brief
from kitdocs.practice.numbers import money, percent, plain
from kitdocs.report.buying import total_words
from kitdocs.report.day import busiest_words, ends_words
from kitdocs.report.pictured import HALF_MM, chart
from kitdocs.report.supplies import day_cost
from kitdocs.report.telling import counted, report_card, table
from kitdocs.report.warnings import open_warnings, warnings_words


def summary_card(brief: Brief, section: str) -> Card:
    blocks = (_answers(brief), _to_own(brief), *_open(brief), _limits())
    return report_card("summary", "The plan in one look", section, blocks)


def _answers(brief: Brief) -> Facts:
    plan, days = brief.plan, brief.plan.days
    pieces = sum(line.buy for line in plan.orders.to_buy)
    buy = f"{counted(pieces, 'piece')} for {total_words(brief)}" if pieces else "nothing"
    facts = [
        Fact(label="Sets to own", value=_together(days.stock, "set")),
        Fact(label="Pouches to own", value=_together(days.pouch_stock, "pouch")),
        Fact(label="To buy", value=buy),
        Fact(label="The last load is put away", value=ends_words(brief)),
        Fact(label="Busiest", value=busiest_words(brief)),
    ]
    if plan.supplies:
        facts.append(Fact(label="Supplies", value=f"{money(day_cost(brief), plan.orders.currency)} on a busy day"))
    facts.append(Fact(label="Warnings", value=warnings_words(brief)))
    return Facts(facts=tuple(facts))


def _together(owned: dict[str, int], noun: str) -> str:
    return f"{counted(sum(owned.values()), noun)} of {counted(len(owned), 'kind')}"


def _to_own(brief: Brief) -> Chart:
    """Sets to own as bars, drawn from the same numbers as the table."""
    days = brief.plan.days
    drawing = bars(
        [Bar(label=brief.set(id_), value=own, shown=str(own)) for id_, own in days.stock.items()], width_mm=HALF_MM
    )
    most = max(days.stock, key=lambda id_: days.stock[id_])
    summary = (
        f"With these, nobody waits for a set on {percent(days.service, 1)} of busy days of "
        f"{plain(days.visits.mean)} visits. Most of all: {days.stock[most]} of “{brief.set(most)}”."
    )
    rows = [(brief.set(id_), plain(stock.taken_per_day), str(stock.own)) for id_, stock in days.sets.items()]
    numbers = table("", ("Set", "Taken on a busy day", "Own"), rows, numbers=(1, 2))
    return chart("Sets to own", drawing, summary, numbers)


def _open(brief: Brief) -> Iterator[Block]:
    problems = open_warnings(brief)
    if problems:
        yield table(
            "To look at first",
            ("Where", "Warning"),
            [(Cell(text=f"{p.place.file}, line {p.place.line}"), brief.words.say(p.message)) for p in problems[:3]],
        )


def _limits() -> Caution:
    return Caution(
        title="Figures, not permission.",
        text="They come from simulated busy days and from the counts in the practice's folder. The makers' "
        "instructions for use, local law and codes, and the practice's licensed people decide.",
    )
