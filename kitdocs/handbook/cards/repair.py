"""The card at the receiving side: what happens to a dull or damaged instrument, and which spare takes its place."""

from __future__ import annotations

from kitdocs.document.blocks import Block, Caution, Cell, Matrix, Step, Steps
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.spares import goes_into, spares, spares_place
from kitdocs.handbook.pictures import tip_of


def repair(brief: Brief) -> Card:
    """A dull or damaged instrument: out, tagged, replaced, so that the set is whole. Common practice, no source."""
    words, where = brief.words, spares_place(brief)
    steps = Steps(
        title=words("repair.steps"),
        steps=tuple(Step(text=words(f"repair.step.{number}", where=where)) for number in (1, 2, 3, 4, 5, 6)),
    )
    none = Caution(title=words("repair.none.title"), text=words("repair.none.text"))
    kept = _kept(brief, where)
    front: tuple[Block, ...] = (steps, none, kept) if kept else (steps, none)
    return Card(
        id="repair",
        kind="repair",
        form="sheet",
        title=words("card.guide.repair"),
        section=words("card.section.room"),
        hangs=words("card.hangs.receiving"),
        place="bench",
        area="receiving",
        front=front,
    )


def _kept(brief: Brief, where: str) -> Matrix | None:
    words = brief.words
    rows = tuple(
        (
            Cell(text=brief.instrument(instrument), picture=tip_of(brief, instrument)),
            Cell(text=str(count)),
            Cell(text=goes_into(brief, instrument)),
            Cell(text=_away(brief, instrument)),
        )
        for instrument, count in spares(brief).items()
    )
    head = tuple(words(f"repair.{name}") for name in ("instrument", "kept", "goes-into", "away"))
    return Matrix(title=words("repair.spares", where=where), head=head, rows=rows, numbers=(1,)) if rows else None


def _away(brief: Brief, instrument: str) -> str:
    repair = brief.practice.instruments[instrument].repair
    return brief.words.count("card.days", round(repair.days_away)) if repair else "–"
