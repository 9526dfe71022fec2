"""The sheet that wraps a cassette: how large it must be, and the smallest stocked one that is.

Envelope fold: the cassette lies on a square sheet, turned by 45 degrees, and the four corners are folded
over it. The sheet just covers a box l × w × h when its side is (l + w + 2h) / √2: the half diagonal of
the sheet must reach from the box's middle line over half the length, up a side and over half the width.
Folding each corner a length m further takes m on each half diagonal, √2 · m on the side.

Parcel fold: the sheet goes once round the box, and its ends are folded over the two small sides. Bare cover
is 2 (w + h) round the box and l + h along it, h being the smallest side; m more on each of the four edges.

With two sheets, folded one after the other, both are of the size that the outer one needs, so that nobody has to tell
them apart: it goes round a box that the inner one has made thicker on every side.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from kitdocs.planning.figure import Figure, stated, stated_outside
from kitdocs.practice.message import Fixed, Message, message
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem
from kitdocs.practice.record import Box
from kitdocs.practice.room import Sheet, Wrap
from kitdocs.practice.rules.looking import error

#: How much longer, wider and higher a cassette is in its first wrap, mm. Our estimate, common practice, no source.
INNER_WRAP_MM = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetChoice:
    """The sheet for one cassette. `sheet` is None when no stocked sheet is large enough."""

    sheets: int
    """How many of it wrap one cassette."""

    side_needed_mm: float
    sheet: str | None
    side_mm: float | None
    why: Message


def envelope_side(length: float, width: float, height: float, overlap: float = 0.0) -> float:
    """Return the side in mm of the smallest square sheet for the envelope fold. See the top of this module."""
    return (length + width + 2 * height) / math.sqrt(2) + math.sqrt(2) * overlap


def parcel_sides(length: float, width: float, height: float, overlap: float = 0.0) -> tuple[float, float]:
    """Return the sides in mm of the smallest sheet for the parcel fold: round the box, and along it.

    Bare cover has the area 2 (lw + lh + wh + h²), as published by Dumas (2007).
    """
    long, short, flat = sorted((length, width, height), reverse=True)
    return 2 * (short + flat) + 2 * overlap, long + flat + 2 * overlap


def sheet_for(outside: Box, wrap: Wrap, sheets: Mapping[str, Sheet]) -> SheetChoice:
    """Return the smallest stocked sheet that wraps a cassette of these outside measures."""
    side, why = _side_needed(outside, wrap)
    large_enough = [s for s in sheets if sheets[s].side >= side - 1e-9]
    sheet = min(large_enough, key=lambda s: sheets[s].side, default=None)
    return SheetChoice(
        sheets=wrap.sheets,
        side_needed_mm=round(side, 1),
        sheet=sheet,
        side_mm=None if sheet is None else sheets[sheet].side,
        why=why,
    )


def sheets_for_cassettes(practice: Practice) -> dict[str, SheetChoice]:
    """Return the sheet for each cassette that a set uses, by the cassette's id, in the order of cassettes.yaml."""
    used = {kit.cassette for kit in practice.sets.values()}
    room = practice.room
    return {
        c: sheet_for(cassette.outside, room.wrap, room.sheets)
        for c, cassette in practice.cassettes.items()
        if c in used
    }


def wrap_problems(practice: Practice) -> tuple[Problem, ...]:
    """Report the cassettes that no stocked sheet wraps."""
    return tuple(
        error(
            practice,
            "no-sheet-large-enough",
            ("cassettes", cassette, "outside"),
            why=choice.why,
            largest=_largest(practice),
            side=math.ceil(choice.side_needed_mm),
        )
        for cassette, choice in sheets_for_cassettes(practice).items()
        if choice.sheet is None
    )


def wrap_figures(practice: Practice) -> tuple[Figure, ...]:
    """Return the side that each cassette's sheet must have."""
    return tuple(_figure(practice, c, choice) for c, choice in sheets_for_cassettes(practice).items())


def _side_needed(outside: Box, wrap: Wrap) -> tuple[float, Message]:
    added = INNER_WRAP_MM if wrap.sheets == 2 else 0.0
    length, width, height = sorted((side + added for side in outside.sides), reverse=True)
    m = wrap.overlap
    if wrap.fold == "envelope":
        side = envelope_side(length, width, height, m)
    else:
        side = max(parcel_sides(length, width, height, m))
    why = message(
        f"figures.wrap.{wrap.fold}", length=length, width=width, height=height, overlap=m, side=Fixed(side, 0)
    )
    return side, message("figures.wrap.in-two", added=added, why=why) if added else why


def _largest(practice: Practice) -> str:
    sheets = practice.room.sheets
    if not sheets:
        return "and no sheet is stocked"
    largest = max(sheets, key=lambda s: sheets[s].side)
    return f"and the largest, '{largest}', has {sheets[largest].side:g} mm"


def _figure(practice: Practice, cassette: str, choice: SheetChoice) -> Figure:
    if choice.sheet:
        sheet = practice.room.sheets[choice.sheet].name
        key = "figures.wrap.taken-two" if choice.sheets > 1 else "figures.wrap.taken"
        taken = message(key, sheet=sheet, sheets=choice.sheets)
    else:
        taken = message("figures.wrap.not-taken")
    return Figure(
        id=f"wrap.{cassette}",
        name=message("figures.wrap.name", cassette=practice.cassettes[cassette].name),
        value=choice.side_needed_mm,
        unit="mm",
        why=message("figures.wrap.why", side=choice.why, taken=taken),
        inputs=(
            stated_outside(practice, cassette, practice.cassettes[cassette].outside),
            stated(practice, "overlap", practice.room.wrap.overlap, ("room", "wrap", "overlap"), "mm"),
        ),
        section="wrap",
    )
