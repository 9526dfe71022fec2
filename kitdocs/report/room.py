"""Report on the room: what fills a load, what holds a set, a cassette, a pouch, and where the packs lie."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kitdocs.document.blocks import Block, Cell, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.load_pictures import packed_name
from kitdocs.handbook.cards.places import place_name
from kitdocs.handbook.layout import facts, table
from kitdocs.planning.buying.placement import taken_per_day
from kitdocs.planning.measures.chamber import chamber_bound
from kitdocs.planning.measures.loads import LoadGuide
from kitdocs.planning.measures.pouch_fit import MOST_FILLED, TO_THE_SEAL_MM, fit_pouch
from kitdocs.planning.measures.standing import standings, to_build
from kitdocs.planning.measures.steam import LeastTimes, least_times
from kitdocs.planning.measures.storage import shelf_lengths
from kitdocs.planning.measures.wrap import sheets_for_cassettes
from kitdocs.practice.message import Share
from kitdocs.practice.model import Cassette
from kitdocs.practice.room import MachineStage, PouchSize, Steam
from kitdocs.practice.store_places import packs_in_drawers, shelf_letters
from kitdocs.report.layout import NOTHING, report_card


def loads_card(brief: Brief) -> Card:
    """Return what each machine takes."""
    blocks = [block for guide in brief.plan.load_guides for block in _machine(brief, guide)]
    return report_card(brief, "room", "loads", (said(brief.words("report.loads.rule")), *blocks))


def _machine(brief: Brief, guide: LoadGuide) -> Iterator[Block]:
    words, stage = brief.words, brief.practice.room.stages[guide.stage]
    assert isinstance(stage, MachineStage)
    columns = ("kind", "capacity", "points", *(("chamber",) if stage.chamber else ()))
    head = words.each("report.loads.head", *columns, whole=guide.points_in_a_load)
    rows = [
        (_goes_in(brief, stage, kind), str(stage.capacity[kind]), str(points), _bound(brief, stage, kind))
        for kind, points in guide.points.items()
    ]
    yield table(brief.say(stage.name), head, [row[: len(head)] for row in rows], numbers=range(1, len(head)))
    if stage.steam is not None:
        least = least_times(stage.steam)
        yield facts(
            (words("report.loads.cycle"), _times(brief, f"report.loads.{stage.steam.type}", stage.steam)),
            (
                words("report.loads.table"),
                _times(brief, "report.loads.least", least) if least else words("report.loads.no-times"),
            ),
        )


def _goes_in(brief: Brief, stage: MachineStage, kind: str) -> str:
    """Return what it is called in that machine: before packing there is no pouch yet, only what was in it."""
    name = packed_name(brief, kind)
    packed = stage.area == "sterilization" or kind in brief.practice.cassettes
    return name if packed else brief.words("report.loads.contents", pouch=name)


def _bound(brief: Brief, stage: MachineStage, kind: str) -> str:
    cassette = brief.practice.cassettes.get(kind)
    if cassette is None or stage.chamber is None:
        return NOTHING
    return str(chamber_bound(cassette.outside, stage.chamber).most)


def _times(brief: Brief, key: str, times: Steam | LeastTimes) -> str:
    return brief.words(key, temperature=times.temperature, exposure=times.exposure, drying=times.drying)


def holding_card(brief: Brief) -> Card:
    """Return the part about cassettes, sheets and pouches."""
    return report_card(brief, "room", "wrap", _holding(brief))


def _holding(brief: Brief) -> Iterator[Block]:
    yield _cassettes(brief)
    yield _sheets(brief)
    yield _pouches(brief)
    yield said(brief.words("report.wrap.rule", seal=TO_THE_SEAL_MM, filled=Share(MOST_FILLED)))


def _cassettes(brief: Brief) -> Block:
    words, practice = brief.words, brief.practice
    rows = []
    for id_, kit in practice.sets.items():
        fit = brief.plan.fits[id_]
        left = " + ".join(words.number(room, 0) for room in fit.room_left_mm)
        width = words.number(sum(practice.lying_width(i) for i in kit.contents), 0)
        rows.append(
            (
                Cell(text=brief.set(id_), detail=words.count("report.wrap.pieces", len(kit.contents), width=width)),
                brief.say(practice.cassettes[kit.cassette].name),
                f"{left} mm" if left else NOTHING,
                _smallest(brief, practice.cassettes, fit.smallest, kit.cassette),
            )
        )
    head = words.each("report.wrap.sets-head", "set", "cassette", "left", "smallest")
    return table(words("report.wrap.sets"), head, rows)


def _smallest(brief: Brief, kinds: Mapping[str, Cassette | PouchSize], smallest: str | None, taken: str) -> str:
    """Return the smallest that would do, in words where it is the one taken."""
    if smallest == taken:
        return brief.words("report.wrap.same")
    return brief.say(kinds[smallest].name) if smallest else brief.words("report.none")


def _sheets(brief: Brief) -> Block:
    words, practice = brief.words, brief.practice
    rows = []
    for id_, choice in sheets_for_cassettes(practice).items():
        cassette = practice.cassettes[id_]
        outside = cassette.outside
        size = " × ".join(words.number(side) for side in (outside.length, outside.width, outside.height))
        sheet = practice.room.sheets[choice.sheet].name if choice.sheet else None
        rows.append(
            (
                Cell(text=brief.say(cassette.name), detail=words("report.wrap.outside", size=size)),
                f"{words.number(choice.side_needed_mm, 0)} mm",
                brief.say(sheet) if sheet else words("report.none"),
                f"{words.number(choice.side_mm, 0)} mm" if choice.side_mm else NOTHING,
            )
        )
    title = words(f"report.wrap.{practice.room.wrap.fold}", overlap=words.number(practice.room.wrap.overlap))
    head = words.each("report.wrap.sheets-head", "cassette", "needed", "sheet", "side")
    return table(title, head, rows, numbers=(1, 3))


def _pouches(brief: Brief) -> Block:
    words, sizes = brief.words, brief.practice.room.pouch_sizes

    def compared(needed: float, there: float) -> str:
        return words("report.wrap.of", needed=words.number(needed, 0), there=words.number(there, 0))

    rows = []
    for id_ in brief.practice.pouches:
        fit = fit_pouch(brief.practice, id_)
        size = sizes[fit.size]
        rows.append(
            (
                brief.pouch(id_),
                brief.say(size.name),
                compared(fit.length_needed_mm, size.length),
                compared(fit.width_needed_mm, size.width),
                words.percent(fit.filled),
                _smallest(brief, sizes, fit.smallest, fit.size),
            )
        )
    return table(
        words("report.wrap.pouches"),
        words.each("report.wrap.pouches-head", "pouch", "size", "length", "width", "filled", "smallest"),
        rows,
        numbers=(2, 3, 4),
    )


def storage_card(brief: Brief) -> Card:
    """Return the part about shelves and drawers."""
    return report_card(brief, "room", "storage", _storage(brief))


def _storage(brief: Brief) -> Iterator[Block]:
    words, days, room = brief.words, brief.plan.days, brief.practice.room
    lengths = shelf_lengths(brief.practice, {**days.stock, **days.pouch_stock})
    needed = sum(length.length_mm for length in lengths)
    stated = [(words("report.storage.needed"), _metres(brief, needed))]
    if room.shelves:
        there = sum(shelf.length for shelf in room.shelves.values())
        key = "report.storage.left" if there >= needed else "report.storage.missing"
        value = words(key, there=_metres(brief, there), rest=_metres(brief, abs(there - needed)))
        stated.append((words("report.storage.there"), value))
    else:
        _, deep, tall = to_build(brief.practice, {**days.stock, **days.pouch_stock})
        stated.append((words("report.storage.deep"), brief.length(deep)))
        stated.append((words("report.storage.tall"), brief.length(tall)))
    yield facts(*stated)
    rows = [
        (
            brief.set(length.id) if length.id in brief.practice.sets else brief.pouch(length.id),
            str(length.packs),
            words.number(length.thickness_mm),
            words.number(length.length_mm, 0),
        )
        for length in lengths
    ]
    rows.append((words("report.together"), str(sum(length.packs for length in lengths)), "", words.number(needed, 0)))
    head = words.each("report.storage.head", "pack", "packs", "thick", "shelf")
    yield table(words("report.storage.table"), head, rows, numbers=(1, 2, 3))
    yield _standing(brief)
    if room.shelves:
        yield _shelves(brief)
    if room.drawers:
        yield _drawers(brief)
    yield said(words("report.storage.rule"))


def _standing(brief: Brief) -> Block:
    """Return which pack stands where: by shelf; without any, in the order in which they are taken."""
    words, days, shelves = brief.words, brief.plan.days, brief.practice.room.shelves
    taken, letters = taken_per_day(days), shelf_letters(brief.practice.room)
    rows = [
        (
            brief.pack(one.pack),
            f"{letters[one.shelf]}{one.position} · {brief.say(shelves[one.shelf].name)}"
            if one.shelf
            else words("report.storage.no-shelf"),
            str(one.packs),
            words.number(taken.get(one.pack, 0.0)),
            f"{one.start_mm / 10:.0f}–{one.end_mm / 10:.0f}" if one.shelf else "",
        )
        for one in standings(brief.practice, {**days.stock, **days.pouch_stock}, taken)
    ]
    rows += [
        (
            brief.pack(id_),
            f"{place.code} · {place_name(brief, place)}",
            str(packs),
            words.number(taken.get(id_, 0.0)),
            "",
        )
        for id_, place in packs_in_drawers(brief.practice).items()
        if (packs := {**days.stock, **days.pouch_stock}.get(id_))
    ]
    head = words.each("report.storage.standing-head", "pack", "shelf", "packs", "taken", "place")
    return table(words("report.storage.standing"), head, rows, numbers=(2, 3, 4))


def _metres(brief: Brief, mm: float) -> str:
    return f"{brief.words.fixed(mm / 1000, 2)} m"


def _shelves(brief: Brief) -> Block:
    words = brief.words
    rows = [
        (
            brief.say(shelf.name),
            *(brief.length(mm) for mm in (shelf.length, shelf.from_floor, shelf.from_ceiling)),
            words("report.storage.inside-wall")
            if shelf.from_outside_wall is None
            else brief.length(shelf.from_outside_wall),
        )
        for shelf in brief.practice.room.shelves.values()
    ]
    head = words.each("report.storage.shelves-head", "shelf", "length", "floor", "ceiling", "wall")
    return table(words("report.storage.shelves"), head, rows)


def _drawers(brief: Brief) -> Block:
    words = brief.words
    rows = [
        (brief.say(drawer.name), words(f"card.storage.holds.{drawer.holds}"), brief.size(drawer.width, drawer.depth))
        for drawer in brief.practice.room.drawers.values()
    ]
    head = words.each("report.storage.drawers-head", "drawer", "holds", "size")
    return table(words("report.storage.drawers"), head, rows)
