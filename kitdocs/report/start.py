"""The numbers the plan starts from: the day, the visits and what each takes. Who doubts a figure begins here."""

from __future__ import annotations

from kitdocs.document.blocks import Block, Cell, Fact, Facts
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.practice.message import Clock, Joined, Share, Value, message
from kitdocs.practice.numbers import hours_and_minutes, percent, plain
from kitdocs.report.layout import report_card, table


def start_card(brief: Brief, section: str) -> Card:
    """Return the part that states the day and its visits."""
    words = brief.words
    blocks = (_day(brief), _visits(brief))
    return report_card("start", words("report.start.title"), section, blocks, words("report.start.subtitle"))


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
        "week": plain(day.per_week),
        "visits": message("report.start.on-average", n=plain(days.visits.mean)),
        "service": message("report.start.service-means", service=Share(days.service)),
        "days": message(drawn, days=days.days, seed=str(days.seed)),
        "restocking": Joined(tuple(map(Clock, brief.practice.room.restock)), ", "),
    }
    return Facts(
        title=words("report.start.day"),
        facts=tuple(Fact(label=words(f"report.start.{name}"), value=words.say(said)) for name, said in stated.items()),
    )


def _visits(brief: Brief) -> Block:
    words = brief.words
    rows = [
        (
            Cell(text=brief.say(record.name), detail=_where(brief, procedure)),
            plain(record.per_day),
            hours_and_minutes(record.minutes * 60),
            Cell(text=brief.set(record.set), detail=_pouches(brief, procedure)),
        )
        for procedure, record in brief.practice.procedures.items()
    ]
    head = [words(f"report.start.head.{name}") for name in ("procedure", "per-day", "booked", "takes")]
    return table(words("report.start.table"), head, rows, numbers=(1, 2))


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
    shares = {p: words("report.start.always") if share == 1 else percent(share, 2) for p, share in taken.items()}
    return " · ".join(words("report.start.pouch-share", pouch=brief.pouch(p), share=s) for p, s in shares.items())
