"""Where things are kept: the shelves as a picture, a line for each kind of pack, the drawers and the hooks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kitdocs.document.blocks import Block, Cell, Illustration
from kitdocs.drawings.shelves import PacksDrawn, ShelfDrawn, shelf_map
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import table
from kitdocs.handbook.pictures import drawn_once
from kitdocs.planning.buying.placement import taken_per_day
from kitdocs.planning.measures.standing import Standing, pack_size, standings
from kitdocs.planning.measures.store import Stored
from kitdocs.practice.shelves import Drawer, Hook, Shelf
from kitdocs.practice.store_places import StorePlace, shelf_letters, store_places


def pack_places(brief: Brief) -> Iterator[Block]:
    """Yield which pack stands where, shelf by shelf; nothing where the practice states no shelves."""
    days, shelves, words = brief.plan.days, brief.practice.room.shelves, brief.words
    if not shelves:
        return
    letters = shelf_letters(brief.practice.room)
    found = standings(brief.practice, {**days.stock, **days.pouch_stock}, taken_per_day(days))
    drawn = [
        ShelfDrawn(
            name=f"{letters[id_]} · {brief.say(shelf.name)}",
            length=shelf.length,
            packs=tuple(_drawn(brief, one) for one in found if one.shelf == id_),
        )
        for id_, shelf in sorted(shelves.items(), key=lambda item: -item[1].from_floor)
    ]
    shows = [part for shelf in drawn for part in (shelf.name, shelf.length, *_shown(shelf))]
    yield Illustration(
        picture=drawn_once("shelves", shelf_map(drawn), words("card.storage.map-alt"), shows),
        caption=words("card.storage.map"),
    )
    rows = [
        (
            brief.pack(one.id),
            _code(brief, one.id),
            one.code,
            place_name(brief, one.place) if one.place else words("card.storage.no-room"),
        )
        for one in brief.plan.store
        if one.kind == "pack"
    ]
    head = words.each("card.storage.places-head", "pack", "code", "place", "shelf")
    yield table(words("card.storage.places"), head, rows)


def place_name(brief: Brief, place: StorePlace) -> str:
    """Return the name of a shelf, drawer or hook."""
    room = brief.practice.room
    named: Mapping[str, Mapping[str, Shelf | Drawer | Hook]] = {
        "shelf": room.shelves,
        "drawer": room.drawers,
        "hook": room.hooks,
    }
    return brief.say(named[place.kind][place.id].name)


def drawers_and_hooks(brief: Brief) -> Iterator[Block]:
    """Yield the drawers of the room with what lies in each, and the hooks with what hangs there."""
    words, room = brief.words, brief.practice.room
    places = store_places(room)
    drawers = [
        (place.code, brief.say(drawer.name), _held(brief, place, drawer), brief.size(drawer.width, drawer.depth))
        for place in places
        if place.kind == "drawer"
        for drawer in (room.drawers[place.id],)
    ]
    if drawers:
        head = words.each("card.storage", "place", "drawer", "for", "size")
        yield table(words("card.storage.drawers"), head, drawers)
    hooks = [
        (place.code, place_name(brief, place), " · ".join(kept_at_place(brief, place)))
        for place in places
        if place.kind == "hook"
    ]
    if hooks:
        yield table(words("card.storage.hooks"), words.each("card.storage", "place", "hook", "for"), hooks)


def _held(brief: Brief, place: StorePlace, drawer: Drawer) -> Cell:
    """Return what a drawer is for, and what lies in it; spares by name only where they have several drawers."""
    all_spares = drawer.holds == "spares" and not any(
        one.kind == "spare" and one.place != place for one in brief.plan.store
    )
    named = [] if all_spares else kept_at_place(brief, place)
    return Cell(text=brief.words(f"card.storage.holds.{drawer.holds}"), detail=" · ".join(named))


def kept_at_place(brief: Brief, place: StorePlace) -> list[str]:
    """Return the names of all that is kept in a place."""
    return [_name(brief, one) for one in brief.plan.store if one.place == place]


def _name(brief: Brief, one: Stored) -> str:
    """Return the name of something that is kept in the store."""
    if one.kind == "pack":
        return f"{brief.pack(one.id)} ({_code(brief, one.id)})"
    if one.kind == "spare":
        return brief.instrument(one.id)
    return next(brief.supply(use) for use in brief.plan.supplies if (use.kind, use.id) == (one.supply, one.id))


def _code(brief: Brief, pack: str) -> str:
    practice = brief.practice
    return (practice.sets.get(pack) or practice.pouches[pack]).code


def _drawn(brief: Brief, one: Standing) -> PacksDrawn:
    return PacksDrawn(
        code=_code(brief, one.pack),
        packs=one.packs,
        start=one.start_mm,
        end=one.end_mm,
        height=pack_size(brief.practice, one.pack)[1],
        wrapped=one.pack in brief.practice.sets,
    )


def _shown(shelf: ShelfDrawn) -> Iterator[str | float]:
    for packs in shelf.packs:
        yield from (packs.code, packs.packs, packs.start, packs.end, packs.height)
