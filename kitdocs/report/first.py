"""Answers at a glance, and the numbers that the plan starts from: the day, the visits and what each takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitdocs.document.blocks import Block, Caution, Cell, Chart, Facts
from kitdocs.document.card import Card
from kitdocs.document.catalog import MessageCatalog
from kitdocs.drawings.charts import Bar, bars
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import facts, table
from kitdocs.planning.day.breaking import Breakdown
from kitdocs.planning.day.kept_visits import visits_per_day
from kitdocs.practice.book import Overrun, Window
from kitdocs.practice.message import Clock, Duration, Joined, Message, Share, Value, counted, message
from kitdocs.practice.model import Procedure
from kitdocs.practice.numbers import hours_and_minutes
from kitdocs.report.buying import day_cost, total_words
from kitdocs.report.checks import open_warnings, warning_place, warning_text, warnings_words
from kitdocs.report.day import busiest_words, ends_words
from kitdocs.report.layout import HALF_MM, chart, report_card
from kitdocs.report.promise import promise_answers
from kitdocs.report.steps import budget_answer


def summary_card(brief: Brief, broken: Sequence[Breakdown]) -> Card:
    """Return the first page; of what may be `broken` it says what it takes to leave nothing for the next day."""
    words = brief.words
    limits = Caution(title=words("report.summary.limits-title"), text=words("report.summary.limits"))
    blocks = (_answers(brief, broken), _to_own(brief), *_open(brief), limits)
    return report_card(brief, "first", "summary", blocks)


def _answers(brief: Brief, broken: Sequence[Breakdown]) -> Facts:
    words, plan, days = brief.words, brief.plan, brief.plan.days
    pieces = sum(line.buy for line in plan.orders.to_buy)
    pieces_for = message("report.summary.pieces-for", pieces=counted("report.pieces", pieces), cost=total_words(brief))
    cost = words.money(day_cost(brief), plan.orders.currency)
    answers = {
        **promise_answers(brief),
        "sets": _kinds(counted("report.sets", sum(days.stock.values())), len(days.stock)),
        "pouches": _kinds(counted("report.pouches", sum(days.pouch_stock.values())), len(days.pouch_stock)),
        "buy": pieces_for if pieces else message("report.summary.nothing"),
        **budget_answer(brief),
        "last": ends_words(brief),
        **_stays(broken),
        "busiest": busiest_words(brief),
        **({"supplies": message("report.summary.supplies-cost", cost=cost)} if plan.supplies else {}),
        "warnings": warnings_words(brief),
    }
    return facts(*((words(f"report.summary.{name}"), words.say(answer)) for name, answer in answers.items()))


def _stays(broken: Sequence[Breakdown]) -> dict[str, Message]:
    """Return how long somebody stays where something would wait until the morning; nothing where nobody asked."""
    ends = next((each.broken.ends for each in broken if each.cause == "stays"), None)
    return {"stays": message("report.summary.stays-until", time=Clock(ends.high / 60))} if ends else {}


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
        kept=Share(days.promises.sets.kept.share, 1),
        visits=words.number(days.visits.mean),
        most=days.stock[most],
        set=brief.set(most),
    )
    rows = [(brief.set(id_), words.number(stock.taken_per_day), str(stock.own)) for id_, stock in days.sets.items()]
    head = words.each("report.summary.head", "set", "taken", "own")
    return chart(brief, words("report.summary.chart"), drawing, summary, table("", head, rows, numbers=(1, 2)))


def _open(brief: Brief) -> Iterator[Block]:
    problems = open_warnings(brief)
    if problems:
        head = brief.words.each("report.summary.first-head", "where", "warning")
        rows = [(warning_place(brief, p), warning_text(brief, p, p.message)) for p in problems[:3]]
        yield table(brief.words("report.summary.first"), head, rows)


def start_card(brief: Brief) -> Card:
    """Return the part that states the day and its visits."""
    words = brief.words
    blocks = (_day(brief), _visits(brief))
    return report_card(brief, "first", "start", blocks, subtitle=words("report.start.subtitle"))


def _day(brief: Brief) -> Facts:
    words, day, days = brief.words, brief.practice.settings.day, brief.plan.days
    hours = message("report.start.hours", opens=Clock(day.opens), closes=Clock(day.closes))
    if day.pause:
        hours = message(
            "report.start.hours-and-break",
            opens=Clock(day.opens),
            closes=Clock(day.closes),
            pause=Clock(day.pause.start),
            resume=Clock(day.pause.end),
        )
    drawn = "report.start.from-schedule" if brief.practice.schedule else "report.start.drawn"
    stated: dict[str, Value] = {
        "open": hours,
        "week": words.number(day.per_week),
        "visits": message("report.start.on-average", n=words.number(days.visits.mean)),
        "service": message("report.start.service-means", service=Share(days.service)),
        "drawer-service": message("report.start.drawer-service-means", service=Share(days.drawer_service)),
        "days": message(drawn, days=days.days, seed=str(days.seed)),
        **_booked(brief),
        "restocking": Joined(tuple(map(Clock, brief.practice.room.restock)), ", "),
    }
    named = ((words(f"report.start.{name}"), words.say(said)) for name, said in stated.items())
    return facts(*named, title=words("report.start.day"))


def _booked(brief: Brief) -> dict[str, Value]:
    """Return how visits are booked and kept, where the practice says so."""
    practice, booked, kept = brief.practice, brief.plan.days.kept.booked, sum(visits_per_day(brief.practice).values())
    stated: dict[str, Value] = {}
    if practice.settings.book == "packed" and not practice.schedule:
        stated["book"] = message("report.start.book-packed")
    if kept < booked:
        stated["no-shows"] = message("report.start.no-shows-of", share=Share(1 - kept / booked, 1))
    if practice.settings.overrun:
        stated["overrun"] = _overrun("report.start.overrun-of", practice.settings.overrun)
    return stated


def _overrun(key: str, overrun: Overrun) -> Message:
    median, most = Duration(60 * overrun.median), Duration(60 * overrun.most)
    return message(key, share=Share(overrun.share), median=median, most=most)


def _visits(brief: Brief) -> Block:
    words = brief.words
    rows = [
        (
            Cell(text=brief.say(record.name), detail=_where(brief, procedure)),
            words.number(record.per_day),
            Cell(text=hours_and_minutes(record.minutes * 60), detail=_when(brief, record)),
            Cell(text=brief.set(record.set), detail=_pouches(brief, procedure)),
        )
        for procedure, record in brief.practice.procedures.items()
    ]
    head = words.each("report.start.head", "procedure", "per-day", "booked", "takes")
    return table(words("report.start.table"), head, rows, numbers=(1, 2))


def _when(brief: Brief, record: Procedure) -> str:
    """Return when a procedure is booked, and what it says itself of how visits are kept; empty when nothing."""
    words, parts = brief.words, []
    times = [_time(words, when, share) for when, share in record.windows.items()]
    if times and not brief.practice.schedule:
        parts.append(words("report.start.when", times=", ".join(times)))
    if record.no_shows is not None:
        parts.append(words("report.start.own-no-shows", share=Share(record.no_shows)))
    if record.overrun:
        parts.append(words.say(_overrun("report.start.own-overrun", record.overrun)))
    return words.say(Joined(tuple(parts), "; "))


def _time(words: MessageCatalog, when: Window, share: float) -> str:
    time = words("report.start.from-to", start=Clock(when.start), end=Clock(when.end))
    if when.half:
        time = words(f"report.start.{when.half}")
    return time if share == 1 else words("report.start.when-share", when=time, share=Share(share))


def _where(brief: Brief, procedure: str) -> str:
    """Return where it is done, or where it is not when that is shorter."""
    done = brief.practice.chairs_for(procedure)
    not_done = [chair for chair in brief.practice.chairs if chair not in done]
    if not not_done:
        return brief.words("report.start.any-chair")
    if len(not_done) < len(done):
        return brief.words("report.start.any-but", chairs=brief.listed(map(brief.chair, not_done)))
    return ", ".join(map(brief.chair, done))


def _pouches(brief: Brief, procedure: str) -> str:
    words = brief.words
    taken = {**brief.practice.procedures[procedure].add_ons, **brief.plan.drawer_pouches[procedure]}
    shares = {p: words("report.start.always") if share == 1 else words.percent(share, 2) for p, share in taken.items()}
    return " · ".join(words("report.start.pouch-share", pouch=brief.pouch(p), share=s) for p, s in shares.items())
