"""Where finished packs stand: the shelves as a picture, and a line for each kind of pack."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Illustration
from kitdocs.drawings.shelves import PacksDrawn, ShelfDrawn, shelf_map
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import table
from kitdocs.handbook.pictures import drawn_once
from kitdocs.planning.buying.placement import taken_per_day
from kitdocs.planning.measures.standing import Standing, pack_size, standings
from kitdocs.practice.store_places import shelf_letters


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
            brief.pack(one.pack),
            _code(brief, one.pack),
            f"{letters[one.shelf]}{one.position}" if one.shelf else "",
            brief.say(shelves[one.shelf].name) if one.shelf else words("card.storage.no-room"),
        )
        for one in found
    ]
    head = words.each("card.storage.places-head", "pack", "code", "place", "shelf")
    yield table(words("card.storage.places"), head, rows)


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
