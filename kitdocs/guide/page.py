"""A card of the guide: a page of text."""

from __future__ import annotations

from collections.abc import Iterable

from kitdocs.document.blocks import Block
from kitdocs.document.card import Card


def guide_card(name: str, title: str, section: str, blocks: Iterable[Block]) -> Card:
    """Return a card of the guide; its page is ``pages/NAME.html``."""
    return Card(id=f"pages/{name}", kind="guide", form="page", title=title, section=section, front=tuple(blocks))
