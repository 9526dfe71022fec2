"""The card at the packing table: what happens to a dull or damaged instrument, and which spare takes its place."""

from __future__ import annotations

from kitdocs.document.blocks import Block, Cell, Matrix
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.spares import goes_into, spares, spares_place
from kitdocs.handbook.layout import table
from kitdocs.handbook.pictures import tip_of
from kitdocs.handbook.rules.quote import rule_steps, rule_text, trigger_caution, trigger_steps, trigger_title
from kitdocs.handbook.rules.triggers import TRIGGERS

_HERE = ("damaged-by-card",)


def repair(brief: Brief) -> Card:
    """Return how a damaged instrument is cleaned, tagged and replaced, so that the set is whole."""
    words, where = brief.words, spares_place(brief)
    # The step that sends to this card is left out on it.
    parts = [step for step in TRIGGERS["broken"].steps if step != _HERE]
    broken = rule_steps(brief, trigger_title(brief, "broken"), parts)
    steps = trigger_steps(brief, "damaged")
    none = trigger_caution(brief, "no-spare")
    kept = _kept(brief, where)
    front: tuple[Block, ...] = (broken, steps, none, kept) if kept else (broken, steps, none)
    return Card(
        id="repair",
        kind="repair",
        title=words("card.guide.repair"),
        subtitle=rule_text(brief, "damaged-order"),
        section=words("card.section.room"),
        hangs=words("card.hangs.bench"),
        place="bench",
        area="packaging",
        pairs=True,
        front=front,
    )


def _kept(brief: Brief, where: str) -> Matrix | None:
    words = brief.words
    rows = [
        (
            Cell(text=brief.instrument(instrument), picture=tip_of(brief, instrument)),
            str(count),
            goes_into(brief, instrument),
            _away(brief, instrument),
        )
        for instrument, count in spares(brief).items()
    ]
    head = words.each("repair", "instrument", "kept", "goes-into", "away")
    return table(words("repair.spares", where=where), head, rows, numbers=(1,)) if rows else None


def _away(brief: Brief, instrument: str) -> str:
    repair = brief.practice.instruments[instrument].repair
    return brief.words.count("card.days", round(repair.days_away)) if repair else "–"
