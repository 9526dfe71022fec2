"""The stated steam cycle against the least times of CDC 2008, table 7.

Source: Rutala, Weber and HICPAC, Guideline for Disinfection and Sterilization in Healthcare Facilities, 2008, Centers
for Disease Control and Prevention, table 7, rows *wrapped instruments*. The table knows 121 °C and 132 °C;
134 °C, 135 °C and others are not in it. It is a check for slips of the pen, not a validation: the sterilizer's
and the instruments' own instructions decide.

Packs cool for 30 minutes at least before they are handled (SOURCES: ANSI/AAMI ST79).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import fsum
from typing import Literal

from kitdocs.planning.figure import Figure, Input
from kitdocs.practice.message import Message, message
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem
from kitdocs.practice.room import MachineStage, RestStage, Steam
from kitdocs.practice.rules.looking import warning

Cycle = Literal["gravity", "dynamic-air-removal"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LeastTimes:
    """A row of the table at one temperature. Degrees Celsius, minutes."""

    cycle: Cycle
    temperature: float
    exposure: float
    drying: float
    """The lower end of the range that the table gives."""


#: The cells of the table that hold times, for wrapped instruments. At 121 °C dynamic air removal has none.
LEAST: Mapping[Cycle, tuple[LeastTimes, ...]] = {
    "gravity": (
        LeastTimes(cycle="gravity", temperature=121.0, exposure=30.0, drying=15.0),
        LeastTimes(cycle="gravity", temperature=132.0, exposure=15.0, drying=15.0),
    ),
    "dynamic-air-removal": (LeastTimes(cycle="dynamic-air-removal", temperature=132.0, exposure=4.0, drying=20.0),),
}

#: Minutes. SOURCES: ANSI/AAMI ST79.
COOLING = 30.0
_COOLING_SOURCE = "ANSI/AAMI ST79"

#: 250 °F are 121.1 °C and 270 °F 132.2 °C: the table rounds.
_ROUNDING = 0.5


def row(cycle: Cycle) -> Message:
    """Return what the row of wrapped instruments is called in the table."""
    return message(f"figures.steam.row.{cycle}")


def least_times(steam: Steam) -> LeastTimes | None:
    """Return the table's times for a cycle, or None when its temperature is not in the table for its type."""
    return next(
        (least for least in LEAST[steam.type] if abs(steam.temperature - least.temperature) <= _ROUNDING),
        None,
    )


def steam_problems(practice: Practice) -> tuple[Problem, ...]:
    """Warnings: times below the table's, a cycle the table does not know or too short for its parts, warm packs."""
    return tuple(
        problem
        for id_, stage, steam in _stages(practice)
        for problem in (
            *_against_table(practice, id_, steam),
            *_against_cycle(practice, id_, stage, steam),
            *_cooling(practice, id_),
        )
    )


def steam_figures(practice: Practice) -> tuple[Figure, ...]:
    """Return the stated exposure and drying of every sterilizer, beside the table's."""
    return tuple(_figure(practice, id_, stage, steam) for id_, stage, steam in _stages(practice))


def _stages(practice: Practice) -> Iterator[tuple[str, MachineStage, Steam]]:
    for id_, stage in practice.room.stages.items():
        if isinstance(stage, MachineStage) and stage.steam is not None:
            yield id_, stage, stage.steam


def _against_table(practice: Practice, stage: str, steam: Steam) -> Iterator[Problem]:
    least = least_times(steam)
    if least is None:
        yield warning(
            practice,
            "steam-not-in-the-table",
            ("room", "stages", stage, "steam", "temperature"),
            message(
                "figures.warning.steam-not-in-the-table.message", row=row(steam.type), temperature=steam.temperature
            ),
            message("figures.warning.steam-not-in-the-table.remedy"),
        )
        return
    for part, stated, minimum in (
        ("exposure", steam.exposure, least.exposure),
        ("drying", steam.drying, least.drying),
    ):
        if stated < minimum:
            yield warning(
                practice,
                f"steam-{part}-short",
                ("room", "stages", stage, "steam", part),
                message(
                    f"figures.warning.steam-{part}-short",
                    stated=stated,
                    least=minimum,
                    row=row(least.cycle),
                    temperature=least.temperature,
                ),
                message("figures.warning.steam-short-remedy"),
            )


def _against_cycle(practice: Practice, id_: str, stage: MachineStage, steam: Steam) -> Iterator[Problem]:
    parts = steam.exposure + steam.drying
    if stage.cycle < parts:
        yield warning(
            practice,
            "cycle-shorter-than-its-parts",
            ("room", "stages", id_, "cycle"),
            message("figures.warning.cycle-shorter-than-its-parts.message", cycle=stage.cycle, parts=parts),
            message("figures.warning.cycle-shorter-than-its-parts.remedy", parts=parts),
        )
    elif stage.cycle < parts + steam.margin:
        yield warning(
            practice,
            "cycle-leaves-too-little",
            ("room", "stages", id_, "cycle"),
            message(
                "figures.warning.cycle-leaves-too-little.message",
                cycle=stage.cycle,
                parts=parts,
                rest=stage.cycle - parts,
                margin=steam.margin,
            ),
            message("figures.warning.cycle-leaves-too-little.remedy", least=parts + steam.margin),
        )


def _cooling(practice: Practice, sterilizer: str) -> Iterator[Problem]:
    """Packs rest long enough between the sterilizer and whoever handles them next."""
    stages = list(practice.room.stages)
    after = stages[stages.index(sterilizer) + 1 :]
    resting = {id_: s.takes for id_ in after if isinstance(s := practice.room.stages[id_], RestStage)}
    if not resting:
        yield warning(
            practice,
            "no-cooling",
            ("room", "stages", sterilizer),
            message("figures.warning.no-cooling.message", least=COOLING, source=_COOLING_SOURCE),
            message("figures.warning.no-cooling.remedy", least=COOLING),
            at_key=True,
        )
    elif fsum(resting.values()) < COOLING:
        last = next(reversed(resting))
        yield warning(
            practice,
            "cooling-short",
            ("room", "stages", last, "takes"),
            message(
                "figures.warning.cooling-short.message",
                cools=fsum(resting.values()),
                least=COOLING,
                source=_COOLING_SOURCE,
            ),
            message("figures.warning.cooling-short.remedy", least=COOLING),
        )


def _figure(practice: Practice, id_: str, stage: MachineStage, steam: Steam) -> Figure:
    least = least_times(steam)
    parts = steam.exposure + steam.drying
    compared = (
        message(
            "figures.steam.least",
            row=row(least.cycle),
            temperature=least.temperature,
            exposure=least.exposure,
            drying=least.drying,
        )
        if least
        else message("figures.steam.no-times", row=row(steam.type), temperature=steam.temperature)
    )
    place = str(practice.places.value("room", "stages", id_, "steam"))
    return Figure(
        id=f"steam.{id_}",
        name=message("figures.steam.name", stage=stage.name),
        value=parts,
        unit="min",
        why=message(
            "figures.steam.why",
            exposure=steam.exposure,
            temperature=steam.temperature,
            drying=steam.drying,
            compared=compared,
        ),
        inputs=(
            Input(name=message("figures.input.exposure"), value=steam.exposure, unit="min", source=place),
            Input(name=message("figures.input.drying"), value=steam.drying, unit="min", source=place),
        ),
        section="loads",
    )
