"""Search index: what to do when something went wrong, the things on the cards, the cards with all their words."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple, TypeAlias

from kitdocs.document.blocks import Block, Cell, Illustration, Items, Matrix, Picture, Prose, Steps
from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import MessageCatalog
from kitdocs.document.purpose import Purpose
from kitdocs.document.walk import words_in
from kitdocs.publish.site.frame import band_class, band_of, card_page, is_of_words, names_cards, picture_file

#: How plurals end, by language, and what the singular has in their place: pliers, boxes, bodies; sillones, veces;
#: Zangen, Blätter; plateaux.
PLURALS: Mapping[str, tuple[tuple[str, str], ...]] = {
    "en": (("s", ""), ("es", ""), ("ies", "y")),
    "es": (("s", ""), ("es", ""), ("ces", "z")),
    "de": (("e", ""), ("en", ""), ("er", ""), ("n", ""), ("s", "")),
    "fr": (("s", ""), ("x", "")),
}

#: A row: the card's id, the number of the block (and of the part of a text), the row.
BlockPath: TypeAlias = "tuple[str | int, ...]"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One line of the list of everything: a card, or a thing with the cards that it is on."""

    name: str
    detail: str = ""
    pictures: tuple[Picture, ...] = ()
    cards: tuple[Card, ...]
    places: tuple[BlockPath, ...] = ()
    is_card: bool = False


class _Answer(NamedTuple):
    """What is done when something went wrong. `heard` is what people say then, with commas between."""

    trigger: str
    question: str
    steps: tuple[str, ...]
    heard: str
    card: Card


class _Seen(NamedTuple):
    """A thing in one of its places."""

    detail: str
    pictures: tuple[Picture, ...]
    card: Card
    place: BlockPath


def entries(handbook: Handbook) -> tuple[Entry, ...]:
    """Return every card and every thing, from A to Z."""
    cards = [
        Entry(name=card.title, detail=card.subtitle, pictures=_known_by(card), cards=(card,), is_card=True)
        for card in handbook.cards
    ]
    return tuple(sorted((*cards, *_things(handbook)), key=lambda entry: (folded(entry.name), entry.cards[0].id)))


def search_index(handbook: Handbook, handbooks: Sequence[Handbook]) -> bytes:
    """Return the index as a script that assigns it: a page opened from a folder may not fetch.

    An answer to what went wrong is ``q`` question, ``u`` address from the site's top, ``h`` what people say, ``o`` the
    same and the question in other languages, ``a`` its steps. A card is ``u`` address, ``t`` title, ``s`` subtitle,
    ``k`` section, ``c`` class of its colour, ``m`` its mark, ``p`` the picture by which it is known, ``x`` all its
    words line by line, ``z`` whether it only repeats what others say; a thing is ``n`` name, ``d`` detail, ``p``
    pictures, ``i`` its cards by number. ``o`` is what else either is called, in other languages or by a synonym.
    ``small`` are the words that mean nothing beside others, ``plurals`` their endings with what a singular has.
    """
    others = [book for book in handbooks if book.language != handbook.language]
    number = {card.id: place for place, card in enumerate(handbook.cards)}
    elsewhere = [(book.words, _names_by_place(book)) for book in others]
    index = {
        "small": sorted({word.strip() for book in handbooks for word in folded(book.words("lookup.small")).split(",")}),
        "plurals": sorted({pair for book in handbooks for pair in PLURALS.get(book.language, ())}),
        "answers": list(_told_answers(handbook, others)),
        "cards": [_card(handbook, card, others) for card in handbook.cards],
        "things": [
            {
                "n": thing.name,
                "o": _otherwise(
                    (handbook.words, [thing.name]),
                    [(words, [names[place] for place in thing.places if place in names]) for words, names in elsewhere],
                ),
                "d": thing.detail,
                "p": [picture_file(picture) for picture in thing.pictures],
                "i": [number[card.id] for card in thing.cards],
            }
            for thing in _things(handbook)
        ],
    }
    text = json.dumps(index, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    return f"self.KITDOCS_INDEX = {text};\n".encode()


def _card(handbook: Handbook, card: Card, others: Sequence[Handbook]) -> dict[str, object]:
    band = band_of(card)
    told: dict[str, object] = {
        "u": card_page(handbook, card.id),
        "t": card.title,
        "o": _otherwise(
            (handbook.words, [card.title]),
            [
                (book.words, [name for other in book.cards if other.id == card.id for name in _called(other)])
                for book in others
            ],
        ),
        "s": card.subtitle,
        "k": card.section,
        "x": list(dict.fromkeys(words_in(card.blocks, Purpose.SEARCHED))),
    }
    if _repeats(card) or card.kind == "mishaps":  # its answers are found one by one
        told["z"] = 1
    if pictures := _known_by(card):
        told["p"] = [picture_file(picture) for picture in pictures]
    if band:
        told["c"] = band_class(band)
        told["w"] = band.word
        if band.mark:
            told["m"] = picture_file(band.mark)
    return told


def _otherwise(own: tuple[MessageCatalog, list[str]], others: Sequence[tuple[MessageCatalog, list[str]]]) -> list[str]:
    """Return the names in other languages, and the synonyms of the names in each language."""
    named = {name for _, names in others for name in names}
    return sorted(named.union(*(other_names(words, names) for words, names in (own, *others))))


def _known_by(card: Card) -> tuple[Picture, ...]:
    """Return the picture by which the subject of a page is known: an instrument's first."""
    pictures = (block.picture for block in card.front if isinstance(block, Illustration))
    return tuple(pictures)[:1] if card.kind == "instrument" else ()


def _called(card: Card) -> Iterator[str]:
    band = band_of(card)
    yield card.title
    if band:
        yield band.word


def _things(handbook: Handbook) -> tuple[Entry, ...]:
    """Return the things on the cards, and the rows of tables about things without a card of their own.

    A thing in several places is one entry with several cards.
    """
    own_card = {card.title for card in handbook.cards}
    found: dict[tuple[str, tuple[str, ...]], list[_Seen]] = {}
    for card, place, block in _blocks(handbook):
        for item in block.items if isinstance(block, Items) and not names_cards(block) else ():
            named = (item.name, tuple(picture.name for picture in item.pictures))
            found.setdefault(named, []).append(_Seen(item.detail, item.pictures, card, (*place, item.id)))
    pictured = {name: (name, pictures) for name, pictures in reversed(found)}
    for card, place, block in _blocks(handbook):
        for row, name, detail in _rows(block) if isinstance(block, Matrix) and is_of_words(block) else ():
            known = pictured.get(name)
            seen = _Seen("" if known else detail, (), card, (*place, row))
            found.setdefault(known or (name, ()), []).append(seen)
    return tuple(
        Entry(
            name=name,
            detail=max((seen.detail for seen in places), key=len),
            pictures=places[0].pictures,
            cards=tuple({seen.card.id: seen.card for seen in places}.values()),
            places=tuple(seen.place for seen in places),
        )
        for (name, _), places in found.items()
        if name not in own_card
    )


def _names_by_place(handbook: Handbook) -> dict[BlockPath, str]:
    """Return the name in each row, so that the same row in another language is the same thing."""
    names: dict[BlockPath, str] = {}
    for card, place, block in _blocks(handbook):
        if isinstance(block, Items):
            names.update({(*place, item.id): item.name for item in block.items})
        elif isinstance(block, Matrix) and card.kind != "page":  # own prose need not be the same row by row
            names.update({(*place, row): name for row, name, _ in _rows(block)})
    return names


def _blocks(handbook: Handbook) -> Iterator[tuple[Card, BlockPath, Block]]:
    """Yield every block with its card and its path, tables in running text included.

    The working papers of the move and the list of rules are left out: they repeat what other cards say, and nobody
    looks there for a thing.
    """
    for card in handbook.cards:
        if _repeats(card):
            continue
        for at, block in enumerate(card.blocks):
            yield card, (card.id, at), block
            for part_at, part in enumerate(block.parts if isinstance(block, Prose) else ()):
                if isinstance(part, Matrix):
                    yield card, (card.id, at, part_at), part


def _repeats(card: Card) -> bool:
    """Whether a card is a working paper of the move or the list of rules."""
    return card.form == "paper" or card.kind == "care"


def _told_answers(handbook: Handbook, others: Sequence[Handbook]) -> Iterator[dict[str, object]]:
    elsewhere = [{answer.trigger: answer for answer in _answers(book)} for book in others]
    for answer in _answers(handbook):
        same = [answers[answer.trigger] for answers in elsewhere if answer.trigger in answers]
        yield {
            "q": answer.question,
            "u": f"{card_page(handbook, answer.card.id)}#{answer.trigger}",
            "h": answer.heard,
            "o": [said for other in same for said in (other.question, other.heard)],
            "a": answer.steps,
        }


def _answers(handbook: Handbook) -> Iterator[_Answer]:
    """Yield every answer of the card for whoever something goes wrong for."""
    for card in handbook.cards:
        for block in card.blocks:
            if isinstance(block, Steps) and block.trigger:
                yield _Answer(block.trigger, block.title, tuple(s.text for s in block.steps), block.heard, card)


def _rows(table: Matrix) -> Iterator[tuple[int, str, str]]:
    """Yield the number, name and other words of each row, unless its name leads to a card."""
    for number, (first, *others) in enumerate(table.rows):
        if first.text and not first.link:
            said = [f"{name}: {_said(cell)}" for name, cell in zip(table.head[1:], others, strict=True) if _said(cell)]
            yield number, first.text, " · ".join(filter(None, (first.detail, *said)))


def _said(cell: Cell) -> str:
    return "" if cell.text == "–" else " ".join(filter(None, (cell.text, cell.detail)))


def folded(text: str) -> str:
    """Return the text without accents and capitals, as the search compares it: ``basica`` for ``Básica``."""
    apart = unicodedata.normalize("NFD", text)
    plain = "".join(letter for letter in apart if not unicodedata.combining(letter)).casefold()
    return plain.replace("œ", "oe").replace("æ", "ae")


def other_names(words: MessageCatalog, names: Iterable[str]) -> set[str]:
    """Return what else the things with these names are called, by the groups of synonyms.yaml.

    A name belongs to a group when it contains one of its members as whole words, in the singular or plural.
    """
    folded_names = [folded(name) for name in names]
    found: set[str] = set()
    for group in words.part("synonyms"):
        members = _members(words(f"synonyms.{group}"))
        endings = tuple(ending for ending, instead in PLURALS.get(words.language, ()) if not instead)
        named = {member for member in members if any(_contains(member, endings).search(name) for name in folded_names)}
        if named:
            found.update(set(members) - named)
    return found


@cache
def _members(listed: str) -> tuple[str, ...]:
    return tuple(member.strip() for member in listed.split(","))


@cache
def _contains(member: str, endings: tuple[str, ...]) -> re.Pattern[str]:
    return re.compile(rf"\b{re.escape(folded(member))}(?:{'|'.join(endings)})?\b")
