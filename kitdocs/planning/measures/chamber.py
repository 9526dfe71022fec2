"""How many cassettes a sterilizer's chamber can hold at the most: an upper bound from geometry alone.

Cassettes stand side by side in a row across the chamber, nothing on top of another, and rows stand one behind
the other. In a round chamber of radius R a row of height h has the width 2 √(R² − (h/2)²). Which side
stands up, which lies across and which along is tried in all six ways, bare of wrap: more cannot be right. Along the
depth a gap is kept only between cassettes that turn their large sides to each other.
How many *should* go in, the sterilizer's instructions say.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import permutations

from kitdocs.planning.figure import Figure, Input, stated, stated_outside
from kitdocs.practice.message import Fixed, Message, message
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem
from kitdocs.practice.record import Box
from kitdocs.practice.room import Chamber, RoundChamber, machines
from kitdocs.practice.rules.looking import warning


@dataclass(frozen=True, slots=True, kw_only=True)
class ChamberBound:
    """The most cassettes of one kind in a chamber. All 0 when none goes in."""

    most: int
    in_a_row: int
    rows: int
    upright_mm: float
    across_mm: float
    along_mm: float
    row_width_mm: float


_NONE = ChamberBound(most=0, in_a_row=0, rows=0, upright_mm=0.0, across_mm=0.0, along_mm=0.0, row_width_mm=0.0)


def chamber_bound(outside: Box, chamber: Chamber) -> ChamberBound:
    """Return the most cassettes of these outside measures that a chamber holds without stacking."""
    # The first of equals: the order of the permutations keeps the answer the same everywhere.
    return max(chamber_bounds(outside, chamber), key=lambda bound: bound.most)


def chamber_bounds(outside: Box, chamber: Chamber) -> tuple[ChamberBound, ...]:
    """Return the most that a chamber holds in each of the six ways to turn a cassette."""
    return tuple(_placed(chamber, *way) for way in permutations(outside.sides))


def _placed(chamber: Chamber, upright: float, across: float, along: float) -> ChamberBound:
    """Return the most that a chamber holds with these sides upright, across and along. None: all 0."""
    width = row_width(chamber, upright)
    in_a_row = math.floor((width + chamber.gap) / (across + chamber.gap) + 1e-9) if across <= width else 0
    gap = chamber.gap if along == min(upright, across, along) else 0.0
    rows = math.floor((chamber.depth + gap) / (along + gap) + 1e-9)
    if in_a_row * rows == 0:
        return _NONE
    return ChamberBound(
        most=in_a_row * rows,
        in_a_row=in_a_row,
        rows=rows,
        upright_mm=upright,
        across_mm=across,
        along_mm=along,
        row_width_mm=width,
    )


def row_width(chamber: Chamber, height: float) -> float:
    """Return the width in mm of a row of this height; 0 when it is higher than the chamber."""
    if isinstance(chamber, RoundChamber):
        return 2 * math.sqrt(max(0.0, (chamber.diameter / 2) ** 2 - (height / 2) ** 2))
    return chamber.width if height <= chamber.height else 0.0


def chamber_problems(practice: Practice) -> tuple[Problem, ...]:
    """Warn of every stated capacity above what the chamber can hold."""
    return tuple(
        _problem(practice, stage, cassette, bound)
        for stage, cassette, capacity, bound in _bounds(practice)
        if capacity > bound.most
    )


def chamber_figures(practice: Practice) -> tuple[Figure, ...]:
    """Return the bound for every cassette in every machine whose chamber is stated."""
    return tuple(_figure(practice, stage, cassette, bound) for stage, cassette, _, bound in _bounds(practice))


def _bounds(practice: Practice) -> list[tuple[str, str, int, ChamberBound]]:
    return [
        (id_, kind, capacity, chamber_bound(practice.cassettes[kind].outside, stage.chamber))
        for id_, stage in machines(practice.room.stages).items()
        if stage.chamber is not None
        for kind, capacity in stage.most.items()
        if kind in practice.cassettes
    ]


def _problem(practice: Practice, stage: str, cassette: str, bound: ChamberBound) -> Problem:
    none = message("figures.warning.more-than-the-chamber-holds.none-goes-in", cassette=cassette)
    return warning(
        practice,
        "figures.warning.more-than-the-chamber-holds",
        ("room", "stages", stage, "capacity", cassette),
        remedy=None if bound.most else none,
        most=bound.most,
        why=_why(bound),
    )


def _why(bound: ChamberBound) -> Message:
    if not bound.most:
        return message("figures.chamber.none")
    return message(
        "figures.chamber.bound",
        upright=bound.upright_mm,
        width=Fixed(bound.row_width_mm, 0),
        in_a_row=bound.in_a_row,
        across=bound.across_mm,
        rows=bound.rows,
        along=bound.along_mm,
    )


def _figure(practice: Practice, stage: str, cassette: str, bound: ChamberBound) -> Figure:
    machine = machines(practice.room.stages)[stage]
    chamber = machine.chamber
    assert chamber is not None
    measures = (
        message("figures.input.round", diameter=chamber.diameter, depth=chamber.depth)
        if isinstance(chamber, RoundChamber)
        else message("figures.input.square", width=chamber.width, height=chamber.height, depth=chamber.depth)
    )
    return Figure(
        id=f"chamber.{stage}.{cassette}",
        name=message("figures.chamber.name", cassette=practice.cassettes[cassette].name, stage=machine.name),
        value=bound.most,
        unit=message("figures.unit.a-load"),
        why=message("figures.chamber.why", bound=_why(bound)),
        inputs=(
            stated(practice, "chamber", measures, ("room", "stages", stage, "chamber"), "mm"),
            Input(name=message("figures.input.gap"), value=chamber.gap, unit="mm"),
            stated_outside(practice, cassette, practice.cassettes[cassette].outside),
        ),
        section="loads",
    )
