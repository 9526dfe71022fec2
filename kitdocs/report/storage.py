"""How much shelf the finished packs need, and whether the drawers take the sheets."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Fact, Facts, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.planning.measures.storage import shelf_lengths
from kitdocs.practice.numbers import plain
from kitdocs.report.layout import report_card, table


def storage_card(brief: Brief, section: str) -> Card:
    """Return the part about shelves and drawers."""
    return report_card("storage", brief.words("report.storage.title"), section, _storage(brief))


def _storage(brief: Brief) -> Iterator[Block]:
    words, days, room = brief.words, brief.plan.days, brief.practice.room
    lengths = shelf_lengths(brief.practice, {**days.stock, **days.pouch_stock})
    needed = sum(length.length_mm for length in lengths)
    facts = [Fact(label=words("report.storage.needed"), value=_metres(needed))]
    if room.shelves:
        there = sum(shelf.length for shelf in room.shelves.values())
        key = "report.storage.left" if there >= needed else "report.storage.missing"
        value = words(key, there=_metres(there), rest=_metres(abs(there - needed)))
        facts.append(Fact(label=words("report.storage.there"), value=value))
    yield Facts(facts=tuple(facts))
    rows = [
        (
            brief.set(length.id) if length.id in brief.practice.sets else brief.pouch(length.id),
            str(length.packs),
            plain(length.thickness_mm),
            plain(length.length_mm, 0),
        )
        for length in lengths
    ]
    rows.append((words("report.together"), str(sum(length.packs for length in lengths)), "", plain(needed, 0)))
    head = [words(f"report.storage.head.{name}") for name in ("pack", "packs", "thick", "shelf")]
    yield table(words("report.storage.table"), head, rows, numbers=(1, 2, 3))
    if room.shelves:
        yield _shelves(brief)
    if room.drawers:
        yield _drawers(brief)
    yield said(words("report.storage.rule"))


def _metres(mm: float) -> str:
    return f"{mm / 1000:.2f} m"


def _shelves(brief: Brief) -> Block:
    words = brief.words
    rows = [
        (
            brief.say(shelf.name),
            *(brief.length(mm) for mm in (shelf.length, shelf.from_floor, shelf.from_ceiling)),
            words("report.storage.inside-wall")
            if shelf.from_outside_wall is None
            else brief.length(shelf.from_outside_wall),
        )
        for shelf in brief.practice.room.shelves.values()
    ]
    head = [words(f"report.storage.shelves-head.{name}") for name in ("shelf", "length", "floor", "ceiling", "wall")]
    return table(words("report.storage.shelves"), head, rows)


def _drawers(brief: Brief) -> Block:
    words = brief.words
    rows = [
        (brief.say(drawer.name), words(f"card.storage.holds.{drawer.holds}"), brief.size(drawer.width, drawer.depth))
        for drawer in brief.practice.room.drawers.values()
    ]
    head = [words(f"report.storage.drawers-head.{name}") for name in ("drawer", "holds", "size")]
    return table(words("report.storage.drawers"), head, rows)
