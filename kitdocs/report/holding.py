"""What holds what: sets in cassettes, cassettes in sheets, instruments in pouches."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Cell, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.planning.measures.pouch_fit import MOST_FILLED, TO_THE_SEAL_MM, fit_pouch
from kitdocs.planning.measures.wrap import sheets_for_cassettes
from kitdocs.practice.numbers import percent, plain
from kitdocs.report.telling import report_card, table


def holding_card(brief: Brief, section: str) -> Card:
    return report_card("wrap", "Cassettes, sheets and pouches", section, _holding(brief))


def _holding(brief: Brief) -> Iterator[Block]:
    yield _cassettes(brief)
    yield _sheets(brief)
    yield _pouches(brief)
    yield said(
        "A set fits when its longest piece is no longer than the inside, and the widths of its pieces and the gaps "
        f"between them fit the rails; thickness is not considered. A pouch keeps {plain(TO_THE_SEAL_MM)} mm from the "
        f"item to the seal and is filled to {percent(MOST_FILLED)} at the most (DIN 58953-7). The overlap of the sheet "
        "is the practice's to set: no published "
        "number exists."
    )


def _cassettes(brief: Brief) -> Block:
    practice = brief.practice
    rows = []
    for id_, of in practice.sets.items():
        fit = brief.plan.fits[id_]
        left = " + ".join(plain(room, 0) for room in fit.room_left_mm)
        rows.append(
            (
                Cell(
                    text=brief.set(id_),
                    detail=f"{len(of.contents)} pieces, {plain(_widths(brief, id_), 0)} mm wide together",
                ),
                brief.say(practice.cassettes[of.cassette].name),
                f"{left} mm" if left else "–",
                "the same"
                if fit.smallest == of.cassette
                else brief.say(practice.cassettes[fit.smallest].name)
                if fit.smallest
                else "none",
            )
        )
    return table(
        "Sets in their cassettes", ("Set", "Cassette", "Room left on each rail", "Smallest that holds it"), rows
    )


def _widths(brief: Brief, set_id: str) -> float:
    """The widths of a set's pieces, mm together."""
    return sum(brief.practice.instruments[i].width for i in brief.practice.sets[set_id].contents)


def _sheets(brief: Brief) -> Block:
    practice = brief.practice
    rows = []
    for cassette, choice in sheets_for_cassettes(practice).items():
        of = practice.cassettes[cassette]
        outside = " × ".join(plain(side) for side in (of.outside.length, of.outside.width, of.outside.height))
        rows.append(
            (
                Cell(text=brief.say(of.name), detail=f"{outside} mm outside"),
                f"{plain(choice.side_needed_mm, 0)} mm",
                brief.say(practice.room.sheets[choice.sheet].name) if choice.sheet else "none is large enough",
                f"{plain(choice.side_mm, 0)} mm" if choice.side_mm else "–",
            )
        )
    wrap = practice.room.wrap
    title = f"Sheets for the {wrap.fold} fold, {plain(wrap.overlap)} mm of overlap"
    return table(title, ("Cassette", "Side needed", "Smallest stocked sheet", "Its side"), rows, numbers=(1, 3))


def _pouches(brief: Brief) -> Block:
    sizes = brief.practice.room.pouch_sizes
    rows = []
    for id_ in brief.practice.pouches:
        fit = fit_pouch(brief.practice, id_)
        smaller = (
            "the same" if fit.smallest == fit.size else brief.say(sizes[fit.smallest].name) if fit.smallest else "none"
        )
        rows.append(
            (
                brief.pouch(id_),
                brief.say(sizes[fit.size].name),
                f"{plain(fit.length_needed_mm, 0)} of {plain(sizes[fit.size].length, 0)}",
                f"{plain(fit.width_needed_mm, 0)} of {plain(sizes[fit.size].width, 0)}",
                percent(fit.filled),
                smaller,
            )
        )
    head = ("Pouch", "Size", "Length, mm", "Width, mm", "Filled", "Smallest that would do")
    return table("Pouches", head, rows, numbers=(2, 3, 4))
