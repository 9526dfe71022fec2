"""The guides at the stations of the reprocessing room: wrap, pouches, storage, spore tests."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Caution, Cell, Steps
from kitdocs.document.card import Card, CardKind, PostingLocation
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.packing import (
    fold_steps,
    outside_steps,
    pack_caution,
    pouch_packing,
    usual_set,
)
from kitdocs.handbook.cards.places import drawers_and_hooks, pack_places
from kitdocs.handbook.cards.sets import set_cell, sheet_text
from kitdocs.handbook.cards.store_map import spot_anchor
from kitdocs.handbook.layout import table
from kitdocs.handbook.pictures import pouch_photo
from kitdocs.handbook.rules.quote import rule_steps, rule_text, trigger_line, trigger_steps
from kitdocs.practice.kinds import Area
from kitdocs.practice.store_places import shelf_letters


def wrap_guide(brief: Brief) -> Card:
    """Return how a cassette is wrapped, and which sheet each set takes."""
    words = brief.words
    cassettes = brief.practice.cassettes
    rows = (
        (set_cell(brief, set_id), brief.say(cassettes[record.cassette].name), _sheet(brief, set_id))
        for set_id, record in brief.practice.sets.items()
    )
    head = (words("card.map.set"), words("card.fact.cassette"), words("card.fact.sheet"))
    sheets = table(words("card.wrap.sheets"), head, rows)
    shown = usual_set(brief)
    cassette = brief.say(cassettes[brief.practice.sets[shown].cassette].name)
    steps = fold_steps(brief, shown, words("card.wrap.shown", cassette=cassette))
    outside = outside_steps(brief, "label-pack", "outside-tape", "outside-label")
    return _guide(brief, "wrap-guide", "bench", "bench", (steps, outside, sheets))


def _sheet(brief: Brief, set_id: str) -> Cell:
    sheet = brief.plan.sheets[set_id].sheet
    return Cell(text=sheet_text(brief, set_id), detail=brief.lies("supply", sheet, "sheet") if sheet else "")


def pouch_guide(brief: Brief) -> Card:
    """Return how a pouch is packed, and which size each takes."""
    words = brief.words
    rows = (
        (
            Cell(
                text=brief.pouch(pouch),
                detail=brief.at_stated_place(record.code, pouch),
                picture=pouch_photo(brief, pouch),
                anchor=pouch,
                more=f"storage-map#{spot_anchor(pouch)}" if brief.plan.places.get(pouch) else "",
            ),
            _pouch_size(brief, record.size),
            brief.contents(record.contents),
        )
        for pouch, record in brief.practice.pouches.items()
    )
    head = (words("card.map.pouch"), words("card.wrap.size"), words("card.map.contents"))
    pouches = table(words("card.wrap.pouches"), head, rows)
    steps = pouch_packing(brief, brief.practice.pouches, room=True)
    outside = outside_steps(brief, "outside-pouch")
    return _guide(brief, "pouch-guide", "bench", "bench", (steps, outside, pouches))


def _pouch_size(brief: Brief, size: str) -> Cell:
    record = brief.practice.room.pouch_sizes[size]
    named = " · ".join(filter(None, (brief.say(record.name), brief.lies("supply", size, "pouch"))))
    return Cell(text=named, detail=brief.size(record.width, record.length))


def storage_map(brief: Brief) -> Card:
    """Return where finished packs and supplies are kept."""
    words, room = brief.words, brief.practice.room
    letters = shelf_letters(room)
    shelves = [
        (letters[id_], brief.say(shelf.name), *map(brief.length, (shelf.length, shelf.from_floor, shelf.from_ceiling)))
        for id_, shelf in room.shelves.items()
    ]
    rules = rule_steps(
        brief,
        words("card.storage.rules"),
        (
            "store-hands",
            "store-only",
            "implant-store",
            "store-row",
            "store-oldest",
            "store-clear",
            "store-closed",
            ("keeps-event", "maker-date"),
        ),
        numbered=False,
    )
    shelf_head = words.each("card.storage", "place", "shelf", "length", "floor", "ceiling")
    blocks: list[Block] = [rules, pack_caution(brief), *pack_places(brief)]
    if shelves:
        blocks.append(table(words("card.storage.shelves"), shelf_head, shelves))
    blocks.extend(drawers_and_hooks(brief))
    return _guide(brief, "storage-map", "storage", "storage", tuple(blocks))


def spore_test(brief: Brief) -> Card:
    """Return how sterilizers are tested, every day and every week, and what follows a test that fails."""
    words = brief.words
    weekly = rule_steps(
        brief,
        words("card.spore.weekly"),
        (("spore-weekly", "spore-implant-load"), ("maker-date", "spore-place"), "spore-control", "spore-write"),
        trigger_line(brief, "no-growth"),
    )
    caution = Caution(title=words("card.spore.caution-title"), text=rule_text(brief, "lead-decides"))
    positive = trigger_steps(brief, "spore-positive")
    return _guide(brief, "spore-test", "sterilizer", "machine", (*_air_test(brief), weekly, caution, positive))


def _air_test(brief: Brief) -> Iterator[Steps]:
    """Yield the daily test of sterilizers with a vacuum pump."""
    rules = ("air-test", "air-test-log")
    if rule_text(brief, *rules):
        yield rule_steps(brief, brief.words("card.spore.daily"), rules, trigger_line(brief, "air-test-failed"))


#: The part of the room in which a guide hangs.
_AREAS: dict[str, Area] = {"bench": "packaging", "sterilizer": "sterilization", "storage": "storage"}


def _guide(brief: Brief, kind: CardKind, hangs: str, place: PostingLocation, blocks: tuple[Block, ...]) -> Card:
    return Card(
        id=kind,
        kind=kind,
        title=brief.words(f"card.guide.{kind}"),
        section=brief.words("card.section.room"),
        hangs=brief.words(f"card.hangs.{hangs}"),
        place=place,
        area=_AREAS[hangs],
        pairs=True,
        front=blocks,
    )
