"""Things to mark, label and post before the first day: chairs, cassettes, drawers, shelves, cards."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from kitdocs.document.blocks import Block, Cell, Matrix
from kitdocs.document.card import Card
from kitdocs.handbook.cards.chairs import colour_name
from kitdocs.handbook.labels import TAGS_A_CHAIR
from kitdocs.handbook.move.move import Move
from kitdocs.handbook.pictures import chair_mark_of, set_mark_of


def mark_card(move: Move) -> Card:
    """Return everything that gets a tag, a mark or a card, with how many, to tick off."""
    return move.card("move/mark", tuple(_blocks(move)))


def _blocks(move: Move) -> Iterator[Block]:
    yield _table(move, "chairs", ("chair", "put-on", "tags", "done"), _chairs(move), (2,))
    yield _table(move, "cassettes", ("set", "put-on", "how-many", "done"), _cassettes(move), (2,))
    yield _table(move, "room", ("place", "label", "done"), _room(move))
    yield _table(move, "hang", ("place", "cards", "how-many", "done"), _hung(move), (2,))


def _table(
    move: Move, title: str, head: tuple[str, ...], rows: Iterator[tuple[Cell, ...]], numbers: tuple[int, ...] = ()
) -> Matrix:
    return Matrix(
        title=move.words(f"move.mark.{title}"),
        head=tuple(move.words(f"move.mark.{name}") for name in head),
        rows=tuple((*row, Cell(tick=True)) for row in rows),
        numbers=numbers,
    )


def _chairs(move: Move) -> Iterator[tuple[Cell, ...]]:
    brief, words = move.brief, move.words
    for chair, record in brief.practice.chairs.items():
        picture = chair_mark_of(brief, chair)
        name = Cell(text=brief.chair(chair), picture=picture, link=move.link(f"r/{chair}"))
        mark = words("card.key.chair", colour=colour_name(brief, chair), mark=words(f"card.chair-mark.{record.mark}"))
        where = words("move.mark.chair-and-drawer" if record.drawer else "move.mark.chair-alone")
        yield name, Cell(text=mark, detail=where), Cell(text=str(TAGS_A_CHAIR))


def _cassettes(move: Move) -> Iterator[tuple[Cell, ...]]:
    """Yield marks and end labels. Marks stay on; end labels are needed once more with every packing."""
    brief, words = move.brief, move.words
    for set_id, record in brief.practice.sets.items():
        name = Cell(text=brief.set(set_id), picture=set_mark_of(brief, set_id), link=move.link(f"s/{set_id}"))
        cassette = brief.say(brief.practice.cassettes[record.cassette].name)
        mark = words("move.mark.mark", mark=words(f"card.set-mark.{record.mark}"), code=record.code)
        owned = brief.plan.days.stock.get(set_id, 0)
        yield name, Cell(text=mark, detail=cassette), Cell(text=str(owned))


def _room(move: Move) -> Iterator[tuple[Cell, ...]]:
    brief, words, room = move.brief, move.words, move.brief.practice.room
    for shelf in room.shelves.values():
        yield Cell(text=brief.say(shelf.name)), Cell(text=words("move.mark.shelf"))
    for drawer in room.drawers.values():
        yield Cell(text=brief.say(drawer.name)), Cell(text=words(f"card.storage.holds.{drawer.holds}"))
    if all(drawer.holds != "spares" for drawer in room.drawers.values()):
        yield Cell(text=words("move.mark.spares")), Cell(text=words("move.mark.spares-label"))
    yield Cell(text=words("move.mark.bin")), Cell(text=words("move.mark.bin-label"))


def _hung(move: Move) -> Iterator[tuple[Cell, ...]]:
    """Yield the cards by place, in the order of the binder. All drawers are one place, and the binder is none."""
    places: dict[str, list[Card]] = {}
    for card in move.cards.values():
        if card.place != "binder" and card.is_kept and card.hangs:
            place = move.words("move.mark.drawers") if card.place == "drawer" else card.hangs
            places.setdefault(place, []).append(card)
    for place, cards in places.items():
        yield Cell(text=place), Cell(text=_named(cards)), Cell(text=str(len(cards)))
    # Without a number, which would change this sheet with every page that somebody adds to the binder.
    yield Cell(text=move.words("move.mark.binder")), Cell(text=move.words("move.mark.all")), Cell(text="1")


def _named(cards: list[Card]) -> str:
    """Return the cards by name; many of one section by the section's."""
    sections = Counter(card.section for card in cards)
    told: dict[str, None] = {}
    for card in cards:
        many = sections[card.section]
        told[f"{card.section} × {many}" if many > 3 else card.title] = None
    return " · ".join(told)
