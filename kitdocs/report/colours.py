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
from kitdocs.practice.numbers import plain
from kitdocs.report.telling import report_card, table

_MODULES = code_modules(4)
"""A code of version 4 holds the address of a page."""


def colours_card(brief: Brief, section: str) -> Card:
    return report_card("colours", "Colours, letters and codes", section, _colours(brief))


def _colours(brief: Brief) -> Iterator[Block]:
    yield said(
        f"Two colours are apart when their distance ΔE00 is at least {plain(APART)} for usual vision and for three "
        "kinds of colour blindness (CIEDE2000 after Machado 2009, severity 1). Colour is never the only cue: every "
        "chair has a name and a mark too."
    )
    chairs = brief.practice.chairs
    rows = []
    for id_, chair in chairs.items():
        others = {
            other: worst_distance(chair.colour.hex, of.colour.hex) for other, of in chairs.items() if other != id_
        }
        name = Cell(text=brief.chair(id_), detail=brief.colour(chair.colour), picture=chair_mark_of(brief, id_))
        if not others:
            rows.append((name, Cell(text="–"), Cell(text="–"), Cell(text="–")))
            continue
        closest = min(others, key=lambda other: others[other][0])
        least, vision = others[closest]
        other = f"{brief.colour(chairs[closest].colour)} ({brief.chair(closest)})"
        rows.append((name, Cell(text=other), Cell(text=f"{least:.1f}"), Cell(text=brief.words.say(eyes(vision)))))
    yield table(
        "Each chair and the one it is closest to", ("Chair", "Closest colour", "ΔE00", "To whom"), rows, numbers=(2,)
    )
    yield _posted(brief)


def _posted(brief: Brief) -> Facts:
    settings = brief.practice.settings
    read, scanned = settings.reading_distance, settings.scanning_distance
    letter = letter_height_mm(read)
    size = f"{plain(letter, 2)} mm, which is type of {type_size_pt(letter):.1f} pt"
    side = plain(code_side_mm(scanned, _MODULES))
    return Facts(
        title="Posted cards",
        facts=(
            Fact(label="Least letter height", value=f"{size}, read from {plain(read)} mm"),
            Fact(
                label="Least side of a code",
                value=f"{side} mm for {_MODULES} modules, scanned from {plain(scanned)} mm",
            ),
        ),
    )
