"""A card for the end of the day, a sheet with it, and the figure that it quotes."""

from collections.abc import Iterator

from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import steps
from kitdocs.planning.day.run import BusyDays
from kitdocs.planning.figure import Figure
from kitdocs.practice.message import own_words
from kitdocs.practice.model import Practice
from kitdocs.publish.print.documents import Document, full_pages
from kitdocs.publish.print.rendering import Rendering

CARD = "own/closing"


def closing_card(brief: Brief) -> Card | None:
    """What the last person does; nothing in a language that it is not written in."""
    if brief.language != "en":
        return None
    told = {figure.id: figure.value for figure in brief.plan.figures}["closing.drawers"]
    return Card(
        id=CARD,
        kind="page",
        title="Closing the room",
        section="Our own cards",
        front=(steps("Last of all", ["Open the washer's door.", f"Look into all {told} drawers.", "Lights out."]),),
    )


def closing_figures(practice: Practice, days: BusyDays) -> Iterator[Figure]:
    """How many drawers are looked into."""
    drawers = sum(1 for chair in practice.chairs.values() if chair.drawer)
    yield Figure(
        id="closing.drawers",
        name=own_words("Drawers to look into"),
        value=drawers,
        unit="",
        why=own_words(f"chairs.yaml has {drawers} chairs whose drawers hold something"),
        section="own",
    )


def _sheet(rendering: Rendering) -> bytes:
    cards = [card for card in rendering.handbook.cards if card.id == CARD]
    return full_pages(rendering, cards or rendering.handbook.kept[:1], "Closing the room")


CLOSING = Document(file="closing.pdf", holds=lambda card: card.id == CARD, render=_sheet)
