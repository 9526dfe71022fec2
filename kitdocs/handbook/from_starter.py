"""The mark beside figures that come from the starter's example, and not from the practice."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, said
from kitdocs.handbook.brief import Brief
from kitdocs.practice.kinds import PartOfTheStarter


def starter_mark(brief: Brief, *parts: PartOfTheStarter) -> Iterator[Block]:
    """Yield one line that names those of the parts that the practice never stated; nothing where it stated all."""
    unstated = [part for part in brief.practice.settings.from_starter if part in parts]
    if unstated:
        what = brief.listed(brief.words(f"card.from-starter.{part}") for part in unstated)
        yield said(brief.words("card.from-starter.line", what=what))
