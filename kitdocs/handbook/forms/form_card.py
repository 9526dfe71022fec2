"""What every form has: its rules in a few sentences, and its place in the binder's section of forms."""

from __future__ import annotations

from kitdocs.document.blocks import Block, Step, Steps
from kitdocs.document.card import Card, PostingLocation
from kitdocs.handbook.brief import Brief


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
    """The form ``forms/name``, whose sentences stand under ``forms.words``."""
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


def form_rules(brief: Brief, words: str, count: int, **values: str) -> Steps:
    """How a form is filled in, in `count` sentences."""
    return Steps(
        title=brief.words(f"forms.{words}.rules"),
        steps=tuple(Step(text=brief.words(f"forms.{words}.rule.{n}", **values)) for n in range(1, count + 1)),
        numbered=False,
    )
