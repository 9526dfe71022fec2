"""What the search knows: the cards with all their words, and the things on them, by name."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

from kitdocs.handbook.blocks import Block, Cell, Code, Items, Matrix, Picture, Prose
from kitdocs.handbook.card import Card, Handbook
from kitdocs.publish.site_frame import band_class, band_of, card_page, is_of_words, names_cards, picture_file


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One line of the list of everything: a card, or a thing with the cards that it is on."""

    name: str
    detail: str = ""
    pictures: tuple[Picture, ...] = ()
    cards: tuple[Card, ...]
    is_card: bool = False


def folded(text: str) -> str:
    """The text without accents and capitals, as the search compares it: ``Plantilla básica``, ``plantilla basica``."""
    apart = unicodedata.normalize("NFD", text)
    return "".join(letter for letter in apart if not unicodedata.combining(letter)).casefold()


def entries(handbook: Handbook) -> tuple[Entry, ...]:
    """Every card and every thing, from A to Z."""
    cards = [Entry(name=card.title, detail=card.subtitle, cards=(card,), is_card=True) for card in handbook.cards]
    return tuple(sorted((*cards, *_things(handbook)), key=lambda entry: (folded(entry.name), entry.cards[0].id)))


def search_index(handbook: Handbook) -> bytes:
    """The index as a script that assigns it: a page opened from a folder may not fetch.

    A card is ``u`` address from the site's top, ``t`` title, ``s`` subtitle, ``k`` section, ``c`` class of its colour,
    ``m`` its mark, ``x`` all its words; a thing is ``n`` name, ``d`` detail, ``p`` pictures, ``i`` its cards by number.
    """
    number = {card.id: place for place, card in enumerate(handbook.cards)}
    index = {
        "cards": [_card(handbook, card) for card in handbook.cards],
        "things": [
            {
                "n": thing.name,
                "d": thing.detail,
                "p": [picture_file(picture) for picture in thing.pictures],
                "i": [number[card.id] for card in thing.cards],
            }
            for thing in _things(handbook)
        ],
    }
    text = json.dumps(index, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    return f"self.KITDOCS_INDEX = {text};\n".encode()


def _card(handbook: Handbook, card: Card) -> dict[str, str]:
    band = band_of(card)
    told = {
        "u": card_page(handbook, card.id),
        "t": card.title,
        "s": card.subtitle,
        "k": card.section,
        "x": " ".join(dict.fromkeys(text for block in card.blocks for text in _texts(block))),
    }
    if band:
        told["c"] = band_class(band)
        told["w"] = band.word
        if band.mark:
            told["m"] = picture_file(band.mark)
    return told


def _things(handbook: Handbook) -> tuple[Entry, ...]:
    """The things on the cards and the rows of tables that say something of a thing that has no card of its own.

    One thing may lie in several places: it is one entry with several cards.
    """
    found: dict[tuple[str, tuple[str, ...]], list[tuple[str, tuple[Picture, ...], Card]]] = {}
    for card, block in _blocks(handbook):
        for item in block.items if isinstance(block, Items) and not names_cards(block) else ():
            named = (item.name, tuple(picture.name for picture in item.pictures))
            found.setdefault(named, []).append((item.detail, item.pictures, card))
    pictured = {name: (name, pictures) for name, pictures in reversed(found)}
    for card, block in _blocks(handbook):
        for name, detail in _rows(block) if isinstance(block, Matrix) and is_of_words(block) else ():
            known = pictured.get(name)
            found.setdefault(known or (name, ()), []).append(("" if known else detail, (), card))
    return tuple(
        Entry(
            name=name,
            detail=max((detail for detail, _, _ in places), key=len),
            pictures=places[0][1],
            cards=tuple({card.id: card for _, _, card in places}.values()),
        )
        for (name, _), places in found.items()
    )


def _blocks(handbook: Handbook) -> Iterator[tuple[Card, Block]]:
    """Every block with its card; what stands in running text, too."""
    for card in handbook.cards:
        for block in card.blocks:
            yield card, block
            for part in block.parts if isinstance(block, Prose) else ():
                if isinstance(part, Matrix):
                    yield card, part


def _rows(table: Matrix) -> Iterator[tuple[str, str]]:
    """What each row is called, unless that is a card, and all that it says."""
    for first, *others in table.rows:
        if first.text and not first.link:
            said = [f"{name}: {_said(cell)}" for name, cell in zip(table.head[1:], others, strict=True) if _said(cell)]
            yield first.text, " · ".join(filter(None, (first.detail, *said)))


def _said(cell: Cell) -> str:
    return "" if cell.text == "–" else " ".join(filter(None, (cell.text, cell.detail)))


def _texts(thing: object) -> Iterator[str]:
    """All the words of a block, without the names of pictures and the addresses."""
    if isinstance(thing, str):
        if thing:
            yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from _texts(part)
    elif hasattr(thing, "__slots__") and not isinstance(thing, Picture | Code):
        for name in thing.__slots__:
            if name not in _NOT_WORDS:
                yield from _texts(getattr(thing, name))


_NOT_WORDS = frozenset({"colour", "ink", "id", "link", "href", "format"})
