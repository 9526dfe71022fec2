"""Go-live plan: lines for before the day, the day and after it, in order, each with a role and a box.

The weeks are common practice, no source, but for the supplies: their order waits for the longest delivery.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from kitdocs.document.blocks import Cell, Matrix, said
from kitdocs.document.card import Card
from kitdocs.handbook.move.lists import first_of, money_of_orders, pieces_to_buy
from kitdocs.handbook.move.move import Move, Role
from kitdocs.handbook.rules.conditions import keeps_drawers
from kitdocs.handbook.rules.quote import rule_text
from kitdocs.planning.buying.first_supplies import longest_lead_time
from kitdocs.practice.message import Value
from kitdocs.practice.room import MachineStage

WEEK = 7

#: Weeks before the day. Common practice, no source.
SUPPLIES_WEEKS = 4
#: Between a delivery and the day it is needed: for what comes late or wrong.
SPARE_WEEKS = 2


def plan_card(move: Move) -> Card:
    """Return the plan itself; its lists stand on the cards that follow it."""
    words = move.words
    blocks = (
        said(words("move.plan.intro")),
        _table(move, "before", _before(move)),
        _table(move, "day", _day(move)),
        _table(move, "after", _after(move)),
    )
    return move.card("move/plan", blocks)


def supplies_weeks(lead_time_days: float) -> int:
    """Return how many weeks before the day supplies are ordered, when the slowest takes so long to come."""
    return max(SUPPLIES_WEEKS, math.ceil(lead_time_days / 7 - 1e-9) + SPARE_WEEKS)


Line = tuple[Cell, str, str]
"""What, who, when."""


def _table(move: Move, part: str, lines: Iterable[Line]) -> Matrix:
    head = move.words.each("move.plan", "what", "who", "when", "done")
    return move.ticked(move.words(f"move.plan.part.{part}"), head, lines)


def _before(move: Move) -> list[Line]:
    """Return the lines in the order of time, also where a supply takes longer to come than anything else."""
    timed = sorted(_timed(move), key=lambda line: -line[0])
    return [line for _, line in timed]


def _timed(move: Move) -> Iterator[tuple[int, Line]]:
    """Yield each line with how many days before the day it is."""
    brief = move.brief
    orders, supplies = brief.plan.orders, first_of(brief)

    def line(
        name: str, days: int, *roles: Role, link: str = "", n: int | None = None, **values: Value
    ) -> tuple[int, Line]:
        return days, _line(move, f"before.{name}", _when(move, days), *roles, link=link, n=n, **values)

    yield line("count", 10 * WEEK, "lead", "technician", link="forms/count-sheet")
    if orders.to_buy:
        pieces = pieces_to_buy(move)
        yield line("buy", 8 * WEEK, "office", link="move/order", pieces=pieces, money=money_of_orders(move))
    yield line("shelves", 5 * WEEK, "lead", link="move/mark")
    if supplies:
        weeks = supplies_weeks(longest_lead_time(supplies))
        yield line("supplies", weeks * WEEK, "office", link="move/order")
    yield line("mark", 3 * WEEK, "technician", "lead", link="move/mark")
    yield line("print", 3 * WEEK, "office", link="move/mark")
    yield line("hang", 2 * WEEK, "lead", link="move/mark")
    yield line("train", 2 * WEEK, "lead", link="move/training/technician")
    stages = brief.practice.room.stages.values()
    machines = brief.listed(brief.say(stage.name) for stage in stages if isinstance(stage, MachineStage))
    if machines:
        guide = next((f"load/{guide.stage}" for guide in brief.plan.load_guides), "")
        yield line("load", 2 * WEEK, "technician", "lead", link=guide, machines=machines)
    set_id = busiest(move)
    yield line("trial", 1 * WEEK, "assistant", "technician", chair=_chair_for(move, set_id), set=brief.set(set_id))
    yield line("test", 1 * WEEK, "everybody", link="move/self-test")
    yield line("correct", 1 * WEEK, "lead", link="current")
    packs = sum(brief.plan.days.stock.values()) + sum(brief.plan.days.pouch_stock.values())
    yield line("pack", 2, "technician", link="move/start", n=packs)
    if keeps_drawers(brief.practice):
        yield line("fill", 1, "technician", "assistant", link="move/start", rule=rule_text(brief, "refill-hands"))
    yield line("away", 1, "assistant", "lead")


def _day(move: Move) -> Iterator[Line]:
    brief, words = move.brief, move.words
    opens = clock(brief.practice.settings.day.opens)

    def line(name: str, when: str, *roles: Role, link: str = "", **values: str) -> Line:
        return _line(move, f"day.{name}", when, *roles, link=link, n=None, **values)

    yield line("count", words("move.plan.before-clock", clock=opens), "lead", link="move/start")
    yield line("meet", words("move.plan.before-clock", clock=opens), "everybody")
    yield line("chair", words("move.plan.all-day"), "assistant", link="map")
    yield line("room", words("move.plan.all-day"), "technician", link="first-day")
    yield line("watch", words("move.plan.all-day"), "lead", link="move/first-week")
    yield line("free", words("move.plan.all-day"), "office")
    if keeps_drawers(brief.practice):
        rounds = " · ".join(clock(at) for at in sorted(brief.practice.room.restock))
        by_card, first = rule_text(brief, "refill-by-card"), next(iter(brief.practice.chairs))
        yield line("refill", rounds, "technician", link=f"r/{first}", rule=by_card)
    yield line("end", words("move.plan.evening"), "technician", "lead")


def _after(move: Move) -> Iterator[Line]:
    words = move.words

    def line(name: str, when: str, *roles: Role, link: str = "") -> Line:
        return _line(move, f"after.{name}", when, *roles, link=link)

    yield line("watch", words("move.plan.first-week"), "lead", link="move/first-week")
    yield line("review", words.count("move.plan.days-after", 5), "lead", "everybody")
    yield line("sign", words.count("move.plan.weeks-after", 2), "lead", link="forms/training")
    yield line("recount", words.count("move.plan.weeks-after", 4), "lead", "office", link="forms/count-sheet")


def _line(move: Move, key: str, when: str, *roles: Role, link: str = "", n: int | None = None, **values: Value) -> Line:
    """Return one line of the plan. `n` is what a sentence counts, if it counts something."""
    words, how = move.words, f"move.plan.{key}.how"
    detail = words(how, **values) if n is None else words.count(how, n, **values)
    what = Cell(text=move.words(f"move.plan.{key}.what"), detail=detail, link=move.link(link))
    return what, move.role(*roles), when


def busiest(move: Move) -> str:
    """Return the set that most visits take."""
    sets = move.brief.plan.days.sets
    return max(sets, key=lambda set_id: sets[set_id].taken_per_day, default=next(iter(move.brief.practice.sets)))


def _chair_for(move: Move, set_id: str) -> str:
    """Return the name of the first chair at which visits take a set."""
    practice = move.brief.practice
    taking = [p for p, record in practice.procedures.items() if record.set == set_id] or list(practice.procedures)
    at = [chair for chair in practice.chairs if any(chair in practice.chairs_for(p) for p in taking)]
    return move.brief.chair(at[0])


def clock(minutes: float) -> str:
    """Return a time of day, past midnight too: ``08:30``."""
    return f"{round(minutes) // 60 % 24:02d}:{round(minutes) % 60:02d}"


def _when(move: Move, days: int) -> str:
    """Return how long before the day, in weeks where they are whole ones."""
    unit, n = ("weeks", days // WEEK) if days % WEEK == 0 else ("days", days)
    return move.words.count(f"move.plan.{unit}-before", n)
