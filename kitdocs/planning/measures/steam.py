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
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem
from kitdocs.practice.room import MachineStage, RestStage, Steam
from kitdocs.practice.rules.looking import warning

_TABLE = "CDC 2008, table 7"

Cycle = Literal["gravity", "dynamic-air-removal"]

_ROWS: Mapping[Cycle, str] = {
    "gravity": "gravity displacement, wrapped instruments",
    "dynamic-air-removal": "dynamic air removal, wrapped instruments",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class LeastTimes:
    """A row of the table at one temperature. Degrees Celsius, minutes."""

    row: str
    temperature: float
    exposure: float
    drying: float
    """The lower end of the range that the table gives."""


#: The cells of the table that hold times, for wrapped instruments. At 121 °C dynamic air removal has none.
LEAST: Mapping[Cycle, tuple[LeastTimes, ...]] = {
    "gravity": (
        LeastTimes(row=_ROWS["gravity"], temperature=121.0, exposure=30.0, drying=15.0),
        LeastTimes(row=_ROWS["gravity"], temperature=132.0, exposure=15.0, drying=15.0),
    ),
    "dynamic-air-removal": (
        LeastTimes(row=_ROWS["dynamic-air-removal"], temperature=132.0, exposure=4.0, drying=20.0),
    ),
}

#: Minutes. SOURCES: ANSI/AAMI ST79.
COOLING = 30.0
_COOLING_SOURCE = "ANSI/AAMI ST79"

#: 250 °F are 121.1 °C and 270 °F 132.2 °C: the table rounds.
_ROUNDING = 0.5


def least_times(steam: Steam) -> LeastTimes | None:
    """The table's times for a cycle, or None when its temperature is not in the table for its type."""
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
    """The stated exposure and drying of every sterilizer, beside the table's."""
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
            f"{_TABLE} gives no times for {_ROWS[steam.type]} at {steam.temperature:g} °C, so these cannot be compared",
            "compare them with the sterilizer's own instructions, and accept this with that as the reason",
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
                f"{stated:g} min of {part} is less than the {minimum:g} min of {_TABLE}, row '{least.row}', "
                f"at {least.temperature:g} °C",
                "the sterilizer's and the instruments' instructions decide: check what they say",
            )


def _against_cycle(practice: Practice, id_: str, stage: MachineStage, steam: Steam) -> Iterator[Problem]:
    parts = steam.exposure + steam.drying
    if stage.cycle < parts:
        yield warning(
            practice,
            "cycle-shorter-than-its-parts",
            ("room", "stages", id_, "cycle"),
            f"the cycle takes {stage.cycle:g} min, and its exposure and drying alone {parts:g} min",
            f"write the time from closing the door to taking out, more than {parts:g} min",
        )
    elif stage.cycle < parts + steam.margin:
        yield warning(
            practice,
            "cycle-leaves-too-little",
            ("room", "stages", id_, "cycle"),
            f"the cycle takes {stage.cycle:g} min, exposure and drying {parts:g} min of it: that leaves "
            f"{stage.cycle - parts:g} min for heating, air removal, exhaust, loading and unloading, which take "
            f"{steam.margin:g} min or more",
            f"time a whole load from door to door and write that, or at least {parts + steam.margin:g} min; if it "
            "really is faster, write 'margin:' under 'steam:'",
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
            f"no stage lets packs cool after this sterilizer; {COOLING:g} min is the least ({_COOLING_SOURCE})",
            f"add a stage after it: kind: rest, area: sterilization, takes: {COOLING:g} min",
            at_key=True,
        )
    elif fsum(resting.values()) < COOLING:
        last = next(reversed(resting))
        yield warning(
            practice,
            "cooling-short",
            ("room", "stages", last, "takes"),
            f"packs cool for {fsum(resting.values()):g} min before anybody handles them; {COOLING:g} min is the least "
            f"({_COOLING_SOURCE})",
            f"write {COOLING:g} min, or accept this with a reason",
        )


def _figure(practice: Practice, id_: str, stage: MachineStage, steam: Steam) -> Figure:
    least = least_times(steam)
    parts = steam.exposure + steam.drying
    compared = (
        f"{_TABLE}, row '{least.row}', at {least.temperature:g} °C: at least {least.exposure:g} + {least.drying:g} min"
        if least
        else f"{_TABLE} gives no times for {_ROWS[steam.type]} at {steam.temperature:g} °C"
    )
    place = str(practice.places.value("room", "stages", id_, "steam"))
    return Figure(
        id=f"steam.{id_}",
        name=f"Exposure and drying in {stage.name}",
        value=parts,
        unit="min",
        why=(
            f"{steam.exposure:g} min at {steam.temperature:g} °C + {steam.drying:g} min drying, without heating up; "
            f"{compared}. The makers' instructions decide."
        ),
        inputs=(
            Input(name="exposure", value=steam.exposure, unit="min", source=place),
            Input(name="drying", value=steam.drying, unit="min", source=place),
        ),
        section="loads",
    )
