"""What the plan starts from: the day, the visits and what each takes. Who doubts a figure begins here."""

from __future__ import annotations

from kitdocs.document.blocks import Block, Cell, Fact, Facts
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.practice.numbers import hours_and_minutes, percent, plain
from kitdocs.practice.values import clock_text
from kitdocs.report.telling import report_card, table


def start_card(brief: Brief, section: str) -> Card:
    return report_card(
        "start",
        "What the plan starts from",
        section,
        (_day(brief), _visits(brief)),
        "As the practice describes itself. If a line is wrong here, every figure that rests on it is wrong too.",
    )


def _day(brief: Brief) -> Facts:
    day, days = brief.practice.settings.day, brief.plan.days
    pause = f", with a break from {clock_text(day.pause.start)} to {clock_text(day.pause.end)}" if day.pause else ""
    drawn = (
        "the days of schedule.csv, in turn"
        if brief.practice.schedule
        else f"drawn from the visits below with seed {days.seed}; the same seed draws the same days"
    )
    return Facts(
        title="The busy day",
        facts=(
            Fact(label="Open", value=f"{clock_text(day.opens)} to {clock_text(day.closes)}{pause}"),
            Fact(label="Working days a week", value=plain(day.per_week)),
            Fact(label="Visits on a busy day", value=f"{plain(days.visits.mean)} on average"),
            Fact(
                label="Service level",
                value=f"nobody waits for a set or a pouch on {percent(days.service, 1)} of busy days",
            ),
            Fact(label="Busy days simulated", value=f"{days.days:,}, {drawn}"),
            Fact(label="Restocking of drawers", value=", ".join(clock_text(at) for at in brief.practice.room.restock)),
        ),
    )


def _visits(brief: Brief) -> Block:
    rows = [
        (
            Cell(text=brief.say(of.name), detail=_where(brief, procedure)),
            plain(of.per_day),
            hours_and_minutes(of.minutes * 60),
            Cell(text=brief.set(of.set), detail=_pouches(brief, procedure)),
        )
        for procedure, of in brief.practice.procedures.items()
    ]
    head = ("Procedure", "A busy day", "Booked for", "Set, and pouches with the share of visits that take one")
    return table("Visits, and what each takes", head, rows, numbers=(1, 2))


def _where(brief: Brief, procedure: str) -> str:
    """Where it is done, or where it is not when that is shorter."""
    done = brief.practice.chairs_for(procedure)
    not_done = [chair for chair in brief.practice.chairs if chair not in done]
    if not not_done:
        return "at any chair"
    if len(not_done) < len(done):
        return "at any chair but " + " and ".join(map(brief.chair, not_done))
    return ", ".join(map(brief.chair, done))


def _pouches(brief: Brief, procedure: str) -> str:
    taken = {**brief.practice.procedures[procedure].add_ons, **brief.plan.drawer_pouches[procedure]}
    return " · ".join(
        f"{brief.pouch(pouch)}, {'always' if share == 1 else percent(share, 2)}" for pouch, share in taken.items()
    )
