"""The map of the store: shelves with the packs where they stand, drawers and hooks; on a card, and as a poster."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import astuple
from typing import Any

from kitdocs.document.blocks import Illustration, PictureBox, Spot
from kitdocs.document.card import Card
from kitdocs.drawings.drawing import INK
from kitdocs.drawings.shelves import ON_CARD, POSTER_PT, Lettering, PacksDrawn, PackSpot, ShelfDrawn, on_poster
from kitdocs.drawings.store_map import DrawerDrawn, HookDrawn, StoreMap, narrow_map, store_maps
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.codes import code_block
from kitdocs.handbook.pictures import drawn_once
from kitdocs.planning.buying.placement import taken_per_day
from kitdocs.planning.measures.standing import Standing, pack_size, standings
from kitdocs.practice.paper import PAPER_MM
from kitdocs.practice.store_places import shelf_letters, store_places

#: How high a map on a card may be: as high as a sheet draws a picture.
_ON_CARD_MM = 108.0
#: What a poster leaves of its sheet: the margin on each side; head, foot and the gaps beside them.
_MARGIN_MM, _AROUND_MM = 8.0, 48.0
#: The codes of a poster are never made smaller than this to save a sheet.
_LEAST_PT = 16


def card_maps(brief: Brief) -> tuple[Illustration, ...]:
    """Return the map as a card has it; on a page each kind of pack opens the card about it."""
    return _illustrations(brief, ON_CARD, _maps(brief, ON_CARD, _ON_CARD_MM))


def store_poster(brief: Brief) -> Iterator[Card]:
    """Yield the map as a poster, none where the practice has neither shelves nor drawers.

    It takes as few sheets as it can, upright or on their long side, and then as large codes as it can.
    """
    words, paper = brief.words, PAPER_MM[brief.practice.settings.paper]
    ways = []
    for wide, high in (paper, paper[::-1]):
        for largest in [points for points in POSTER_PT if points >= _LEAST_PT]:
            lettering = on_poster(wide - 2 * _MARGIN_MM, largest)
            ways.append((lettering, _maps(brief, lettering, high - 2 * _MARGIN_MM - _AROUND_MM)))
    lettering, maps = min(ways, key=lambda way: (len(way[1]), -min((each.letters_mm for each in way[1]), default=0.0)))
    if maps:
        yield Card(
            id="store-poster",
            kind="poster",
            form="poster",
            title=words("card.store-map.title"),
            subtitle=words("card.store-map.subtitle"),
            section=words("card.section.room"),
            hangs=words("card.hangs.storage"),
            place="storage",
            area="storage",
            front=(
                *_illustrations(brief, lettering, maps),
                code_block(brief, "store-poster", words("card.store-map.title")),
            ),
        )


def _maps(brief: Brief, lettering: Lettering, height_mm: float) -> tuple[StoreMap, ...]:
    shelves, drawers = tuple(_shelves(brief)), tuple(_drawers(brief))
    if not (shelves or drawers):
        return ()
    hooks = tuple(_hooks(brief))
    return store_maps(shelves, drawers, hooks, legend=_legend(brief), lettering=lettering, height_mm=height_mm)


def _legend(brief: Brief) -> tuple[str, str]:
    return brief.words("card.store-map.first"), brief.words("card.store-map.new")


def _illustrations(brief: Brief, lettering: Lettering, maps: tuple[StoreMap, ...]) -> tuple[Illustration, ...]:
    words = brief.words
    things: tuple[Any, ...] = (*_shelves(brief), *_drawers(brief), *_hooks(brief))
    shows = [*_legend(brief), str(astuple(lettering)), *(str(part) for thing in things for part in astuple(thing))]
    seen: Counter[str] = Counter()
    apart = len({letters for each in maps for letters in each.stacks}) > 1
    said = [words("card.storage.map"), *([words("card.storage.map-apart")] if apart else [])]
    return tuple(
        Illustration(
            picture=drawn_once("store", each.drawing, words("card.storage.map-alt"), (*shows, str(n))),
            caption=" ".join(said) if n == 1 else "",
            spots=tuple(_spots(brief, each, narrow, seen)),
            narrow=drawn_once("store", narrow.drawing, words("card.storage.map-alt"), ("narrow", *shows, str(n))),
        )
        for n, each in enumerate(maps, start=1)
        for narrow in (narrow_map(each, legend=_legend(brief)),)
    )


def _spots(brief: Brief, drawn: StoreMap, narrow: StoreMap, seen: Counter[str]) -> Iterator[Spot]:
    """Yield where packs are in the map and in the narrow one; a kind that stands in two places has two spots."""
    for spot, small in zip(drawn.spots, narrow.spots, strict=True):
        seen[spot.id] += 1
        places = brief.plan.places[spot.id]
        place = places[min(seen[spot.id], len(places)) - 1]
        yield Spot(
            name=brief.words("card.store-map.spot", pack=brief.pack(spot.id), place=place),
            link=_card_of(brief, spot.id),
            anchor=spot_anchor(spot.id) + (f"-{seen[spot.id]}" if seen[spot.id] > 1 else ""),
            code=place,
            boxes=_boxes(spot),
            narrow=_boxes(small),
        )


def _boxes(spot: PackSpot) -> tuple[PictureBox, ...]:
    return tuple(PictureBox(left=box[0], top=box[1], width=box[2], height=box[3]) for box in spot.boxes)


def spot_anchor(pack: str) -> str:
    """Return the name that a pack's first place in the map has on its page."""
    return f"at-{pack}"


def _card_of(brief: Brief, pack: str) -> str:
    """Return the card about a set or pouch; a drawer pouch has a row of the pouch guide."""
    if pack in brief.practice.sets:
        return f"s/{pack}"
    return f"p/{pack}" if brief.practice.pouches[pack].kind == "add-on" else f"pouch-guide#{pack}"


def _shelves(brief: Brief) -> Iterator[ShelfDrawn]:
    """Yield the shelves with what stands on them, the highest first."""
    days, room = brief.plan.days, brief.practice.room
    letters = shelf_letters(room)
    found = standings(brief.practice, {**days.stock, **days.pouch_stock}, taken_per_day(days))
    for id_, shelf in sorted(room.shelves.items(), key=lambda item: -item[1].from_floor):
        yield ShelfDrawn(
            letter=letters[id_],
            name=brief.words(
                "card.store-map.shelf",
                letter=letters[id_],
                shelf=brief.say(shelf.name),
                height=brief.length(shelf.from_floor),
            ),
            length=shelf.length,
            from_floor=shelf.from_floor,
            packs=tuple(_packs(brief, one, letters[id_]) for one in found if one.shelf == id_),
        )


def _packs(brief: Brief, one: Standing, letter: str) -> PacksDrawn:
    record = brief.practice.sets.get(one.pack)
    return PacksDrawn(
        id=one.pack,
        code=brief.code(one.pack),
        place=f"{letter}{one.position}",
        packs=one.packs,
        start=one.start_mm,
        end=one.end_mm,
        height=pack_size(brief.practice, one.pack)[1],
        wrapped=record is not None,
        mark=record.mark if record else None,
        colour=record.colour.hex if record and record.colour else INK,
    )


def _drawers(brief: Brief) -> Iterator[DrawerDrawn]:
    room = brief.practice.room
    for place in store_places(room):
        if place.kind == "drawer":
            drawer = room.drawers[place.id]
            packs = (one.id for one in brief.plan.store if one.kind == "pack" and one.place == place)
            yield DrawerDrawn(
                place=place.code,
                name=brief.say(drawer.name),
                width=drawer.width,
                packs=tuple((pack, brief.code(pack)) for pack in packs),
            )


def _hooks(brief: Brief) -> Iterator[HookDrawn]:
    room = brief.practice.room
    for place in store_places(room):
        if place.kind == "hook":
            yield HookDrawn(place=place.code, name=brief.say(room.hooks[place.id].name))
