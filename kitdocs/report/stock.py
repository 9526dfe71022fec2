"""Sets and add-on pouches to own, and how many are out of the store through the day."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from kitdocs.document.blocks import Block, Cell, Chart, Matrix, said
from kitdocs.document.card import Card
from kitdocs.drawings.charts import BandWords, step_band
from kitdocs.handbook.brief import Brief
from kitdocs.planning.day.stock import Stock
from kitdocs.planning.day.timeline import TimelineBand
from kitdocs.practice.message import Clock, Share, counted
from kitdocs.practice.numbers import hours_and_minutes, plain
from kitdocs.report.layout import report_card, table
from kitdocs.report.pictured import HALF_MM, chart

_HOUR = 3600
_MOST_TIMES = 6
"""Columns of numbers beside a chart."""


def sets_card(brief: Brief, section: str) -> Card:
    """Return how many of each set and add-on to own, and how that number comes about."""
    words, days = brief.words, brief.plan.days
    blocks: list[Block] = [
        said(words("report.stock.intro", days=days.days, service=Share(days.service))),
        _stocks(brief, "sets", "set", brief.set, days.sets),
    ]
    if days.add_ons:
        blocks.append(_stocks(brief, "add-ons", "pouch", brief.pouch, days.add_ons))
    return report_card("sets", words("report.stock.title"), section, blocks)


def _stocks(brief: Brief, kind: str, one: str, name: Callable[[str], str], stocks: Mapping[str, Stock]) -> Block:
    words = brief.words
    rows = [
        (
            Cell(text=name(id_), detail=words.count("report.stock.spares", stock.spares) if stock.spares else ""),
            plain(stock.taken_per_day),
            hours_and_minutes(stock.away.mean),
            plain(stock.peak.mean),
            str(stock.needed),
            str(stock.own),
        )
        for id_, stock in stocks.items()
    ]
    head = [words(f"report.stock.head.{name}") for name in (one, "taken", "away", "peak", "needed", "own")]
    return table(words(f"report.stock.{kind}"), head, rows, numbers=(1, 2, 3, 4, 5))


def out_card(brief: Brief, section: str) -> Card:
    """Return what is out of the store through the day, set by set, against how many there are."""
    blocks: list[Block] = [said(brief.words("report.out.intro")), *_charts(brief)]
    return report_card("out", brief.words("report.out.title"), section, blocks)


def _charts(brief: Brief) -> Iterator[Chart]:
    words, days = brief.words, brief.plan.days
    for id_, band in days.bands.items():
        own = days.sets[id_].own
        labels = BandWords(
            median=words("report.out.middle"), band=words("report.out.most"), stock=words("report.out.own", n=own)
        )
        drawing = step_band(
            [time / 60 for time in band.times],
            band.median,
            band.high,
            stock=own,
            words=labels,
            width_mm=HALF_MM,
            height_mm=40.0,
        )
        yield chart(brief, brief.set(id_), drawing, _busiest(brief, band, own), _hours(brief, band))


def _busiest(brief: Brief, band: TimelineBand, own: int) -> str:
    to_own = counted("report.sets-to-own", own)
    if not any(band.high):
        return brief.words("report.out.none", own=to_own)
    most = max(band.high)
    at = Clock(band.times[band.high.index(most)] / 60)
    return brief.words("report.out.says", time=at, most=most, middle=max(band.median), own=to_own)


def _hours(brief: Brief, band: TimelineBand) -> Matrix:
    words = brief.words
    times = [n for n, time in enumerate(band.times) if time % _HOUR == 0]
    every = -(-len(times) // _MOST_TIMES) or 1
    shown = times[every // 2 :: every]
    head = [words(f"report.out.head.{name}") for name in ("at", "middle", "most")]
    rows = [(words.say(Clock(band.times[n] / 60)), str(band.median[n]), str(band.high[n])) for n in shown]
    return table("", head, rows, numbers=(1, 2))
