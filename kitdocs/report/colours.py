"""Whether the chairs' colours stay apart for every kind of colour vision, and how large letters and codes are."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Cell, Fact, Facts, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.pictures import chair_mark_of
from kitdocs.planning.colours.check import eyes
from kitdocs.planning.colours.distance import worst_distance
from kitdocs.planning.colours.palette import APART
from kitdocs.planning.legibility import code_modules, code_side_mm, letter_height_mm, type_size_pt
from kitdocs.practice.message import Fixed
from kitdocs.practice.numbers import plain
from kitdocs.report.layout import NOTHING, report_card, table

_MODULES = code_modules(4)
"""A code of version 4 holds the address of a page."""


def colours_card(brief: Brief, section: str) -> Card:
    """Return the part about colours, letters and codes."""
    return report_card("colours", brief.words("report.colours.title"), section, _colours(brief))


def _colours(brief: Brief) -> Iterator[Block]:
    words = brief.words
    yield said(words("report.colours.intro", apart=APART))
    rows = [(_chair(brief, id_), *_closest(brief, id_)) for id_ in brief.practice.chairs]
    head = [words(f"report.colours.head.{name}") for name in ("chair", "closest", "distance", "eyes")]
    yield table(words("report.colours.table"), head, rows, numbers=(2,))
    yield _posted(brief)


def _chair(brief: Brief, id_: str) -> Cell:
    chair = brief.practice.chairs[id_]
    return Cell(text=brief.chair(id_), detail=brief.colour(chair.colour), picture=chair_mark_of(brief, id_))


def _closest(brief: Brief, id_: str) -> tuple[str, str, str]:
    """Return the colour closest to a chair's, how far it is, and to whom."""
    words, chairs = brief.words, brief.practice.chairs
    distances = {
        other: worst_distance(chairs[id_].colour.hex, chair.colour.hex)
        for other, chair in chairs.items()
        if other != id_
    }
    if not distances:
        return NOTHING, NOTHING, NOTHING
    closest = min(distances, key=lambda other: distances[other][0])
    least, vision = distances[closest]
    named = words("report.colours.of-chair", colour=brief.colour(chairs[closest].colour), chair=brief.chair(closest))
    return named, f"{least:.1f}", words.say(eyes(vision))


def _posted(brief: Brief) -> Facts:
    words, settings = brief.words, brief.practice.settings
    letter = letter_height_mm(settings.reading_distance)
    height = words(
        "report.colours.letter-value",
        letter=plain(letter, 2),
        size=Fixed(type_size_pt(letter)),
        distance=plain(settings.reading_distance),
    )
    side = words(
        "report.colours.code-value",
        side=plain(code_side_mm(settings.scanning_distance, _MODULES)),
        modules=_MODULES,
        distance=plain(settings.scanning_distance),
    )
    return Facts(
        title=words("report.colours.posted"),
        facts=(
            Fact(label=words("report.colours.letter"), value=height),
            Fact(label=words("report.colours.code"), value=side),
        ),
    )
