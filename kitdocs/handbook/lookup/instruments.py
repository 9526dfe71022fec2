"""Instrument finder: a page of all working ends, and a page for each instrument."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Facts, Illustration, Item, Items
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.instruments import by_family
from kitdocs.handbook.layout import facts
from kitdocs.handbook.pictures import pictures_of, set_mark_of, tip_of, tips_of, whole_of


def instrument_finder(brief: Brief) -> Iterator[Card]:
    """Yield the page of all pictures, then the page of each instrument."""
    yield _by_picture(brief)
    for instrument in brief.practice.instruments:
        yield instrument_page(brief, instrument)


def _by_picture(brief: Brief) -> Card:
    """Return the page of all tips, grouped by family, each with its length because some tips look alike."""
    words = brief.words
    blocks = tuple(
        Items(title=family, items=tuple(_tile(brief, instrument) for instrument in alike))
        for family, alike in by_family(brief).items()
    )
    return Card(
        id="by-picture",
        kind="pictures",
        form="page",
        title=words("lookup.pictures.title"),
        subtitle=words("lookup.pictures.subtitle"),
        section=words("lookup.pictures.section"),
        front=blocks,
    )


def _tile(brief: Brief, instrument: str) -> Item:
    return Item(
        id=instrument,
        name=brief.instrument(instrument),
        detail=brief.length(brief.practice.instruments[instrument].length),
        pictures=(tip_of(brief, instrument),),
        link=f"i/{instrument}",
    )


def instrument_page(brief: Brief, instrument: str) -> Card:
    """Return the page of an instrument: its looks, where it belongs, its material."""
    words, record = brief.words, brief.practice.instruments[instrument]
    alt = words("lookup.instrument.alt", instrument=brief.instrument(instrument))
    return Card(
        id=f"i/{instrument}",
        kind="instrument",
        form="page",
        title=brief.instrument(instrument),
        section=words("lookup.pictures.section"),
        front=(
            *(
                Illustration(picture=picture, caption=words("lookup.instrument.tip") if picture.format == "svg" else "")
                for picture in pictures_of(brief, instrument)
            ),
            Illustration(
                picture=whole_of(brief, instrument, alt),
                caption=words("lookup.instrument.whole", length=brief.length(record.length)),
            ),
            *_places(brief, instrument),
            _about(brief, instrument),
            *(() if record.single_use else (_when_damaged(brief),)),
        ),
    )


def _places(brief: Brief, instrument: str) -> Iterator[Block]:
    """Yield where an instrument belongs: its places in sets, the pouches that hold it."""
    words = brief.words
    sets = tuple(_in_sets(brief, instrument))
    pouches = tuple(_in_pouches(brief, instrument))
    if sets:
        yield Items(title=words("lookup.instrument.sets"), items=sets)
    if pouches:
        yield Items(title=words("lookup.instrument.pouches"), items=pouches)
    if not (sets or pouches):
        single_use = brief.practice.instruments[instrument].single_use
        name = words("lookup.instrument.single-use" if single_use else "lookup.instrument.nowhere")
        yield Items(items=(Item(id="nowhere", name=name),))


def _in_sets(brief: Brief, instrument: str) -> Iterator[Item]:
    for set_id, record in brief.practice.sets.items():
        numbers = [laid.number for laid in brief.plan.fits[set_id].layout if laid.instrument == instrument]
        if numbers:
            places = brief.listed(str(number) for number in numbers)
            yield Item(
                id=set_id,
                name=brief.set(set_id),
                detail=f"{record.code} · {brief.words.count('lookup.instrument.place', len(numbers), places=places)}",
                pictures=(set_mark_of(brief, set_id),),
                link=f"t/{set_id}",
            )


def _in_pouches(brief: Brief, instrument: str) -> Iterator[Item]:
    words, practice = brief.words, brief.practice
    for pouch, record in practice.pouches.items():
        if instrument not in record.contents:
            continue
        chairs = [brief.chair(chair) for chair, what in practice.chairs.items() if pouch in what.drawer]
        yield Item(
            id=pouch,
            name=brief.pouch(pouch),
            detail=brief.code_and_kind(pouch),
            note=words("lookup.in-drawers", chairs=brief.listed(chairs)) if chairs else "",
            pictures=tips_of(brief, record.contents),
            link=f"p/{pouch}" if record.kind == "add-on" else "",
        )


def _about(brief: Brief, instrument: str) -> Facts:
    words, record = brief.words, brief.practice.instruments[instrument]
    spares = sum(line.spares for line in brief.plan.orders.lines if (line.kind, line.id) == ("instrument", instrument))
    kept = [(words("lookup.instrument.spares"), words.count("lookup.instrument.spare", spares))] if spares else []
    return facts(
        (words("lookup.instrument.length"), brief.length(record.length)),
        (words("lookup.instrument.material"), words(f"lookup.material.{record.material}")),
        *kept,
        title=words("lookup.instrument.about"),
    )


def _when_damaged(brief: Brief) -> Items:
    words = brief.words
    row = Item(id="repair", name=words("card.guide.repair"), detail=words("lookup.instrument.damaged"), link="repair")
    return Items(items=(row,))
