"""When something breaks: what such a day comes to, and what to do, in the order of what helps most."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitdocs.document.blocks import Block, Caution, Cell, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.packing import makers_caution
from kitdocs.handbook.layout import CellText, steps, table
from kitdocs.planning.day.breaking import Breakdown, BrokenDay
from kitdocs.practice.message import Clock, Duration
from kitdocs.practice.room import MachineStage
from kitdocs.report.day import stage_name
from kitdocs.report.layout import NOTHING, report_card

#: What is less than half a set or pouch a day, or ten minutes, is not worth doing for.
_HALF, _TEN_MINUTES = 0.5, 600

_KINDS_NAMED = 3


def breakdown_card(brief: Brief, broken: Sequence[Breakdown]) -> Card | None:
    """Return what happens when something breaks; nothing where nobody asked, or where there is nothing to break."""
    if not broken:
        return None
    words = brief.words
    intro = words("report.breakdown.intro", days=broken[0].days)
    blocks: list[Block] = [said(intro), _table(brief, broken)]
    blocks += (_what_to_do(brief, each) for each in broken if each.cause != "stays")
    if not brief.practice.room.people:
        blocks.append(said(words("report.breakdown.nobody-named")))
    if any(each.broken.left.mean for each in broken):
        blocks.append(overnight_caution(brief))
    blocks.append(makers_caution(brief))
    return report_card(brief, "day", "breakdown", blocks)


def overnight_caution(brief: Brief) -> Caution:
    """Return what is asked of instruments that are left overnight.

    SOURCES: CDC 2008, cleaning (dried soil); CDC 2003, p. 21 (kept moist). The rest is common practice, no source.
    """
    return Caution(title=brief.words("report.night.caution-title"), text=brief.words("report.night.caution"))


def _table(brief: Brief, broken: Sequence[Breakdown]) -> Block:
    words = brief.words
    head = words.each("report.breakdown.head", "what", "waits", "first", "ends", "left", "sets")
    rows = [(words("report.breakdown.usual"), *_cells(brief, broken[0].usual))]
    rows += [(_what(brief, each), *_cells(brief, each.broken)) for each in broken]
    return table(words("report.breakdown.table"), head, rows, numbers=(1, 2, 3, 4, 5))


def _cells(brief: Brief, day: BrokenDay) -> tuple[CellText, ...]:
    words = brief.words
    most = words("report.breakdown.most", most=day.waits.high)
    return (
        Cell(text=words.number(day.waits.mean), detail=most),
        NOTHING if day.first_wait is None else words.say(Clock(day.first_wait / 60)),
        NOTHING if day.ends is None or day.left.high else words.say(Clock(day.ends.high / 60)),
        words.number(day.left.mean),
        NOTHING if day.sets is None else str(day.sets),
    )


def _what(brief: Brief, each: Breakdown) -> str:
    words, room = brief.words, brief.practice.room
    if each.cause == "stays":
        return words("report.breakdown.what.stays")
    if each.person:
        return words("report.breakdown.what.ill", person=brief.say(room.people[each.person].name))
    stage = room.stages[each.stage]
    machine = each.cause == "machine" and isinstance(stage, MachineStage)
    key = f"{each.cause}-of-several" if machine and isinstance(stage, MachineStage) and stage.count > 1 else each.cause
    count = stage.count if isinstance(stage, MachineStage) else 0
    return words(f"report.breakdown.what.{key}", stage=stage_name(brief, each.stage), count=count)


def _what_to_do(brief: Brief, each: Breakdown) -> Block:
    return steps(_what(brief, each), (_first(brief, each), *_then(brief, each)))


def _first(brief: Brief, each: Breakdown) -> str:
    stage = brief.practice.room.stages.get(each.stage)
    sterilizer = "-sterilizer" if each.cause == "load" and stage and stage.area == "sterilization" else ""
    return brief.words(f"report.breakdown.do.{each.cause}{sterilizer}")


def _then(brief: Brief, each: Breakdown) -> Iterator[str]:
    """Yield what helps without moving a visit; the visits to move for the rest; the evening and the morning."""
    words, usual, broken = brief.words, each.usual, each.broken
    fewer = broken.waits.mean - each.otherwise.waits.mean if each.otherwise else 0.0
    helps = fewer >= _HALF
    time = NOTHING if broken.first_wait is None else words.say(Clock(broken.first_wait / 60))
    if each.stops:
        yield words("report.breakdown.do.stopped", stage=stage_name(brief, each.stops), time=time)
    if helps:
        yield words(f"report.breakdown.do.otherwise-{each.cause}", fewer=words.number(fewer))
    rest = broken.waits.mean - usual.waits.mean - (fewer if helps else 0.0)
    if rest >= _HALF and not each.stops:
        kinds = list(broken.waits_by_kind)[:_KINDS_NAMED]
        named = [brief.set(id_) if id_ in brief.practice.sets else brief.pouch(id_) for id_ in kinds]
        visits = words.count("report.breakdown.visits", max(1, round(rest)))
        yield words("report.breakdown.do.move", visits=visits, time=time, kinds=brief.listed(named))
    later = broken.ends.high - usual.ends.high if broken.ends and usual.ends else 0
    if broken.ends and later >= _TEN_MINUTES:
        until = Clock(broken.ends.high / 60)
        yield words("report.breakdown.do.stay", time=until, later=Duration(later))
    more = broken.left.mean - usual.left.mean
    if more >= _HALF:
        yield words(
            "report.breakdown.do.morning", left=words.number(broken.left.mean), usual=words.number(usual.left.mean)
        )
    if not helps and rest < _HALF and later < _TEN_MINUTES and more < _HALF:
        yield words("report.breakdown.do.nothing-more")
