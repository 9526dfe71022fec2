"""Report on fit: sets in cassettes, cassettes in sheets, instruments in pouches."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kitdocs.document.blocks import Block, Cell, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.planning.measures.pouch_fit import MOST_FILLED, TO_THE_SEAL_MM, fit_pouch
from kitdocs.planning.measures.wrap import sheets_for_cassettes
from kitdocs.practice.message import Share
from kitdocs.practice.model import Cassette
from kitdocs.practice.numbers import percent, plain
from kitdocs.practice.room import PouchSize
from kitdocs.report.layout import NOTHING, report_card, table


def holding_card(brief: Brief, section: str) -> Card:
    """Return the part about cassettes, sheets and pouches."""
    return report_card("wrap", brief.words("report.wrap.title"), section, _holding(brief))


def _holding(brief: Brief) -> Iterator[Block]:
    yield _cassettes(brief)
    yield _sheets(brief)
    yield _pouches(brief)
    yield said(brief.words("report.wrap.rule", seal=TO_THE_SEAL_MM, filled=Share(MOST_FILLED)))


def _cassettes(brief: Brief) -> Block:
    words, practice = brief.words, brief.practice
    rows = []
    for id_, kit in practice.sets.items():
        fit = brief.plan.fits[id_]
        left = " + ".join(plain(room, 0) for room in fit.room_left_mm)
        width = plain(sum(practice.lying_width(i) for i in kit.contents), 0)
        rows.append(
            (
                Cell(text=brief.set(id_), detail=words.count("report.wrap.pieces", len(kit.contents), width=width)),
                brief.say(practice.cassettes[kit.cassette].name),
                f"{left} mm" if left else NOTHING,
                _smallest(brief, practice.cassettes, fit.smallest, kit.cassette),
            )
        )
    head = [words(f"report.wrap.sets-head.{name}") for name in ("set", "cassette", "left", "smallest")]
    return table(words("report.wrap.sets"), head, rows)


def _smallest(brief: Brief, kinds: Mapping[str, Cassette | PouchSize], smallest: str | None, taken: str) -> str:
    """Return the smallest that would do, in words where it is the one taken."""
    if smallest == taken:
        return brief.words("report.wrap.same")
    return brief.say(kinds[smallest].name) if smallest else brief.words("report.none")


def _sheets(brief: Brief) -> Block:
    words, practice = brief.words, brief.practice
    rows = []
    for id_, choice in sheets_for_cassettes(practice).items():
        cassette = practice.cassettes[id_]
        outside = cassette.outside
        size = " × ".join(plain(side) for side in (outside.length, outside.width, outside.height))
        sheet = practice.room.sheets[choice.sheet].name if choice.sheet else None
        rows.append(
            (
                Cell(text=brief.say(cassette.name), detail=words("report.wrap.outside", size=size)),
                f"{plain(choice.side_needed_mm, 0)} mm",
                brief.say(sheet) if sheet else words("report.none"),
                f"{plain(choice.side_mm, 0)} mm" if choice.side_mm else NOTHING,
            )
        )
    title = words(f"report.wrap.{practice.room.wrap.fold}", overlap=plain(practice.room.wrap.overlap))
    head = [words(f"report.wrap.sheets-head.{name}") for name in ("cassette", "needed", "sheet", "side")]
    return table(title, head, rows, numbers=(1, 3))


def _pouches(brief: Brief) -> Block:
    words, sizes = brief.words, brief.practice.room.pouch_sizes

    def compared(needed: float, there: float) -> str:
        return words("report.wrap.of", needed=plain(needed, 0), there=plain(there, 0))

    rows = []
    for id_ in brief.practice.pouches:
        fit = fit_pouch(brief.practice, id_)
        size = sizes[fit.size]
        rows.append(
            (
                brief.pouch(id_),
                brief.say(size.name),
                compared(fit.length_needed_mm, size.length),
                compared(fit.width_needed_mm, size.width),
                percent(fit.filled),
                _smallest(brief, sizes, fit.smallest, fit.size),
            )
        )
    heads = ("pouch", "size", "length", "width", "filled", "smallest")
    return table(
        words("report.wrap.pouches"),
        [words(f"report.wrap.pouches-head.{name}") for name in heads],
        rows,
        numbers=(2, 3, 4),
    )
