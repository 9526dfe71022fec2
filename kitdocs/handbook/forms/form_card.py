"""Parts that every form has: its rules in a few sentences, and its place in the binder's section of forms."""

from __future__ import annotations

from kitdocs.document.blocks import Block, Steps
from kitdocs.document.card import Card, PostingLocation
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import steps


def form_card(
    brief: Brief,
    name: str,
    words: str,
    blocks: tuple[Block, ...],
    *,
    hangs: str,
    place: PostingLocation,
    landscape: bool = False,
) -> Card:
    """Return the form ``forms/name``, whose sentences stand under ``forms.words``."""
    return Card(
        id=f"forms/{name}",
        kind="form",
        form="sheet",
        title=brief.words(f"forms.{words}.title"),
        subtitle=brief.words("forms.copy"),
        section=brief.words("forms.section"),
        hangs=brief.words(f"card.hangs.{hangs}"),
        place=place,
        front=blocks,
        landscape=landscape,
    )


def form_rules(brief: Brief, words: str, *texts: str) -> Steps:
    """Return how a form is filled in; what does not apply to the practice is empty and left out."""
    return steps(brief.words(f"forms.{words}.rules"), texts, numbered=False)
