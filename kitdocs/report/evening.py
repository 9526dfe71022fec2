"""Who works in the room on a busy day, and what is left when they go home."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Cell
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import facts, table
from kitdocs.practice.message import Clock, Share
from kitdocs.practice.numbers import hours_and_minutes
from kitdocs.practice.room import Person
from kitdocs.report.breaking import overnight_caution
from kitdocs.report.day import stage_name
from kitdocs.report.layout import report_card


def people_card(brief: Brief) -> Card | None:
    """Return the people of the room, and what waits until the morning; nothing where the room says nothing of them."""
    blocks = tuple(_blocks(brief))
    return report_card(brief, "day", "people", blocks) if blocks else None


def _blocks(brief: Brief) -> Iterator[Block]:
    if brief.plan.days.people:
        yield _people(brief)
    if brief.plan.days.nights:
        yield _left(brief)
        if brief.plan.days.nights.nights:
            yield overnight_caution(brief)


def _people(brief: Brief) -> Block:
    words, room = brief.words, brief.practice.room
    rows = [
        (
            Cell(text=brief.say(room.people[id_].name), detail=_hours(brief, room.people[id_])),
            hours_and_minutes(day.there),
            hours_and_minutes(day.work.mean),
            hours_and_minutes(day.work.high),
            words.percent(day.utilisation),
        )
        for id_, day in brief.plan.days.people.items()
    ]
    head = words.each("report.people.head", "who", "there", "work", "work-most", "at-work")
    return table(words("report.people.table"), head, rows, numbers=(1, 2, 3, 4))


def _hours(brief: Brief, person: Person) -> str:
    hours = {"start": Clock(person.hours.start), "end": Clock(person.hours.end)}
    if not person.lunch:
        return brief.words("report.people.hours", **hours)
    lunch = {"lunch": Clock(person.lunch.start), "back": Clock(person.lunch.end)}
    return brief.words("report.people.hours-and-lunch", **hours, **lunch)


def _left(brief: Brief) -> Block:
    words, nights = brief.words, brief.plan.days.nights
    assert nights is not None
    closes = Clock(nights.closes / 60)
    stated = [(words("report.night.closes"), words.say(closes))]
    if not nights.nights:
        return facts(
            *stated, (words("report.night.left"), words("report.night.nothing")), title=words("report.night.title")
        )
    left = words(
        "report.night.left-value",
        share=Share(nights.nights, 0),
        items=words.number(nights.items.mean),
        sets=words.number(nights.sets.mean),
        most=nights.items.high,
    )
    where = " · ".join(
        words("report.night.at-stage", stage=stage_name(brief, stage), n=words.number(count))
        for stage, count in nights.waiting_at.items()
    )
    stated += [(words("report.night.left"), left), (words("report.night.waiting-at"), where)]
    if nights.second:
        stated.append((words("report.night.second"), words("report.night.second-value", share=Share(nights.second, 1))))
    return facts(*stated, title=words("report.night.title"))
