"""Survey sheets about the reprocessing room: stations, packaging, drawers, shelves, and what is counted there."""

from __future__ import annotations

from collections.abc import Iterable

from kitdocs.document.blocks import Cell
from kitdocs.document.card import Card
from kitdocs.handbook.layout import cells
from kitdocs.handbook.pictures import end_of
from kitdocs.handbook.survey.visit import SurveyBrief, millimetres, minutes, ruled
from kitdocs.practice.room import AnyStage, HandStage, MachineStage, RoundChamber
from kitdocs.practice.values import clock_text

Rows = list[tuple[Cell, ...]]

#: An empty row. A row of one cell would be the head of a group.
_EMPTY = cells("", "")


def room_sheet(visit: SurveyBrief) -> Card:
    """Return the room sheet: each station, from dirty to clean, with its times and loads."""
    given = [
        cells(
            visit.say(record.name),
            _units(record),
            _time(record),
            _load(visit, record),
            _chamber(record),
            _cycle(record),
        )
        for record in (visit.practice.room.stages.values() if visit.practice else ())
    ]
    columns = visit.columns("room", "station", "units", "time", "holds", "chamber", "cycle")
    return visit.card("room", ["room.yaml"], ruled(columns, (42, 20, 38, 60, 40, 48, 24), given), landscape=True)


def _units(stage: AnyStage) -> int | str:
    return stage.count if isinstance(stage, MachineStage) else stage.people if isinstance(stage, HandStage) else "–"


def _time(stage: AnyStage) -> str:
    if isinstance(stage, MachineStage):
        return minutes(stage.cycle)
    if isinstance(stage, HandStage):
        return f"{minutes(stage.per_cassette)}, {minutes(stage.per_pouch)}"
    return minutes(stage.takes)


def _load(visit: SurveyBrief, stage: AnyStage) -> str:
    if not (visit.practice and isinstance(stage, MachineStage)):
        return "–"
    names = {kind: visit.say(record.name) for kind, record in visit.practice.cassettes.items()}
    names |= {kind: visit.say(record.name) for kind, record in visit.practice.room.pouch_sizes.items()}
    return " · ".join(f"{names[kind]} {count}" for kind, count in stage.capacity.items())


def _chamber(stage: AnyStage) -> str:
    chamber = stage.chamber if isinstance(stage, MachineStage) else None
    if chamber is None:
        return ""
    if isinstance(chamber, RoundChamber):
        return f"Ø {millimetres(chamber.diameter, chamber.depth)}"
    return millimetres(chamber.width, chamber.height, chamber.depth)


def _cycle(stage: AnyStage) -> str:
    steam = stage.steam if isinstance(stage, MachineStage) else None
    return (
        f"{steam.type}, {steam.temperature:g} °C, {minutes(steam.exposure)}, {minutes(steam.drying)}" if steam else ""
    )


def packs_sheet(visit: SurveyBrief) -> Card:
    """Return the packs sheet: cassettes, wraps and pouches with their measures."""
    given: Rows = []
    for group, rows in (("cassettes", _cassettes(visit)), ("sheets", _sheets(visit)), ("pouches", _pouches(visit))):
        # Blank sheets keep the groups, with lines to write on below each.
        given += [(Cell(text=visit.ask("packs", group)),), *(rows if visit.practice else [_EMPTY] * 5)]
    columns = visit.columns("packs", "what", "outside", "inside", "box", "count")
    return visit.card("packs", ["cassettes.yaml", "room.yaml"], ruled(columns, (38, 38, 34, 16, 18, 29), given, more=3))


def _cassettes(visit: SurveyBrief) -> Iterable[tuple[Cell, ...]]:
    for record in visit.practice.cassettes.values() if visit.practice else ():
        outside, inside = ((box.length, box.width, box.height) for box in (record.outside, record.inside))
        yield cells(visit.say(record.name), millimetres(*outside), millimetres(*inside), "–", record.on_hand)


def _sheets(visit: SurveyBrief) -> Iterable[tuple[Cell, ...]]:
    for record in visit.practice.room.sheets.values() if visit.practice else ():
        yield cells(visit.say(record.name), millimetres(record.side, record.side), "–", record.pack)


def _pouches(visit: SurveyBrief) -> Iterable[tuple[Cell, ...]]:
    for record in visit.practice.room.pouch_sizes.values() if visit.practice else ():
        yield cells(visit.say(record.name), "", millimetres(record.width, record.length), record.pack)


def storage_sheet(visit: SurveyBrief) -> Card:
    """Return the storage sheet: drawers for supplies, shelves for finished packs."""
    drawers: Rows = [_EMPTY] * 6
    shelves: Rows = [_EMPTY] * 6
    if visit.practice:
        room = visit.practice.room
        drawers = [cells(visit.say(d.name), millimetres(d.width), millimetres(d.depth)) for d in room.drawers.values()]
        shelves = [
            cells(
                visit.say(shelf.name),
                *(millimetres(mm) for mm in (shelf.length, shelf.depth, shelf.from_floor, shelf.from_ceiling)),
                millimetres(shelf.from_outside_wall) if shelf.from_outside_wall is not None else "",
            )
            for shelf in room.shelves.values()
        ]
    drawers_head, shelves_head = (cells(visit.ask("storage", name)) for name in ("drawers", "shelves"))
    given = [drawers_head, *drawers, shelves_head, *shelves]
    columns = visit.columns("storage", "what", "length", "depth", "floor", "ceiling", "wall")
    return visit.card("storage", ["room.yaml"], ruled(columns, (37, 21, 20, 22, 22, 26, 29), given, more=3))


def count_sheet(visit: SurveyBrief) -> Card:
    """Return the stock sheet: each instrument with its measures, counts and price."""
    given: list[tuple[Cell, ...]] = []
    if visit.practice:
        stock = visit.practice.stock
        for i, record in visit.practice.instruments.items():
            counted = (stock[i].on_hand, stock[i].in_repair) if i in stock else ("", "")
            named = Cell(text=visit.say(record.name), picture=end_of(visit.practice, i))
            price = "" if record.price is None else visit.words.money(record.price)
            measures = (millimetres(record.length), millimetres(record.width))
            given.append((named, *cells(*measures, *counted, price)))
    columns = visit.columns("count", "instrument", "length", "width", "on-hand", "in-repair", "price")
    grid = ruled(columns, (55, 20, 20, 18, 24, 18, 29), given, more=3)
    return visit.card("count", ["instruments.yaml", "stock.csv"], grid)


def tally_sheet(visit: SurveyBrief) -> Card:
    """Return the tally sheet: walks, gloves, loose instruments and minutes, one row per hour."""
    day = visit.practice.settings.day if visit.practice else None
    given = [cells(clock_text(hour), "") for hour in range(day.opens // 60 * 60, day.closes, 60)] if day else []
    columns = visit.columns("tally", "hour", "walks", "gloves", "loose", "minutes")
    return visit.card("tally", ["practice.yaml"], ruled(columns, (16, 34, 34, 34, 30, 29), given, more=3))
