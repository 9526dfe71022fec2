"""How a cassette is wrapped, in pictured steps."""

from __future__ import annotations

from kitdocs.drawings.wrap import envelope_fold_steps, parcel_fold_steps
from kitdocs.handbook.blocks import Step, Steps
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.pictures import drawn


def fold_steps(brief: Brief) -> Steps:
    """The practice's fold, step by step."""
    wrap = brief.practice.room.wrap
    pictures = envelope_fold_steps(wrap.strips) if wrap.fold == "envelope" else parcel_fold_steps(wrap.strips)
    strips = brief.words.count("card.fact.strips", wrap.strips)
    steps = tuple(
        Step(
            text=brief.words(f"card.fold.{wrap.fold}.{number}", strips=strips),
            picture=drawn(f"fold-{wrap.fold}-{number}-{wrap.strips}", picture),
        )
        for number, picture in enumerate(pictures, 1)
    )
    return Steps(title=brief.words("card.fold.title"), steps=steps)
