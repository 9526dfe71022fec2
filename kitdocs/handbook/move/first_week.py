"""The first-week watch list: where the plan has least to spare, and what to do when a limit is passed."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from kitdocs.document.blocks import Cell, FormGrid, Matrix, said
from kitdocs.document.card import Card
from kitdocs.handbook.layout import table
from kitdocs.handbook.move.go_live import clock
from kitdocs.handbook.move.move import Move
from kitdocs.handbook.pictures import tip_of
from kitdocs.handbook.rules.quote import rule_text
from kitdocs.planning.buying.placement import walks_per_day
from kitdocs.planning.day.kept_visits import visits_per_day
from kitdocs.practice.message import Value

DAYS = 5

DAY = 24 * 60


def first_week_card(move: Move) -> Card:
    """Return a grid of days to write in, and below it which number to change."""
    words = move.words
    rows = tuple(watched(move))
    grid = FormGrid(
        columns=(
            words("move.week.watch"),
            words("move.week.limit"),
            *(words("move.week.day", n=n) for n in range(1, DAYS + 1)),
        ),
        widths=(96, 22, *[13] * DAYS),
        rows=0,
        fields=(words("move.week.begun"), words("move.week.by")),
        given=tuple((Cell(text=row.what, detail=row.why), Cell(text=row.limit)) for row in rows),
    )
    intro, then = (
        said(words("move.week.intro")),
        said(words("move.week.tell", card=words("card.mishaps.title")), words("move.week.then")),
    )
    return move.card("move/first-week", (intro, grid, _passed(move, rows), then))


def _passed(move: Move, rows: tuple[Watched, ...]) -> Matrix:
    words = move.words
    head = (words("move.week.watch"), words("move.week.change"))
    return table(words("move.week.passed"), head, ((row.what, row.change) for row in rows))


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """One thing to note each day. `why` is what makes it worth watching, `limit` what it should be.

    `change` is what is looked at when it is otherwise, and where the number stands in the folder.
    """

    id: str
    what: str
    why: str
    limit: str
    change: str


def watched(move: Move) -> Iterator[Watched]:
    """Yield what is watched, in the order of an instrument's day: at the chair, in the room, in the store."""
    yield _watched(move, "waited", _none(move))
    yield from _walks(move)
    yield from _opened(move)
    yield from _shortest(move)
    yield from _machine(move)
    yield _watched(move, "incomplete", _none(move))
    yield from _twins(move)
    yield _watched(move, "wet", _none(move), rule=rule_text(move.brief, "reject"))
    yield from _restocking(move)
    yield from _end(move)


def _watched(move: Move, key: str, limit: str, **values: Value) -> Watched:
    words = move.words
    return Watched(
        id=key,
        what=words(f"move.week.{key}.what", **values),
        why=words(f"move.week.{key}.why", **values),
        limit=limit,
        change=words(f"move.week.{key}.change", **values),
    )


def _none(move: Move) -> str:
    return move.words("move.week.none")


def _at_most(move: Move, n: int) -> str:
    return move.words("move.week.at-most", n=n) if n else _none(move)


def _walks(move: Move) -> Iterator[Watched]:
    """Yield the walks of a day, beside what was counted before the move, where somebody counted."""
    saving = next((s for s in move.brief.plan.savings if s.id == "walks"), None)
    if saving:
        planned, before = saving.after, move.words.number(saving.before)
        yield _watched(
            move, "walks-before", _at_most(move, math.ceil(planned)), planned=move.words.number(planned), before=before
        )
    else:
        practice = move.brief.practice
        planned = walks_per_day(practice, visits_per_day(practice))
        yield _watched(move, "walks", _at_most(move, math.ceil(planned)), planned=move.words.number(planned))


def _opened(move: Move) -> Iterator[Watched]:
    """Yield the drawer pouch that is opened most at one chair."""
    pars = move.brief.plan.days.pars.values()
    most = max(pars, key=lambda par: par.opened_per_day, default=None)
    if most:
        yield _watched(
            move,
            "opened",
            _at_most(move, most.par),
            pouch=move.brief.pouch(most.pouch),
            chair=move.brief.chair(most.chair),
            opened=move.words.number(most.opened_per_day),
            par=most.par,
        )


def _shortest(move: Move) -> Iterator[Watched]:
    """Yield the set with the smallest margin between stock and the day's usual peak; of equal ones the busier."""
    used = [stock for stock in move.brief.plan.days.sets.values() if stock.taken_per_day]
    shortest = min(used, key=lambda s: (round(s.own - s.peak.mean, 1), -s.taken_per_day), default=None)
    if shortest:
        yield _watched(
            move,
            "shortest",
            move.words("move.week.at-least", n=1),
            set=move.brief.set(shortest.id),
            owned=shortest.own,
            peak=move.words.number(shortest.peak.mean),
        )


def _machine(move: Move) -> Iterator[Watched]:
    """Yield the machine that is at work for the largest share of its time."""
    machines = [stage for stage in move.brief.plan.days.stages.values() if stage.loads]
    busiest = max(machines, key=lambda stage: stage.utilisation, default=None)
    if busiest and busiest.loads:
        name = move.brief.say(move.brief.practice.room.stages[busiest.id].name)
        yield _watched(
            move,
            "machine",
            _at_most(move, busiest.loads.high),
            machine=name,
            share=move.words.percent(busiest.utilisation),
            loads=move.words.number(busiest.loads.mean),
        )


def _twins(move: Move) -> Iterator[Watched]:
    """Yield sets of one size of cassette, and instruments with one and the same picture."""
    brief, practice = move.brief, move.brief.practice
    by_cassette: defaultdict[str, list[str]] = defaultdict(list)
    for record in practice.sets.values():
        by_cassette[record.cassette].append(record.code)
    alike = ["–".join(codes) for codes in by_cassette.values() if len(codes) > 1]
    if alike:
        yield _watched(move, "alike", _none(move), codes=brief.listed(alike))
    by_tip: defaultdict[str, list[str]] = defaultdict(list)
    for instrument in practice.instruments:
        by_tip[tip_of(brief, instrument).name].append(brief.instrument(instrument))
    tips = [brief.listed(names) for names in by_tip.values() if len(names) > 1]
    if tips:
        yield _watched(move, "tips", _none(move), instruments=" · ".join(tips))


def _restocking(move: Move) -> Iterator[Watched]:
    """Yield the round that most has to be done before everything opened is back."""
    if move.brief.plan.days.pars:
        rounds = move.brief.plan.days.restockings
        late = max(rounds, key=lambda r: (r.complete.high - r.at, r.at))
        at, back = clock(late.at / 60), clock(late.complete.high / 60)
        yield _watched(move, "restocking", _none(move), at=at, back=back)


def _end(move: Move) -> Iterator[Watched]:
    ends = move.brief.plan.days.ends
    if ends.high / 60 < DAY:
        limit = move.words("move.week.by-clock", clock=clock(ends.high / 60))
        yield _watched(move, "end", limit, usual=clock(ends.median / 60))
