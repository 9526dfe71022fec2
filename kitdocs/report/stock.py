"""Sets and add-on pouches to own, and how many are out of the store through the day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kitdocs.document.blocks import Block, Cell, Chart, Matrix, said
from kitdocs.document.card import Card
from kitdocs.drawings.charts import BandWords, step_band
from kitdocs.handbook.brief import Brief
from kitdocs.planning.day.stock import Stock
from kitdocs.planning.day.timeline import Band
from kitdocs.practice.numbers import hours_and_minutes, percent, plain
from kitdocs.practice.values import clock_text
from kitdocs.report.pictured import HALF_MM, chart
from kitdocs.report.telling import counted, report_card, table

_HOUR = 3600
_MOST_TIMES = 6
"""Columns of numbers beside a chart."""


def sets_card(brief: Brief, section: str) -> Card:
    """How many of each set and add-on to own, and how that number comes about."""
    days = brief.plan.days
    blocks: list[Block] = [
        said(
            f"The day is run {days.days:,} times with as many sets as anybody wants. The most that are out of the "
            "store at once on a day are exactly the sets with which nobody would have waited that day. To own is the "
            f"number that is enough on {percent(days.service, 1)} of these days."
        ),
        _stocks("Sets", (brief.set(id_) for id_ in days.sets), days.sets.values()),
    ]
    if days.add_ons:
        blocks.append(_stocks("Add-on pouches", (brief.pouch(id_) for id_ in days.add_ons), days.add_ons.values()))
    return report_card("sets", "Sets and add-on pouches to own", section, blocks)


def _stocks(title: str, names: Iterable[str], stocks: Iterable[Stock]) -> Block:
    rows = [
        (
            Cell(text=name, detail=f"{counted(stock.spares, 'spare')} for repair" if stock.spares else ""),
            plain(stock.taken_per_day),
            hours_and_minutes(stock.away.mean),
            plain(stock.peak.mean),
            str(stock.needed),
            str(stock.own),
        )
        for name, stock in zip(names, stocks, strict=True)
    ]
    head = ("", "Taken a day", "Away each time", "Usual peak", "Needed", "Own")
    return table(title, (title.removesuffix("s").removesuffix("e"), *head[1:]), rows, numbers=(1, 2, 3, 4, 5))


def out_card(brief: Brief, section: str) -> Card:
    """What is out of the store through the day, set by set, against how many there are."""
    blocks: list[Block] = [
        said(
            "The line is the middle day: half of the busy days have no more out at that time. The grey band reaches "
            "up to what 95 % of the days have at most. The dashed line is the number to own: where the band comes "
            "near it, the set is short; far below it, sets lie in the store."
        ),
        *_charts(brief),
    ]
    return report_card("out", "Sets out of the store through the day", section, blocks)


def _charts(brief: Brief) -> Iterator[Chart]:
    days = brief.plan.days
    for id_, band in days.bands.items():
        own = days.sets[id_].own
        name = brief.set(id_)
        drawing = step_band(
            [time / 60 for time in band.times],
            band.median,
            band.high,
            stock=own,
            words=BandWords(median="middle day", band="95 % of days", stock=f"own {own}"),
            width_mm=HALF_MM,
            height_mm=40.0,
        )
        yield chart(name, drawing, _busiest(band, own), _hours(band))


def _busiest(band: Band, own: int) -> str:
    if not any(band.high):
        return f"None is out on 95 % of days; {counted(own, 'set')} to own."
    most = max(band.high)
    middle = max(band.median)
    at = band.times[band.high.index(most)]
    return (
        f"At the fullest time, {clock_text(at / 60)}, up to {most} are out on 95 % of days; the middle day never has "
        f"more than {middle} out. {counted(own, 'set')} to own."
    )


def _hours(band: Band) -> Matrix:
    times = [n for n, time in enumerate(band.times) if time % _HOUR == 0]
    every = -(-len(times) // _MOST_TIMES) or 1
    shown = times[every // 2 :: every]
    return table(
        "",
        ("Out at", "Middle day", "95 % of days"),
        [(clock_text(band.times[n] / 60), str(band.median[n]), str(band.high[n])) for n in shown],
        numbers=(1, 2),
    )
