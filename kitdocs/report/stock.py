"""Sets and pouches to own: in the store, out of it through the day, and in the drawers at the chairs."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from kitdocs.document.blocks import Block, Cell, Chart, Matrix, said
from kitdocs.document.card import Card
from kitdocs.drawings.charts import BandWords, step_band
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import table
from kitdocs.planning.day.promise import Firmness
from kitdocs.planning.day.stock import Stock
from kitdocs.planning.day.timeline import TimelineBand
from kitdocs.practice.message import Clock, Joined, Share, counted
from kitdocs.practice.numbers import hours_and_minutes
from kitdocs.report.layout import HALF_MM, NARROW_MM, NOTHING, chart, report_card, with_reason

_HOUR = 3600
_MOST_TIMES = 6
"""Columns of numbers beside a chart."""

_MOST_COLUMNS = 6


def sets_card(brief: Brief) -> Card:
    """Return how many of each set and add-on to own, and how that number comes about."""
    words, days = brief.words, brief.plan.days
    blocks: list[Block] = [
        said(words("report.stock.intro", days=days.days, service=Share(days.service))),
        _stocks(brief, "sets", "set", brief.set, days.sets),
    ]
    if days.add_ons:
        blocks.append(_stocks(brief, "add-ons", "pouch", brief.pouch, days.add_ons))
    return report_card(brief, "day", "sets", blocks, title=words("report.stock.title"))


def _stocks(brief: Brief, kind: str, one: str, name: Callable[[str], str], stocks: Mapping[str, Stock]) -> Block:
    words, figures = brief.words, "stock" if kind == "sets" else "pouches"
    rows = [
        (
            Cell(text=name(id_), detail=words.count("report.stock.spares", stock.spares) if stock.spares else ""),
            words.number(stock.taken_per_day),
            hours_and_minutes(stock.away.mean),
            words.number(stock.peak.mean),
            Cell(text=str(stock.needed), detail=_one_fewer(brief, stock.needed, stock.firmness)),
            with_reason(f"{figures}.{id_}", str(stock.own)),
        )
        for id_, stock in stocks.items()
    ]
    head = words.each("report.stock.head", one, "taken", "away", "peak", "needed", "own")
    return table(words(f"report.stock.{kind}"), head, rows, numbers=(1, 2, 3, 4, 5))


def _one_fewer(brief: Brief, count: int, firmness: Firmness) -> str:
    """Return on how many days one fewer would do by itself: ``on 94 of 100 days 21 would do``."""
    if not count:
        return ""
    of_100 = int(100 * firmness.one_fewer.share + 1e-9)
    fewer = brief.words("report.stock.fewer", n=of_100, fewer=count - 1)
    return fewer if firmness.firm else brief.words.say(Joined((fewer, brief.words("report.stock.not-firm")), "; "))


def out_card(brief: Brief) -> Card:
    """Return what is out of the store through the day, set by set, against how many there are."""
    blocks: list[Block] = [said(brief.words("report.out.intro")), *_charts(brief)]
    return report_card(brief, "day", "out", blocks)


def _charts(brief: Brief) -> Iterator[Chart]:
    words, days = brief.words, brief.plan.days
    for id_, band in days.bands.items():
        own = days.sets[id_].own
        labels = BandWords(
            median=words("report.out.middle"), band=words("report.out.most"), stock=words("report.out.own", n=own)
        )
        times = [time / 60 for time in band.times]
        drawing, narrow = (
            step_band(times, band.median, band.high, stock=own, words=labels, width_mm=width, height_mm=40.0)
            for width in (HALF_MM, NARROW_MM)
        )
        yield chart(brief, brief.set(id_), drawing, _busiest(brief, band, own), _hours(brief, band), narrow=narrow)


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
    rows = [(words.say(Clock(band.times[n] / 60)), str(band.median[n]), str(band.high[n])) for n in shown]
    return table("", words.each("report.out.head", "at", "middle", "most"), rows, numbers=(1, 2))


def drawers_card(brief: Brief) -> Card | None:
    """Return the part about the drawers at the chairs; nothing where no pouch lies in one."""
    if not brief.plan.days.drawer_pouches:
        return None
    intro = said(brief.words("report.drawers.intro", service=Share(brief.plan.days.drawer_service)))
    blocks: tuple[Block, ...] = (intro, *_pars(brief), _pouches(brief), _restocking(brief))
    return report_card(brief, "day", "drawers", blocks)


def _pars(brief: Brief) -> Iterator[Block]:
    """Yield chairs down, pouches across; a second table where there are many pouches."""
    pouches = list(brief.plan.days.drawer_pouches)
    chairs = [id_ for id_, chair in brief.practice.chairs.items() if chair.drawer]
    columns = _MOST_COLUMNS - 1
    for first in range(0, len(pouches), columns):
        shown = pouches[first : first + columns]
        yield table(
            "" if first else brief.words("report.drawers.table"),
            (brief.words("report.drawers.chair"), *(brief.pouch(pouch) for pouch in shown)),
            [(brief.chair(chair), *(_par(brief, chair, pouch) for pouch in shown)) for chair in chairs],
            numbers=range(1, len(shown) + 1),
        )


def _par(brief: Brief, chair: str, pouch: str) -> Cell:
    par = brief.plan.days.pars.get((chair, pouch))
    if par is None:
        return Cell(text=NOTHING)
    differs = par.written not in (None, par.computed)
    said_of_it = "" if par.firmness.firm else brief.words("report.stock.not-firm")
    if differs:
        said_of_it = brief.words("report.drawers.as-written", computed=par.computed)
    return with_reason(f"par.{chair}.{pouch}", str(par.par), said_of_it)


def _pouches(brief: Brief) -> Block:
    words = brief.words
    rows = [
        (
            brief.pouch(pouch.id),
            words.number(pouch.opened_per_day),
            str(pouch.par),
            Cell(text=str(pouch.needed_beyond), detail=_one_fewer(brief, pouch.needed_beyond, pouch.firmness)),
            str(pouch.spares),
            with_reason(f"pouches.{pouch.id}", str(pouch.own)),
        )
        for pouch in brief.plan.days.drawer_pouches.values()
    ]
    head = words.each("report.drawers.head", "pouch", "opened", "drawers", "back", "spares", "own")
    return table(words("report.drawers.own"), head, rows, numbers=(1, 2, 3, 4, 5))


def _restocking(brief: Brief) -> Block:
    words = brief.words
    rows = [
        tuple(
            words.say(Clock(time / 60))
            for time in (restocking.at, restocking.complete.median, restocking.complete.high)
        )
        for restocking in brief.plan.days.restockings
    ]
    head = words.each("report.drawers.restock-head", "at", "median", "high")
    return table(words("report.drawers.restock"), head, rows, numbers=(1, 2))
