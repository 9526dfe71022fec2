"""Where packs and sheets are kept: drawers that are large enough, shelves that are long and clear enough.

Packs stand upright in one row, nothing stacked. Clearances are those of CDC 2008 (Guideline for Disinfection and
Sterilization in Healthcare Facilities), Sterilizing Practices, Storage, as quoted by others: 8 to 10 in from the
floor, 5 in from the ceiling, 2 in from an outside wall, 18 in from a sprinkler head.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import fsum

from kitdocs.planning.figure import Figure, Input
from kitdocs.planning.measures.pouch_fit import thickness
from kitdocs.planning.measures.wrap import sheets_for_cassettes
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem
from kitdocs.practice.room import Shelf
from kitdocs.practice.rules.looking import warning

FROM_FLOOR_MM = 203.2
FROM_CEILING_MM = 127.0
FROM_OUTSIDE_WALL_MM = 50.8
FROM_SPRINKLER_MM = 457.2

#: What wrap and air add to a pack's thickness on the shelf, mm: a cassette's and a pouch's. Common practice, no source.
WRAP_MM = 10.0
POUCH_MM = 4.0

_SOURCE = "CDC 2008, Sterilizing Practices, Storage"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfLength:
    """The shelf that one kind of pack needs."""

    id: str
    packs: int
    thickness_mm: float

    @property
    def length_mm(self) -> float:
        return self.packs * self.thickness_mm


def shelf_lengths(practice: Practice, packs: Mapping[str, int]) -> tuple[ShelfLength, ...]:
    """The shelf length for each set and pouch, from how many of it are in the store when all are back."""
    return tuple(
        ShelfLength(id=id_, packs=number, thickness_mm=pack_thickness(practice, id_))
        for id_, number in packs.items()
        if number
    )


def pack_thickness(practice: Practice, id_: str) -> float:
    """How thick a finished pack of a set or pouch is on the shelf, in mm."""
    if id_ in practice.sets:
        outside = practice.cassettes[practice.sets[id_].cassette].outside
        return min(outside.length, outside.width, outside.height) + WRAP_MM
    return max(thickness(practice.instruments[i]) for i in practice.pouches[id_].contents) + POUCH_MM


def storage_problems(practice: Practice, packs: Mapping[str, int]) -> tuple[Problem, ...]:
    """Warnings: a drawer too small for its sheets, too little shelf, a shelf too near floor, ceiling or wall."""
    return (
        *_drawer_problems(practice),
        *_length_problems(practice, packs),
        *(problem for id_, shelf in practice.room.shelves.items() for problem in _clearances(practice, id_, shelf)),
    )


def storage_figures(practice: Practice, packs: Mapping[str, int]) -> tuple[Figure, ...]:
    """The shelf length of each kind of pack, and of all against the shelves that there are."""
    lengths = shelf_lengths(practice, packs)
    return (*(_figure(practice, length) for length in lengths), _total(practice, lengths))


def _drawer_problems(practice: Practice) -> Iterator[Problem]:
    """Every sheet in use lies flat in some drawer for sheets; without such a drawer nothing is said."""
    drawers = {d: drawer for d, drawer in practice.room.drawers.items() if drawer.holds == "sheets"}
    if not drawers:
        return
    largest = max(drawers, key=lambda d: min(drawers[d].width, drawers[d].depth))
    room = min(drawers[largest].width, drawers[largest].depth)
    sheets = {choice.sheet: choice.side_mm for choice in sheets_for_cassettes(practice).values()}
    for sheet, side in sheets.items():
        if sheet is not None and side is not None and side > room:
            yield warning(
                practice,
                "drawer-too-small",
                ("room", "drawers", largest),
                f"sheet '{sheet}' of {side:g} mm does not lie flat in a drawer of {drawers[largest].width:g} × "
                f"{drawers[largest].depth:g} mm",
                f"a drawer of at least {side:g} mm both ways: folded sheets keep their creases",
            )


def _length_problems(practice: Practice, packs: Mapping[str, int]) -> Iterator[Problem]:
    shelves = practice.room.shelves
    lengths = shelf_lengths(practice, packs)
    needed, there = fsum(length.length_mm for length in lengths), fsum(s.length for s in shelves.values())
    if shelves and needed > there:
        yield warning(
            practice,
            "shelf-too-short",
            ("room", "shelves"),
            f"{sum(length.packs for length in lengths)} packs upright in one row need {needed:.0f} mm of shelf, and "
            f"there are {there:.0f} mm",
            f"{needed - there:.0f} mm more of shelf; packs are not stacked or squeezed",
        )
    deepest = max((shelf.depth for shelf in shelves.values()), default=0.0)
    for cassette in dict.fromkeys(practice.sets[p].cassette for p in packs if p in practice.sets):
        outside = practice.cassettes[cassette].outside
        depth = sorted((outside.length, outside.width, outside.height))[1]
        if shelves and depth > deepest:
            yield warning(
                practice,
                "shelf-too-shallow",
                ("room", "shelves"),
                f"'{cassette}' is {depth:g} mm deep when it stands, and the deepest shelf {deepest:g} mm",
                f"a shelf at least {depth + WRAP_MM:g} mm deep",
            )


def _clearances(practice: Practice, id_: str, shelf: Shelf) -> Iterator[Problem]:
    for what, field, there, least in (
        ("floor", "from_floor", shelf.from_floor, FROM_FLOOR_MM),
        ("ceiling", "from_ceiling", shelf.from_ceiling, FROM_CEILING_MM),
        ("outside wall", "from_outside_wall", shelf.from_outside_wall, FROM_OUTSIDE_WALL_MM),
    ):
        # A shelf without a distance from an outside wall stands against an inside one.
        if there is not None and there < least - 0.5:
            yield warning(
                practice,
                "shelf-clearance",
                ("room", "shelves", id_, field),
                f"packs {there:g} mm from the {what}; at least {least / 25.4:g} in ({least:.0f} mm) are wanted "
                f"({_SOURCE})",
                "move the shelf, or leave its edge empty",
            )


def _figure(practice: Practice, length: ShelfLength) -> Figure:
    is_set = length.id in practice.sets
    name = practice.sets[length.id].name if is_set else practice.pouches[length.id].name
    added = f"{length.thickness_mm - WRAP_MM:g} mm of cassette + {WRAP_MM:g} mm of wrap and air"
    if not is_set:
        added = f"{length.thickness_mm - POUCH_MM:g} mm of instrument + {POUCH_MM:g} mm of pouch and air"
    return Figure(
        id=f"storage.{length.id}",
        name=f"Shelf for {name}",
        value=round(length.length_mm),
        unit="mm",
        why=f"{length.packs} packs upright in one row × ({added})",
        inputs=(Input(name="packs in the store when all are back", value=length.packs),),
        section="storage",
    )


def _total(practice: Practice, lengths: tuple[ShelfLength, ...]) -> Figure:
    shelves = practice.room.shelves
    there = " + ".join(f"{shelf.length:g}" for shelf in shelves.values()) or "0"
    return Figure(
        id="storage.total",
        name="Shelf for all packs",
        value=round(fsum(length.length_mm for length in lengths)),
        unit="mm",
        why=(
            f"the sum over all packs; the shelves have {there} = {sum(s.length for s in shelves.values()):g} mm. Keep "
            f"{FROM_SPRINKLER_MM / 25.4:g} in ({FROM_SPRINKLER_MM:.0f} mm) below a sprinkler head free ({_SOURCE})"
        ),
        inputs=tuple(
            Input(
                name=f"length of '{id_}'",
                value=shelf.length,
                unit="mm",
                source=str(practice.places.value("room", "shelves", id_, "length")),
            )
            for id_, shelf in shelves.items()
        ),
        section="storage",
    )
