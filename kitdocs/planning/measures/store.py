"""The store in the order of its places: what stands on a shelf, lies in a drawer or hangs on a hook, and how much."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kitdocs.planning.measures.standing import standings
from kitdocs.practice.model import Practice
from kitdocs.practice.store_places import StoredKind, StorePlace, kept_at, packs_in_drawers, store_places

#: What a drawer holds for a kind of supply; for all others, supplies.
_DRAWER_OF: Mapping[str, str] = MappingProxyType({"sheet": "sheets", "pouch": "pouches"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Stored:
    """Something that is kept in the store."""

    kind: StoredKind
    id: str
    """Of the set, pouch or instrument; of a sheet or pouch size; else the kind of supply, as ``tape``."""
    count: int | None
    """How many are here when all are back; None of supplies, which come and go."""
    supply: str = ""
    """The kind of supply, as ``sheet``."""
    place: StorePlace | None
    """None where there is no place for it."""
    position: int = 0
    """Which of the kinds on its shelf it is, from the left and from 1; 0 in a drawer and on a hook."""

    @property
    def code(self) -> str:
        """The short code of its place: ``A2``, the second from the left on shelf A; ``D1``, a drawer; '' without."""
        return f"{self.place.code}{self.position or ''}" if self.place else ""


def in_store(
    practice: Practice,
    packs: Mapping[str, int],
    taken: Mapping[str, float],
    spares: Mapping[str, int],
    supplies: Iterable[tuple[str, str]],
) -> tuple[Stored, ...]:
    """Return all that is kept, in the order of the places: shelf by shelf from the left, then drawers and hooks.

    `packs` and `spares` are how many there are, `taken` how often a day a pack is; `supplies` are kinds and ids.
    What has no place comes last.
    """
    places = store_places(practice.room)
    order = {place: n for n, place in enumerate(places)}
    by_id = {(place.kind, place.id): place for place in places}
    found = [
        Stored(kind="pack", id=one.pack, count=one.packs, place=by_id.get(("shelf", one.shelf)), position=one.position)
        for one in standings(practice, packs, taken)
    ]
    found += [
        Stored(kind="pack", id=id_, count=packs[id_], place=place)
        for id_, place in packs_in_drawers(practice).items()
        if packs.get(id_)
    ]
    found += _not_packs(practice, places, spares, supplies)
    return tuple(sorted(found, key=lambda one: (order[one.place] if one.place else len(order), one.position)))


def pack_codes(store: Iterable[Stored]) -> Mapping[str, tuple[str, ...]]:
    """Return the codes of the places of each set and pouch, in their order; none where there is no place for it."""
    codes: dict[str, tuple[str, ...]] = {}
    for one in store:
        if one.kind == "pack":
            codes[one.id] = (*codes.get(one.id, ()), *filter(None, (one.code,)))
    return codes


def _not_packs(
    practice: Practice, places: Iterable[StorePlace], spares: Mapping[str, int], supplies: Iterable[tuple[str, str]]
) -> Iterator[Stored]:
    """Yield spares and supplies, each where the practice says, else in the first drawer that is for such things."""
    drawers = practice.room.drawers
    first: dict[str, StorePlace] = {}
    for place in places:
        if place.kind == "drawer":
            first.setdefault(drawers[place.id].holds, place)
    stated = {thing: place for thing, (place, _) in kept_at(practice).items()}
    for id_, number in spares.items():
        yield Stored(kind="spare", id=id_, count=number, place=stated.get(("spare", "", id_), first.get("spares")))
    for kind, id_ in supplies:
        usual = first.get(_DRAWER_OF.get(kind, "supplies"))
        place_of = stated.get(("supply", kind, id_), usual)
        yield Stored(kind="supply", supply=kind, id=id_, count=None, place=place_of)
