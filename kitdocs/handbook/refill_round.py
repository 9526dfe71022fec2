"""The round: every drawer is looked at, what is missing fetched from the store, every drawer filled."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kitdocs.document.blocks import Item, Items
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.places import place_name
from kitdocs.handbook.pictures import in_pouch


def in_store_order(brief: Brief) -> Iterator[tuple[str, Mapping[str, str]]]:
    """Yield each drawer pouch in the order in which one comes to it in the store, and its places: by code, the names.

    What has no place in the store comes last.
    """
    practice = brief.practice
    kept = {pouch for chair in practice.chairs.values() for pouch in chair.drawer}
    places: dict[str, dict[str, str]] = {}
    for one in brief.plan.store:
        if one.kind == "pack" and one.id in kept and one.place:
            places.setdefault(one.id, {})[one.code] = place_name(brief, one.place)
    for pouch in dict.fromkeys((*places, *(pouch for pouch in practice.pouches if pouch in kept))):
        yield pouch, places.get(pouch, {})


def in_stated_order(brief: Brief) -> tuple[str, ...]:
    """Return the drawer pouches in the order of the store, as far as the practice states their places; then the others.

    For paper: an order that is worked out changes with the counts, and the sheet would have to be printed anew.
    """
    fetched = [pouch for pouch, _ in in_store_order(brief)]
    stated = [pouch for pouch in fetched if brief.stands(pouch)]
    return (*stated, *(pouch for pouch in brief.practice.pouches if pouch in fetched and pouch not in stated))


def round_page(brief: Brief) -> Iterator[Card]:
    """Yield the page of the round, which lists what is fetched; none where no drawer holds anything.

    What belongs in each drawer stands on the refill cards.
    """
    words, pouches = brief.words, brief.practice.pouches
    fetched = tuple(
        Item(
            id=pouch,
            name=brief.pouch(pouch),
            detail=pouches[pouch].code,
            stands=" ".join(where),
            note=brief.listed(dict.fromkeys(where.values())),
            pictures=in_pouch(brief, pouch),
        )
        for pouch, where in in_store_order(brief)
    )
    if fetched:
        yield Card(
            id="round",
            kind="round",
            form="page",
            title=words("round.title"),
            subtitle=words("round.subtitle"),
            section=words("card.section.refill"),
            front=(Items(items=fetched),),
        )
