"""Where things stand: places that there are, for such things, one thing in each, and codes that name one place."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType

from kitdocs.practice.codes import look_alike
from kitdocs.practice.draft import Draft
from kitdocs.practice.locations import Path
from kitdocs.practice.message import message
from kitdocs.practice.problems import Problem, nearest
from kitdocs.practice.rules.looking import Values, error, warning, where
from kitdocs.practice.store_places import (
    TABLES,
    StatedPlace,
    StoredKind,
    StorePlace,
    codes_of_places,
    find_place,
    stated_places,
    store_places,
)

#: What a drawer may hold for such a thing to lie in it.
_HOLDS: Mapping[StoredKind, tuple[str, ...]] = MappingProxyType(
    {"pack": ("packs",), "spare": ("spares",), "supply": ("sheets", "pouches", "supplies")}
)


def each_code_names_one_place(practice: Draft) -> Iterator[Problem]:
    """No code of a shelf, drawer or hook is another's, and none reads as a position on a shelf."""
    places = store_places(practice.room)
    letters = {place.code: place for place in places if place.kind == "shelf"}
    seen: dict[str, StorePlace] = {}
    for place in places:
        other = seen.setdefault(place.code, place)
        case = "same"
        if other is place and place.kind != "shelf" and place.code[-1].isdigit():
            case = "on-shelf"
            other = letters.get(place.code.rstrip("0123456789"), place)
        if other is not place:
            path = ("room", TABLES[place.kind], place.id)
            at = (*path, "code") if (*path, "code") in practice.places.values else path
            beside = where(practice, "room", TABLES[other.kind], other.id)
            yield error(practice, f"code-of-two-places.{case}", at, code=place.code, other=other.id, where=beside)


def codes_of_places_are_not_mistaken(practice: Draft) -> Iterator[Problem]:
    """No code of a drawer, hook or pack reads as that of another place: labels show both, side by side."""
    if not all(practice.is_whole("room", table) for table in TABLES.values()):
        return
    seen: list[tuple[str, StorePlace]] = []
    packs = [("sets", id_, pack.code) for id_, pack in practice.sets.items()]
    packs += [("pouches", id_, pack.code) for id_, pack in practice.pouches.items()]
    for code, place in codes_of_places(store_places(practice.room), len(packs)):
        if place.kind != "shelf":
            path: Path = ("room", TABLES[place.kind], place.id)
            at = (*path, "code") if (*path, "code") in practice.places.values else path
            yield from _mistaken(practice, at, code, [each for each in seen if each[0] != code])
        seen.append((code, place))
    for stem, id_, code in packs:
        yield from _mistaken(practice, (stem, id_, "code"), code, seen)


def _mistaken(practice: Draft, at: Path, code: str, places: Iterable[tuple[str, StorePlace]]) -> Iterator[Problem]:
    """Say for which of some places a code is taken, if any."""
    for other, place in places:
        same = code == other
        if same or look_alike(code, other):
            beside = where(practice, "room", TABLES[place.kind], place.id)
            values: Values = {"code": code, "other": other, "id": place.id, "where": beside}
            if same:
                said = message("problems.code-like-place.same", **values)
                yield warning(practice, "problems.code-like-place", at, message=said, **values)
            else:
                yield warning(practice, "problems.code-like-place", at, **values)
            return


def things_stand_where_such_things_can(practice: Draft) -> Iterator[Problem]:
    """A stated place is in room.yaml, and finished packs, spares and supplies are kept apart.

    That a pack hangs on no hook and lies among nothing else is common practice, no source.
    """
    places = store_places(practice.room)
    for stated in _told(practice):
        found = find_place(places, stated.written)
        if found is None:
            values: Values = {
                "place": stated.written,
                "nearest": nearest(stated.written, _ways_to_write(places, stated)),
            }
            yield error(practice, "unknown-id.place" if places else "unknown-id.no-place", stated.path, **values)
        elif not _is_for(practice, found[0], stated.kind):
            yield error(practice, f"wrong-place.{stated.kind}", stated.path, place=stated.written)


def _ways_to_write(places: Iterable[StorePlace], stated: StatedPlace) -> Iterator[str]:
    """Yield every place as it could be written, with the position that was written where it is one of a shelf."""
    position = re.search(r"(\d*)$", stated.written)
    for place in places:
        n = position[1] if position and place.kind == "shelf" else ""
        yield f"{place.code}{n}"
        yield f"{place.id} {n}".strip()


def each_place_has_one_thing(practice: Draft) -> Iterator[Problem]:
    """No two kinds stand at one place of a shelf, or hang on one hook."""
    places = store_places(practice.room)
    taken: dict[tuple[StorePlace, int], StatedPlace] = {}
    for stated in _told(practice):
        found = find_place(places, stated.written)
        if found is None or not _is_for(practice, found[0], stated.kind):
            continue
        place, position = found
        if place.kind == "drawer" or (place.kind == "shelf" and not position):
            continue
        other = taken.setdefault(found, stated)
        if other is not stated:
            values: Values = {"place": stated.written, "other": other.id, "where": where(practice, *other.path)}
            yield error(practice, f"two-in-one-place.{place.kind}", stated.path, **values)


def _told(practice: Draft) -> Iterator[StatedPlace]:
    """What is stated, where all places there are could be read."""
    if all(practice.is_whole("room", table) for table in TABLES.values()):
        yield from stated_places(practice, practice.room)


def _is_for(practice: Draft, place: StorePlace, kind: StoredKind) -> bool:
    if place.kind == "drawer":
        return practice.room.drawers[place.id].holds in _HOLDS[kind]
    return (place.kind == "shelf") == (kind == "pack")
