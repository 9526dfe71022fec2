"""Where packs and sheets are kept: drawers that are large enough, shelves that are long and clear enough.

Packs stand upright in one row, nothing stacked. Clearances are those of CDC 2008 (Guideline for Disinfection and
Sterilization in Healthcare Facilities), Sterilizing Practices, Storage, as quoted by others: 8 to 10 in from the
floor, 5 in from the ceiling, 2 in from an outside wall, 18 in from a sprinkler head.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import fsum

from kitdocs.planning.figure import Figure, Input, stated
from kitdocs.planning.measures.pouch_fit import thickness
from kitdocs.planning.measures.wrap import sheets_for_cassettes
from kitdocs.practice.message import Fixed, Joined, counted, message
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules.looking import Values, warning
from kitdocs.practice.shelves import Shelf
from kitdocs.practice.store_places import StorePlace, kept_at, packs_in_drawers
from kitdocs.practice.values import Text

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
    """Return the shelf length for each set and pouch, from how many of it are in the store when all are back.

    What the practice keeps in a drawer takes no shelf.
    """
    in_drawers = packs_in_drawers(practice)
    return tuple(length for length in row_lengths(practice, packs) if length.id not in in_drawers)


def row_lengths(practice: Practice, packs: Mapping[str, int]) -> tuple[ShelfLength, ...]:
    """Return how long the row of each set and pouch is, wherever it stands."""
    return tuple(
        ShelfLength(id=id_, packs=number, thickness_mm=pack_thickness(practice, id_))
        for id_, number in packs.items()
        if number
    )


def pack_thickness(practice: Practice, id_: str) -> float:
    """Return how thick a finished pack of a set or pouch is on the shelf, in mm."""
    if id_ in practice.sets:
        return min(practice.cassettes[practice.sets[id_].cassette].outside.sides) + WRAP_MM
    return max(thickness(practice.instruments[i]) for i in practice.pouches[id_].contents) + POUCH_MM


def storage_problems(practice: Practice, packs: Mapping[str, int]) -> tuple[Problem, ...]:
    """Warnings: a drawer too small for its sheets, too little shelf, a shelf too near floor, ceiling or wall."""
    return (
        *_drawer_problems(practice),
        *_length_problems(practice, packs),
        *(problem for id_, shelf in practice.room.shelves.items() for problem in _clearances(practice, id_, shelf)),
    )


def storage_figures(practice: Practice, packs: Mapping[str, int]) -> tuple[Figure, ...]:
    """Return the shelf length of each kind of pack, and of all against the shelves that there are."""
    in_drawers = packs_in_drawers(practice)
    each = (
        _no_shelf(practice, row, in_drawers[row.id]) if row.id in in_drawers else _figure(practice, row)
        for row in row_lengths(practice, packs)
    )
    return (*each, _total(practice, shelf_lengths(practice, packs), tuple(id_ for id_ in in_drawers if packs.get(id_))))


def _drawer_problems(practice: Practice) -> Iterator[Problem]:
    """Check that every sheet in use lies flat in some drawer for sheets; without such a drawer nothing is said."""
    drawers = {d: drawer for d, drawer in practice.room.drawers.items() if drawer.holds == "sheets"}
    stated = {id_ for _, supply, id_ in kept_at(practice) if supply == "sheet"}
    if not drawers:
        return
    largest = max(drawers, key=lambda d: min(drawers[d].width, drawers[d].depth))
    room = min(drawers[largest].width, drawers[largest].depth)
    sheets = {choice.sheet: choice.side_mm for choice in sheets_for_cassettes(practice).values()}
    for sheet, side in sheets.items():
        if sheet is not None and sheet not in stated and side is not None and side > room:
            size: Values = {"width": drawers[largest].width, "depth": drawers[largest].depth}
            path = ("room", "drawers", largest)
            yield warning(practice, "figures.warning.drawer-too-small", path, sheet=sheet, side=side, **size)


def _length_problems(practice: Practice, packs: Mapping[str, int]) -> Iterator[Problem]:
    shelves = practice.room.shelves
    lengths = shelf_lengths(practice, packs)
    needed, there = fsum(length.length_mm for length in lengths), fsum(s.length for s in shelves.values())
    if shelves and needed > there:
        yield warning(
            practice,
            "figures.warning.shelf-too-short",
            ("room", "shelves"),
            packs=sum(length.packs for length in lengths),
            needed=Fixed(needed, 0),
            there=Fixed(there, 0),
            more=Fixed(needed - there, 0),
        )
    deepest = max((shelf.depth for shelf in shelves.values()), default=0.0)
    for cassette in dict.fromkeys(practice.sets[p].cassette for p in packs if p in practice.sets):
        depth = sorted(practice.cassettes[cassette].outside.sides)[1]
        if shelves and depth > deepest:
            yield warning(
                practice,
                "figures.warning.shelf-too-shallow",
                ("room", "shelves"),
                remedy=message("figures.warning.shelf-too-shallow.remedy", depth=depth + WRAP_MM),
                cassette=cassette,
                depth=depth,
                deepest=deepest,
            )


def _clearances(practice: Practice, id_: str, shelf: Shelf) -> Iterator[Problem]:
    for field, there, least in (
        ("from_floor", shelf.from_floor, FROM_FLOOR_MM),
        ("from_ceiling", shelf.from_ceiling, FROM_CEILING_MM),
        ("from_outside_wall", shelf.from_outside_wall, FROM_OUTSIDE_WALL_MM),
    ):
        # A shelf without a distance from an outside wall stands against an inside one.
        if there is not None and there < least - 0.5:
            wanted: Values = {"inches": least / 25.4, "mm": Fixed(least, 0), "source": _SOURCE}
            said = message(f"figures.warning.shelf-clearance.{field}", there=there, **wanted)
            path = ("room", "shelves", id_, field)
            yield warning(practice, "figures.warning.shelf-clearance", path, message=said)


def _name(practice: Practice, pack: str) -> Text:
    return practice.sets[pack].name if pack in practice.sets else practice.pouches[pack].name


def _no_shelf(practice: Practice, row: ShelfLength, place: StorePlace) -> Figure:
    """Return the figure of packs that the practice keeps in a drawer."""
    return Figure(
        id=f"storage.{row.id}",
        name=message("figures.storage.name", name=_name(practice, row.id)),
        value=0,
        unit="mm",
        why=message(
            "figures.storage.in-drawer",
            packs=counted("figures.packs", row.packs),
            drawer=practice.room.drawers[place.id].name,
            code=place.code,
            length=Fixed(row.length_mm, 0),
        ),
        inputs=(Input(name=message("figures.input.packs"), value=row.packs),),
        section="storage",
    )


def _figure(practice: Practice, length: ShelfLength) -> Figure:
    is_set = length.id in practice.sets
    name = _name(practice, length.id)
    added = WRAP_MM if is_set else POUCH_MM
    return Figure(
        id=f"storage.{length.id}",
        name=message("figures.storage.name", name=name),
        value=round(length.length_mm),
        unit="mm",
        why=message(
            "figures.storage.of-set" if is_set else "figures.storage.of-pouch",
            packs=counted("figures.packs", length.packs),
            inside=length.thickness_mm - added,
            added=added,
        ),
        inputs=(Input(name=message("figures.input.packs"), value=length.packs),),
        section="storage",
    )


def _total(practice: Practice, lengths: tuple[ShelfLength, ...], in_drawers: tuple[str, ...]) -> Figure:
    """Return the shelf that all packs need but for those `in_drawers`."""
    shelves = practice.room.shelves
    without = {"packs": Joined(tuple(_name(practice, pack) for pack in in_drawers))} if in_drawers else {}
    return Figure(
        id="storage.total",
        name=message("figures.storage.total.name"),
        value=round(fsum(length.length_mm for length in lengths)),
        unit="mm",
        why=message(
            "figures.storage.total.why-without" if in_drawers else "figures.storage.total.why",
            **without,
            lengths=Joined(tuple(shelf.length for shelf in shelves.values()) or (0,), " + "),
            there=sum(shelf.length for shelf in shelves.values()),
            inches=FROM_SPRINKLER_MM / 25.4,
            mm=Fixed(FROM_SPRINKLER_MM, 0),
            source=_SOURCE,
        ),
        inputs=tuple(
            stated(practice, "shelf-length", shelf.length, ("room", "shelves", id_, "length"), "mm", shelf=id_)
            for id_, shelf in shelves.items()
        ),
        section="storage",
    )
