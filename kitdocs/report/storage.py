"""How much shelf the finished packs need, and whether the drawers take the sheets."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Cell, Fact, Facts, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.planning.measures.storage import shelf_lengths
from kitdocs.practice.numbers import plain
from kitdocs.report.telling import report_card, table


def storage_card(brief: Brief, section: str) -> Card:
    return report_card("storage", "Shelves and drawers", section, _storage(brief))


def _storage(brief: Brief) -> Iterator[Block]:
    days, room = brief.plan.days, brief.practice.room
    lengths = shelf_lengths(brief.practice, {**days.stock, **days.pouch_stock})
    needed = sum(length.length_mm for length in lengths)
    there = sum(shelf.length for shelf in room.shelves.values())
    facts = [Fact(label="Shelf needed", value=_metres(needed))]
    if room.shelves:
        facts.append(Fact(label="Shelf there is", value=f"{_metres(there)}: {_enough(there - needed)}"))
    yield Facts(facts=tuple(facts))
    rows = [
        (
            brief.set(length.id) if length.id in brief.practice.sets else brief.pouch(length.id),
            str(length.packs),
            f"{plain(length.thickness_mm)}",
            f"{plain(length.length_mm, 0)}",
        )
        for length in lengths
    ]
    rows.append(("Together", str(sum(length.packs for length in lengths)), "", plain(needed, 0)))
    yield table(
        "Packs upright in one row, not stacked", ("Pack", "Packs", "Thick, mm", "Shelf, mm"), rows, numbers=(1, 2, 3)
    )
    if room.shelves:
        yield _shelves(brief)
    if room.drawers:
        yield _drawers(brief)
    yield said(
        "Drawer pouches count here with all that are owned, although most lie at the chairs: rather too much shelf "
        "than too little. "
        "Clearances wanted: 8 to 10 in (203 to 254 mm) from the floor, 5 in (127 mm) from the ceiling, 2 in (51 mm) "
        "from an outside wall, 18 in (457 mm) below a sprinkler (CDC 2008, Sterilizing Practices, Storage)."
    )


def _metres(mm: float) -> str:
    return f"{mm / 1000:.2f} m"


def _enough(left: float) -> str:
    return f"{_metres(left)} are left" if left >= 0 else f"{_metres(-left)} are missing"


def _shelves(brief: Brief) -> Block:
    rows = [
        (
            brief.say(shelf.name),
            *(brief.length(mm) for mm in (shelf.length, shelf.from_floor, shelf.from_ceiling)),
            brief.length(shelf.from_outside_wall) if shelf.from_outside_wall is not None else "inside wall",
        )
        for shelf in brief.practice.room.shelves.values()
    ]
    return table("Shelves", ("Shelf", "Length", "From the floor", "From the ceiling", "From an outside wall"), rows)


def _drawers(brief: Brief) -> Block:
    rows = [
        (brief.say(drawer.name), Cell(text=drawer.holds), brief.size(drawer.width, drawer.depth))
        for drawer in brief.practice.room.drawers.values()
    ]
    return table("Drawers", ("Drawer", "Holds", "Size"), rows)
