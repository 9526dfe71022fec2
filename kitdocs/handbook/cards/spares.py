"""The spares: how many of each, where they lie, and into which sets and pouches they go."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.places import place_name
from kitdocs.practice.model import InstrumentSet, Pouch
from kitdocs.practice.store_places import store_places


def spares(brief: Brief) -> Mapping[str, int]:
    """Return how many spares there should be of each instrument that needs any."""
    return brief.plan.orders.spares


def spares_place(brief: Brief) -> str:
    """Return where the spares lie: the places that room.yaml has for them, or a box at the packing table."""
    room, stated = brief.practice.room, {one.place for one in brief.plan.store if one.kind == "spare"}
    places = [
        f"{place_name(brief, place)} ({place.code})"
        for place in store_places(room)
        if place in stated or (place.kind == "drawer" and room.drawers[place.id].holds == "spares")
    ]
    return brief.listed(places) if places else brief.words("repair.box")


def spares_for(brief: Brief, contents: Iterable[str]) -> str:
    """Return what a set or pouch holds and there are spares of: ``scaler · Weingart plier``; may be empty."""
    kept = spares(brief)
    return " · ".join(brief.instrument(each) for each in dict.fromkeys(contents) if each in kept)


def goes_into(brief: Brief, instrument: str) -> str:
    """Return the codes of the sets and pouches that hold an instrument."""
    holders: list[InstrumentSet | Pouch] = [*brief.practice.sets.values(), *brief.practice.pouches.values()]
    return ", ".join(holder.code for holder in holders if instrument in holder.contents)
