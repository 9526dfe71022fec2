"""The reprocessing day: when it ends, what is busiest, the machines' loads, and where a set's time goes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from kitdocs.document.blocks import Block, Cell, Chart, Facts, said
from kitdocs.document.card import Card
from kitdocs.drawings.charts import Bar, BarSpan, DayRow, StackRow, bars, bars_day, stacked_bars
from kitdocs.drawings.loads_down import MachineDay, loads_down
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import facts, table
from kitdocs.planning.day.instants import seconds
from kitdocs.planning.day.timeline import LoadBar
from kitdocs.planning.day.turnaround import StageDay
from kitdocs.practice.message import Clock, Duration, Message, Share, counted, message
from kitdocs.practice.numbers import hours_and_minutes
from kitdocs.report.layout import FULL_MM, HALF_MM, NARROW_MM, NOTHING, chart, report_card


def day_card(brief: Brief) -> Card:
    """Return when the day ends, and how busy people and machines are."""
    over_night = (said(brief.words("report.day.waits-over-night")),) if _something_is_left(brief) else ()
    return report_card(brief, "day", "day", (_ends(brief), _stages(brief), *over_night, machines(brief)))


def turnaround_card(brief: Brief) -> Card:
    """Return where a set's time goes, from the store to the store."""
    return report_card(brief, "day", "turnaround", _turnaround(brief))


def bottleneck(brief: Brief) -> StageDay:
    """Return the stage whose machines or people have the most to do, each."""
    return max(brief.plan.days.stages.values(), key=lambda stage: stage.work_per_unit)


def stage_name(brief: Brief, stage: str) -> str:
    """Return what a stage is called."""
    return brief.say(brief.practice.room.stages[stage].name)


def ends_words(brief: Brief) -> Message:
    """Return when the last item is back in the store; where that is not on the same day, what waits for the next."""
    ends, nights = brief.plan.days.ends, brief.plan.days.nights
    if nights and nights.nights:
        return message(
            "report.day.left",
            closes=Clock(nights.closes / 60),
            share=Share(nights.nights, 0),
            items=brief.words.number(nights.items.mean),
        )
    low, high = (Clock(time / 60) for time in ends.high_between)
    return message(
        "report.day.ends", high=Clock(ends.high / 60), median=Clock(ends.median / 60), low_end=low, high_end=high
    )


def _something_is_left(brief: Brief) -> bool:
    """Return whether something waits until the morning on any day."""
    nights = brief.plan.days.nights
    return nights is not None and nights.nights > 0


def busiest_words(brief: Brief) -> Message:
    """Return how much the busiest stage has to do."""
    stage = bottleneck(brief)
    return message(
        "report.day.busiest-machine" if stage.loads else "report.day.busiest-person",
        stage=stage_name(brief, stage.id),
        work=Duration(stage.work_per_unit),
        share=Share(stage.utilisation, 0),
    )


def _ends(brief: Brief) -> Facts:
    words, days = brief.words, brief.plan.days
    after = days.ends.high - brief.practice.settings.day.closes * 60
    back = words.say(ends_words(brief))
    if after > 0 and not _something_is_left(brief):
        back = words("report.day.late", ends=back, high=Clock(days.ends.high / 60), after=Duration(after))
    loads = words("report.day.loads-a-day", n=words.number(days.loads_per_day))
    return facts(
        *_late(brief),
        (words("report.day.back"), back),
        (words("report.day.busiest"), words.say(busiest_words(brief))),
        (words("report.day.loads"), loads),
    )


def _late(brief: Brief) -> Iterator[tuple[str, str]]:
    """Yield how late visits begin and end, where the practice says that they run over."""
    words, practice, kept = brief.words, brief.practice, brief.plan.days.kept
    if any(map(practice.overrun, practice.procedures)):
        late = {"median": Duration(kept.late_by.median), "high": Duration(kept.late_by.high)}
        yield words("report.day.visits-late"), words("report.day.visits-late-by", share=Share(kept.late, 0), **late)
        last = {"median": Clock(kept.last.median / 60), "high": Clock(kept.last.high / 60)}
        yield words("report.day.last-visit"), words("report.day.last-visit-by", **last)


def _stages(brief: Brief) -> Block:
    words = brief.words
    rows = [
        (
            Cell(
                text=stage_name(brief, stage.id),
                detail=words.say(counted("figures.machines" if stage.loads else "figures.people", stage.units)),
            ),
            hours_and_minutes(stage.work_per_unit),
            words.percent(stage.utilisation),
            hours_and_minutes(stage.wait.mean),
            hours_and_minutes(stage.wait.high),
            words("report.day.up-to", mean=words.number(stage.loads.mean), most=stage.loads.high)
            if stage.loads
            else NOTHING,
        )
        for stage in brief.plan.days.stages.values()
        if stage.units
    ]
    head = words.each("report.day.head", "stage", "work", "at-work", "wait", "wait-most", "loads")
    return table(words("report.day.table"), head, rows, numbers=(1, 2, 3, 4, 5))


def machines(brief: Brief) -> Chart:
    """Return the machines' loads on a day that ends when half of the days have ended."""
    words, day = brief.words, brief.plan.days.median_day
    by_machine: defaultdict[tuple[str, int], list[LoadBar]] = defaultdict(list)
    for load in sorted(day.loads, key=lambda load: load.start):
        by_machine[load.stage, load.machine].append(load)
    order = [
        (stage.id, machine)
        for stage in brief.plan.days.stages.values()
        if stage.loads
        for machine in range(1, stage.units + 1)
    ]
    names = {(stage, machine): _machine(brief, stage, machine) for stage, machine in order}
    spans = {
        at: tuple(BarSpan(start=n.start / 60, end=n.end / 60, label=f"{n.sets} + {n.pouches}") for n in loads)
        for at, loads in by_machine.items()
    }
    rows = [DayRow(label=names[at], spans=spans.get(at, ())) for at in order]
    columns = [
        MachineDay(kind=stage_name(brief, at[0]), number=_number(brief, *at), spans=spans.get(at, ())) for at in order
    ]
    start, empty = seconds(brief.practice.settings.day.opens) / 60, words("report.day.no-machine")
    drawing = bars_day(rows, start, day.ends / 60, width_mm=FULL_MM, empty=empty)
    narrow = loads_down(columns, start, day.ends / 60, width_mm=NARROW_MM, empty=empty)
    visits = counted("report.day.visits", day.visits)
    summary = words("report.day.middle-says", visits=visits, time=Clock(day.ends / 60))
    numbers = table(
        "",
        words.each("report.day.machine-head", "machine", "loads", "first", "last", "sets", "pouches"),
        [(names[at], *_loads(brief, by_machine.get(at, []))) for at in order],
        numbers=(1, 2, 3, 4, 5),
    )
    return chart(brief, words("report.day.middle"), drawing, summary, numbers, narrow=narrow)


def _machine(brief: Brief, stage: str, machine: int) -> str:
    name, number = stage_name(brief, stage), _number(brief, stage, machine)
    return brief.words("report.day.machine-number", stage=name, number=number) if number else name


def _number(brief: Brief, stage: str, machine: int) -> str:
    """Return a machine's number among those of its stage; empty where it is the only one."""
    return "" if brief.plan.days.stages[stage].units == 1 else str(machine)


def _loads(brief: Brief, loads: Sequence[LoadBar]) -> tuple[str, ...]:
    if not loads:
        return ("0", NOTHING, NOTHING, "0", "0")
    first, last = Clock(loads[0].start / 60), Clock(max(load.end for load in loads) / 60)
    return (
        str(len(loads)),
        brief.words.say(first),
        brief.words.say(last),
        str(sum(load.sets for load in loads)),
        str(sum(load.pouches for load in loads)),
    )


def _turnaround(brief: Brief) -> Iterator[Block]:
    words, total = brief.words, brief.plan.days.turnaround.total
    takes, waits = _ways(brief)
    waiting = sum(waits.values())
    drawn = {**takes, words("report.turnaround.waiting"): waiting}
    bar = StackRow(
        label=words("report.turnaround.a-set"), values=tuple(drawn.values()), shown=hours_and_minutes(total.mean)
    )
    rows = [
        (way, _minutes(brief, takes[way]), _minutes(brief, waits[way]) if way in waits else NOTHING) for way in takes
    ]
    rows.append((words("report.together"), _minutes(brief, sum(takes.values())), _minutes(brief, waiting)))
    head = words.each("report.turnaround.head", "part", "takes", "waits")
    summary = words(
        "report.turnaround.says",
        total=Duration(total.mean),
        high=Duration(total.high),
        low=Duration(total.high_between[0]),
        high_end=Duration(total.high_between[1]),
        waiting=Duration(waiting),
        share=Share(waiting / total.mean if total.mean else 0.0, 0),
    )
    drawing = stacked_bars([bar], tuple(drawn), width_mm=FULL_MM)
    lasts = [Bar(label=part, value=each, shown=f"{_minutes(brief, each)} min") for part, each in drawn.items() if each]
    numbers, narrow = table("", head, rows, numbers=(1, 2)), bars(lasts, width_mm=HALF_MM)
    yield chart(brief, words("report.turnaround.chart"), drawing, summary, numbers, narrow=narrow)


def _ways(brief: Brief) -> tuple[dict[str, float], dict[str, float]]:
    """Return the seconds that each part of a set's way takes, and those of waiting before each stage, by its name."""
    in_use, carried = brief.words.each("report.turnaround", "in-use", "carried")
    takes, waits = {in_use: 0.0, carried: 0.0}, dict[str, float]()
    for part in brief.plan.days.turnaround.parts:
        way = stage_name(brief, part.stage) if part.stage else carried if part.name == "carry" else in_use
        if part.stage:
            waits.setdefault(way, 0.0)
        ways = waits if part.name == "waiting" else takes
        ways[way] = ways.get(way, 0.0) + part.seconds
    return takes, waits


def _minutes(brief: Brief, duration: float) -> str:
    return brief.words.fixed(duration / 60)
