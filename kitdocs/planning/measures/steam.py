"""The stated steam cycle against the least times of CDC 2008, table 7.

Source: Rutala, Weber and HICPAC, Guideline for Disinfection and Sterilization in Healthcare Facilities, 2008, Centers
for Disease Control and Prevention, table 7, rows *wrapped instruments*. The table knows 121 °C and 132 °C;
134 °C, 135 °C and others are not in it. It is a check for slips of the pen, not a validation: the sterilizer's
and the instruments' own instructions decide.

Packs cool for 30 minutes at least before they are handled (SOURCES: ANSI/AAMI ST79).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum
from typing import Literal

from kitdocs.planning.figure import Figure, stated
from kitdocs.practice.locations import Path
from kitdocs.practice.message import Message, message
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem
from kitdocs.practice.room import MachineStage, RestStage, Steam, machines
from kitdocs.practice.rules.looking import Values, warning

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
LEAST: tuple[LeastTimes, ...] = (
    LeastTimes(cycle="gravity", temperature=121.0, exposure=30.0, drying=15.0),
    LeastTimes(cycle="gravity", temperature=132.0, exposure=15.0, drying=15.0),
    LeastTimes(cycle="dynamic-air-removal", temperature=132.0, exposure=4.0, drying=20.0),
)

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
    rows = (least for least in LEAST if least.cycle == steam.type)
    return next((least for least in rows if abs(steam.temperature - least.temperature) <= _ROUNDING), None)


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
    for id_, stage in machines(practice.room.stages).items():
        if stage.steam is not None:
            yield id_, stage, stage.steam


def _against_table(practice: Practice, stage: str, steam: Steam) -> Iterator[Problem]:
    least = least_times(steam)
    if least is None:
        path = ("room", "stages", stage, "steam", "temperature")
        stated: Values = {"row": row(steam.type), "temperature": steam.temperature}
        yield warning(practice, "figures.warning.steam-not-in-the-table", path, **stated)
        return
    for part, minutes, minimum in (
        ("exposure", steam.exposure, least.exposure),
        ("drying", steam.drying, least.drying),
    ):
        if minutes < minimum:
            key, path = f"figures.warning.steam-{part}-short", ("room", "stages", stage, "steam", part)
            stated = {"stated": minutes, "least": minimum, "row": row(least.cycle), "temperature": least.temperature}
            remedy = message("figures.warning.steam-short-remedy")
            yield warning(practice, key, path, message=message(key, **stated), remedy=remedy)


def _against_cycle(practice: Practice, id_: str, stage: MachineStage, steam: Steam) -> Iterator[Problem]:
    parts = steam.exposure + steam.drying
    if stage.cycle < parts:
        path = ("room", "stages", id_, "cycle")
        yield warning(practice, "figures.warning.cycle-shorter-than-its-parts", path, cycle=stage.cycle, parts=parts)
    elif stage.cycle < parts + steam.margin:
        yield warning(
            practice,
            "figures.warning.cycle-leaves-too-little",
            ("room", "stages", id_, "cycle"),
            cycle=stage.cycle,
            parts=parts,
            rest=stage.cycle - parts,
            margin=steam.margin,
            least=parts + steam.margin,
        )


def _cooling(practice: Practice, sterilizer: str) -> Iterator[Problem]:
    """Packs rest long enough between the sterilizer and whoever handles them next."""
    stages = list(practice.room.stages)
    after = stages[stages.index(sterilizer) + 1 :]
    wanted: Values = {"least": COOLING, "source": _COOLING_SOURCE}
    resting = {id_: s.takes for id_ in after if isinstance(s := practice.room.stages[id_], RestStage)}
    if not resting:
        path: Path = ("room", "stages", sterilizer)
        yield warning(practice, "figures.warning.no-cooling", path, at_key=True, **wanted)
    elif (cools := fsum(resting.values())) < COOLING:
        path = ("room", "stages", next(reversed(resting)), "takes")
        yield warning(practice, "figures.warning.cooling-short", path, cools=cools, **wanted)


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
    path = ("room", "stages", id_, "steam")
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
            stated(practice, "exposure", steam.exposure, path, "min"),
            stated(practice, "drying", steam.drying, path, "min"),
        ),
        section="loads",
    )
