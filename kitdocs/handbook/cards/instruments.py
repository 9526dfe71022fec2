"""Instruments by picture: the card for whoever holds one and knows no name, and the catalogue of all drawings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal

from kitdocs.document.blocks import Item, Items, Span, said
from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import MessageCatalog, built_in_catalog
from kitdocs.drawings.instruments import usual_size
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.pictures import pictures_of, tip_picture, whole_of, whole_picture
from kitdocs.practice.kinds import FAMILIES, DrawingKind

_NAMED = 2
"""So many chairs are named; more are only said to be several."""


def instrument_card(brief: Brief) -> Card:
    """Return every instrument, look-alikes together: its end, its whole, its length and where it belongs."""
    words = brief.words
    lists = (
        Items(title=family, items=tuple(_row(brief, instrument) for instrument in alike))
        for family, alike in by_family(brief).items()
    )
    return Card(
        id="instruments",
        kind="instruments",
        title=words("instruments.card.title"),
        section=words("card.section.start"),
        hangs=words("instruments.card.hangs"),
        place="bench",
        front=(said(words("instruments.card.intro")), *lists),
    )


def by_family(brief: Brief) -> dict[str, list[str]]:
    """Return the practice's instruments by the name of their family: look-alikes together, the shorter one first."""
    instruments = brief.practice.instruments
    found = {
        brief.words(f"lookup.family.{family}"): sorted(
            (instrument for instrument, record in instruments.items() if record.drawing in kinds),
            key=lambda instrument: (kinds.index(instruments[instrument].drawing), instruments[instrument].length),
        )
        for family, kinds in FAMILIES.items()
    }
    return {family: alike for family, alike in found.items() if alike}


def _row(brief: Brief, instrument: str) -> Item:
    return Item(
        id=instrument,
        name=brief.instrument(instrument),
        detail=brief.length(brief.practice.instruments[instrument].length),
        pictures=pictures_of(brief, instrument),
        whole=whole_of(brief, instrument),
        where=tuple(_parted(_places(brief, instrument))) or (Span(text=brief.words(_no_place(brief, instrument))),),
        link=f"i/{instrument}",
    )


def _no_place(brief: Brief, instrument: str) -> str:
    single_use = brief.practice.instruments[instrument].single_use
    return "instruments.card.single-use" if single_use else "instruments.card.nowhere"


def _places(brief: Brief, instrument: str) -> Iterator[Span]:
    """Yield the sets and pouches that hold it, by name and code, each with the card that tells more."""
    words, practice = brief.words, brief.practice
    holding = [set_id for set_id, kit in practice.sets.items() if instrument in kit.contents]
    if len(holding) == len(practice.sets) > 2:
        yield Span(text=words("instruments.card.every-set"), href="#map")
        holding = []
    for set_id in holding:
        text = words("instruments.card.where", name=brief.set(set_id), code=practice.sets[set_id].code)
        yield Span(text=text, href=f"#s/{set_id}")
    for pouch, record in practice.pouches.items():
        if instrument not in record.contents:
            continue
        chairs = [chair for chair, its in practice.chairs.items() if pouch in its.drawer]
        named = record.kind == "add-on" or 0 < len(chairs) <= _NAMED
        yield Span(
            text=words(
                f"instruments.card.kind.{record.kind if named else 'drawers'}",
                name=brief.pouch(pouch),
                code=record.code,
                chairs=brief.listed(brief.chair(chair) for chair in chairs),
            ),
            href=f"#p/{pouch}" if record.kind == "add-on" else f"#drawer/{chairs[0]}" if chairs else "#map",
        )


def _parted(places: Iterable[Span]) -> Iterator[Span]:
    for number, place in enumerate(places):
        if number:
            yield Span(text="\N{NO-BREAK SPACE}· ")
        yield place


def drawings_catalogue(paper: Literal["letter", "a4"], language: str) -> Handbook:
    """Return a handbook of one card: every kind that kitdocs can draw, by family, with the word for a folder.

    Raises `KitdocsError` when kitdocs has no words for the language.
    """
    words = built_in_catalog(language)
    blocks = [
        Items(title=words(f"lookup.family.{family}"), items=tuple(_kind(words, kind) for kind in kinds))
        for family, kinds in FAMILIES.items()
    ]
    card = Card(
        id="drawings",
        kind="instruments",
        title=words("instruments.drawings.title"),
        section=words("instruments.drawings.subtitle"),
        front=(said(words("instruments.drawings.intro")), *blocks),
    )
    return Handbook(
        practice="kitdocs",
        language=language,
        words=words,
        languages=(language,),
        paper=paper,
        cards=(card,),
    )


def _kind(words: MessageCatalog, kind: DrawingKind) -> Item:
    length, width = usual_size(kind)
    return Item(
        id=kind,
        name=kind,
        detail=words(f"instruments.kind.{kind}"),
        pictures=(tip_picture(kind),),
        whole=whole_picture(kind, length, width),
    )
