"""Where things are kept: the map of the store, a line for each kind of pack, the drawers and the hooks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kitdocs.document.blocks import Block, Cell
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.store_map import card_maps
from kitdocs.handbook.layout import table
from kitdocs.planning.measures.store import Stored
from kitdocs.practice.shelves import Drawer, Hook, Shelf
from kitdocs.practice.store_places import StorePlace, store_places


def pack_places(brief: Brief) -> Iterator[Block]:
    """Yield the map of the store, and which pack is at which place of it, in the order of the places."""
    yield from card_maps(brief)
    words = brief.words
    packs = [one for one in brief.plan.store if one.kind == "pack" and (one.place or brief.practice.room.shelves)]
    if not packs:
        return
    rows = [
        (
            brief.pack(one.id),
            brief.code(one.id),
            one.code,
            place_name(brief, one.place) if one.place else words("card.storage.no-room"),
        )
        for one in packs
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
        return f"{brief.pack(one.id)} ({brief.code(one.id)})"
    if one.kind == "spare":
        return brief.instrument(one.id)
    return next(brief.supply(use) for use in brief.plan.supplies if (use.kind, use.id) == (one.supply, one.id))
