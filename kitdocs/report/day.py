"""The reprocessing day: when it ends, what is busiest, the machines' loads, and where a set's time goes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from kitdocs.document.blocks import Block, Cell, Chart, Fact, Facts
from kitdocs.document.card import Card
from kitdocs.drawings.charts import DayRow, Span, StackRow, bars_day, stacked_bars
from kitdocs.handbook.brief import Brief
from kitdocs.planning.day.instants import seconds
from kitdocs.planning.day.timeline import LoadBar
from kitdocs.planning.day.turnaround import StageDay
from kitdocs.practice.numbers import hours_and_minutes, percent, plain
from kitdocs.practice.values import clock_text
from kitdocs.report.pictured import FULL_MM, chart
from kitdocs.report.telling import counted, report_card, table


def day_card(brief: Brief, section: str) -> Card:
    """When the day ends, and how busy people and machines are."""
    return report_card("day", "The reprocessing day", section, (_ends(brief), _stages(brief), machines(brief)))


def turnaround_card(brief: Brief, section: str) -> Card:
    """Where a set's time goes, from the store to the store."""
    return report_card("turnaround", "From the store to the store", section, _turnaround(brief))


def bottleneck(brief: Brief) -> StageDay:
    """The stage whose machines or people have the most to do, each."""
    return max(brief.plan.days.stages.values(), key=lambda stage: stage.work_per_unit)


def stage_name(brief: Brief, stage: str) -> str:
    return brief.say(brief.practice.room.stages[stage].name)


def units(stage: StageDay) -> str:
    """``2 machines``, ``1 person``."""
    return counted(stage.units, "machine" if stage.loads else "person")


def ends_words(brief: Brief) -> str:
    ends = brief.plan.days.ends
    return f"by {clock_text(ends.high / 60)} on 95 % of busy days, by {clock_text(ends.median / 60)} on half of them"


def busiest_words(brief: Brief) -> str:
    stage = bottleneck(brief)
    return (
        f"{stage_name(brief, stage.id)}: {hours_and_minutes(stage.work_per_unit)} of work a day for each "
        f"{'machine' if stage.loads else 'person'}, {percent(stage.utilisation)} of the time"
    )


def _ends(brief: Brief) -> Facts:
    closes = brief.practice.settings.day.closes
    after = brief.plan.days.ends.high / 60 - closes
    late = f", {hours_and_minutes(after * 60)} after the practice closes" if after > 0 else ""
    return Facts(
        facts=(
            Fact(label="The last item is back in the store", value=ends_words(brief) + late),
            Fact(label="Busiest", value=busiest_words(brief)),
            Fact(label="Loads", value=f"{plain(brief.plan.days.loads_per_day)} a day in all machines together"),
        )
    )


def _stages(brief: Brief) -> Block:
    rows = [
        (
            Cell(text=stage_name(brief, stage.id), detail=units(stage)),
            hours_and_minutes(stage.work_per_unit),
            percent(stage.utilisation),
            hours_and_minutes(stage.wait.mean),
            hours_and_minutes(stage.wait.high),
            f"{plain(stage.loads.mean)} (up to {stage.loads.high})" if stage.loads else "–",
        )
        for stage in brief.plan.days.stages.values()
        if stage.units
    ]
    head = ("Stage", "Work, each", "At work", "Usual wait", "Wait, 95 %", "Loads a day")
    return table("People and machines", head, rows, numbers=(1, 2, 3, 4, 5))


def machines(brief: Brief) -> Chart:
    """The machines' loads on a day that ends when half of the days have ended."""
    day = brief.plan.days.median_day
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
    rows = [DayRow(label=names[at], spans=tuple(_span(load) for load in by_machine.get(at, ()))) for at in order]
    start = seconds(brief.practice.settings.day.opens) / 60
    drawing = bars_day(rows, start, day.ends / 60, width_mm=FULL_MM, empty="no machine")
    summary = (
        f"A day of {counted(day.visits, 'visit')} that ends at {clock_text(day.ends / 60)}, as half of the busy days "
        "do or earlier: each bar is a load, with how many sets and pouches are in it."
    )
    numbers = table(
        "",
        ("Machine", "Loads", "First starts", "Last ends", "Sets", "Pouches"),
        [(names[at], *_loads(by_machine.get(at, []))) for at in order],
        numbers=(1, 2, 3, 4, 5),
    )
    return chart("The machines on a middle day", drawing, summary, numbers)


def _machine(brief: Brief, stage: str, machine: int) -> str:
    alone = brief.plan.days.stages[stage].units == 1
    return stage_name(brief, stage) + ("" if alone else f" {machine}")


def _span(load: LoadBar) -> Span:
    return Span(start=load.start / 60, end=load.end / 60, label=f"{load.sets} + {load.pouches}")


def _loads(loads: list[LoadBar]) -> tuple[str, ...]:
    if not loads:
        return ("0", "–", "–", "0", "0")
    return (
        str(len(loads)),
        clock_text(loads[0].start / 60),
        clock_text(max(load.end for load in loads) / 60),
        str(sum(load.sets for load in loads)),
        str(sum(load.pouches for load in loads)),
    )


def _turnaround(brief: Brief) -> Iterator[Block]:
    turnaround = brief.plan.days.turnaround
    by_stage: dict[str, list[float]] = {}
    at_the_chair, carried = 0.0, 0.0
    for part in turnaround.parts:
        if part.stage:
            worked, waited = by_stage.setdefault(part.stage, [0.0, 0.0])
            by_stage[part.stage] = (
                [worked, waited + part.seconds] if part.name == "waiting" else [worked + part.seconds, waited]
            )
        elif part.name == "carry":
            carried += part.seconds
        else:
            at_the_chair += part.seconds
    waiting = sum(waited for _, waited in by_stage.values())
    parts = {
        "Laid out and in use": at_the_chair,
        "Carried": carried,
        **{stage_name(brief, stage): worked for stage, (worked, _) in by_stage.items()},
        "Waiting in front of people and machines": waiting,
    }
    total = hours_and_minutes(turnaround.total.mean)
    drawing = stacked_bars(
        [StackRow(label="A set", values=tuple(parts.values()), shown=total)], tuple(parts), width_mm=FULL_MM
    )
    rows: list[tuple[str, str, str]] = [
        ("Laid out and in use", _minutes(at_the_chair), "–"),
        ("Carried", _minutes(carried), "–"),
    ]
    rows += [
        (stage_name(brief, stage), _minutes(worked), _minutes(waited)) for stage, (worked, waited) in by_stage.items()
    ]
    rows.append(("Together", _minutes(sum(parts.values()) - waiting), _minutes(waiting)))
    numbers = table("", ("Part of the way", "Takes, min", "Waits before it, min"), rows, numbers=(1, 2))
    share = waiting / turnaround.total.mean if turnaround.total.mean else 0.0
    summary = (
        f"A set is away for {total} on average, and 95 % of sets are back within "
        f"{hours_and_minutes(turnaround.total.high)}. It waits for {hours_and_minutes(waiting)} of that, "
        f"{percent(share)}."
    )
    yield chart("Where a set's time goes", drawing, summary, numbers)


def _minutes(duration: float) -> str:
    return f"{duration / 60:.1f}"
