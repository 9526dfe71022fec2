"""Report on buying in steps: what to buy first with so much money, and what it is good for."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Cell, Matrix, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import CellText, table
from kitdocs.planning.buying.steps import BuyingStep, bought
from kitdocs.practice.message import Duration, Joined, Message, Share, counted, message
from kitdocs.practice.room import Candidate, MachineStage
from kitdocs.practice.values import Text
from kitdocs.report.layout import report_card


def steps_card(brief: Brief) -> Card | None:
    """Return the steps from nothing bought to the plan; nothing where nothing has to be bought."""
    steps, words = brief.plan.steps, brief.words
    if not steps:
        return None
    currency = brief.plan.orders.currency
    head = words.each("report.steps.head", "with", "sets", "pouches", "short", "kept", currency=currency)
    blocks: tuple[Block, ...] = (
        said(words("report.steps.intro", money=words.money(steps[-1].spent, currency))),
        table("", head, [_row(brief, step) for step in steps], numbers=(1, 2, 3, 4)),
        _bought(brief),
        _counts(brief),
        *_candidates(brief),
    )
    return report_card(brief, "buying", "steps", blocks)


def _candidates(brief: Brief) -> Iterator[Block]:
    """What the steps leave out, because the room would have to be run anew with it, with price and what it can take."""
    if candidates := brief.practice.room.candidates.values():
        yield said(brief.words("report.steps.candidates"))
        head = brief.words.each("report.steps.candidate", "name", "price", "takes", currency=brief.plan.orders.currency)
        rows = [(brief.say(one.name), _price(brief, one), _takes(brief, one)) for one in candidates]
        yield table(brief.words("report.steps.candidate.title"), head, rows)


def _price(brief: Brief, candidate: Candidate) -> str:
    parts = [brief.words.money(candidate.price)] if candidate.price is not None else []
    if candidate.each_day is not None:
        parts.append(brief.words("report.steps.candidate.each-day", price=candidate.each_day))
    return " + ".join(parts) or brief.words("report.steps.candidate.no-price")


def _takes(brief: Brief, candidate: Candidate) -> str:
    """What a load of the machine holds and how long it takes, whose hands they are, or how much longer who stays."""
    words, room = brief.words, brief.practice.room
    if candidate.person:
        longer = Duration(60 * candidate.longer)
        return words("report.steps.candidate.longer", person=room.people[candidate.person].name, longer=longer)
    stage = room.stages[candidate.stage or ""]
    if not isinstance(stage, MachineStage):
        return words("report.steps.candidate.hands", stage=stage.name)
    machine = candidate.machine or stage.each[0]
    held = (
        message("report.steps.candidate.of-size", n=n, size=_size(brief, id_)) for id_, n in machine.capacity.items()
    )
    holds = Joined(tuple(held), " / ")
    cycle = Duration(60 * machine.cycle)
    return words("report.steps.candidate.machine", stage=stage.name, cycle=cycle, holds=holds)


def _size(brief: Brief, id_: str) -> Text:
    cassettes = brief.practice.cassettes
    return cassettes[id_].name if id_ in cassettes else brief.practice.room.pouch_sizes[id_].name


def _bought(brief: Brief) -> Matrix:
    """Return what is bought first, second, third."""
    words, steps = brief.words, brief.plan.steps
    spares = words("report.steps.spares")
    rows = [
        (_up_to(brief, step), " · ".join(f"{n}\u00a0×\u00a0{brief.pack(id_)}" for id_, n in more.items()) or spares)
        for step, more in zip(steps[1:], bought(steps), strict=True)
    ]
    title = words("report.steps.bought")
    head = words.each("report.steps.step-head", "up-to", "buy", currency=brief.plan.orders.currency)
    return table(title, head, rows)


def _up_to(brief: Brief, step: BuyingStep) -> str:
    return (
        brief.words("report.steps.plan") if step is brief.plan.steps[-1] else brief.words.number(float(step.purse), 0)
    )


def _counts(brief: Brief) -> Matrix:
    """Return how many there are of each set and pouch, step by step."""
    words, steps = brief.words, brief.plan.steps
    head = (
        words("report.steps.pack"),
        *(_up_to(brief, step) for step in steps),
    )
    rows: list[tuple[CellText, ...]] = [
        (brief.pack(id_), *(step.own.get(id_, 0) for step in steps)) for id_ in steps[-1].own
    ]
    title = words("report.steps.counts", currency=brief.plan.orders.currency)
    return table(title, head, rows, numbers=range(1, len(head)))


def budget_answer(brief: Brief) -> dict[str, Message]:
    """Return, for the first page, what the budget buys; nothing where none is stated, or where it pays for the plan."""
    budget, currency = brief.practice.settings.budget, brief.plan.orders.currency
    for step in brief.plan.steps[:-1]:
        if step.purse == budget:
            sets, pouches = _own(brief, step)
            buys = message(
                "report.summary.budget-buys",
                money=brief.words.money(budget, currency),
                sets=counted("report.sets", sets),
                pouches=counted("report.pouches", pouches),
                kept=Share(step.kept.share, 1),
                short=brief.words.number(step.short),
            )
            return {"budget": buys}
    return {}


def _row(brief: Brief, step: BuyingStep) -> tuple[CellText, ...]:
    last = step is brief.plan.steps[-1]
    stands_for = "plan" if last else "spent" if step.spent else "owned"
    return (
        Cell(
            text=brief.words.money(step.purse),
            detail=brief.words(f"report.steps.{stands_for}", money=brief.words.money(step.spent)),
        ),
        *_own(brief, step),
        brief.words.number(step.short),
        brief.words.percent(step.kept.share, 1),
    )


def _own(brief: Brief, step: BuyingStep) -> tuple[int, int]:
    sets = sum(number for id_, number in step.own.items() if id_ in brief.practice.sets)
    return sets, sum(step.own.values()) - sets
