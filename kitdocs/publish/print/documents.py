"""PDFs of a handbook: they print at true size, can be read aloud, and are the same bytes every time."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from kitdocs.document.blocks import Code
from kitdocs.document.card import Card, Handbook
from kitdocs.publish.print.binder import binder
from kitdocs.publish.print.data import PrintData
from kitdocs.publish.print.labels import labels
from kitdocs.publish.print.rendering import Rendering

Holds = Callable[[Card], bool]

#: Which cards a document holds, by what print.yaml calls it.
HOLDS: Mapping[str, Holds] = {
    "refill_cards": lambda card: card.form == "wall",
    "pouch_lists": lambda card: card.kind == "pouch-list",
    "set_templates": lambda card: card.form == "template",
    "forms": lambda card: card.kind == "form",
    "poster": lambda card: card.form == "poster",
    "move": lambda card: card.form == "paper",
}


def refill_cards(rendering: Rendering) -> bytes:
    """Render the wall cards, several to a sheet with crop marks; backs register when it is turned on its long edge."""
    return rendering.render("refill-cards.typ", _data(rendering, "refill_cards"))


def pouch_lists(rendering: Rendering) -> bytes:
    """Render the sheets for the drawers, one per chair; printed on both sides, two chairs would share one."""
    return rendering.render_sheets("sheets.typ", _data(rendering, "pouch_lists", one_sided=True))


def set_templates(rendering: Rendering) -> bytes:
    """Render the cassettes at true size, one set after the other, for the packing table."""
    return rendering.render_sheets("sheets.typ", _data(rendering, "set_templates"))


def forms(rendering: Rendering) -> bytes:
    """Render the forms to be filled in by hand, a clean copy of each."""
    return rendering.render_sheets("sheets.typ", _data(rendering, "forms"))


def poster(rendering: Rendering) -> bytes:
    """Render the chair colours on a sheet that is read from across the room."""
    return rendering.render("poster.typ", _data(rendering, "poster", distance_mm=rendering.handbook.poster_from_mm))


def move(rendering: Rendering) -> bytes:
    """Render the papers of the move to sets: plan, lists, training, self-test, first week."""
    return rendering.render_sheets("sheets.typ", _data(rendering, "move"))


def sheets(handbook: Handbook, cards: Sequence[Card], *, title: str) -> bytes:
    """Render the given cards on full pages, as a document of its own."""
    rendering = Rendering(handbook)
    data = rendering.data()
    data.add(cards, title)
    return rendering.render_sheets("sheets.typ", data)


def _data(rendering: Rendering, document: str, **more: object) -> PrintData:
    """Return the data of a document, with the cards that it holds and the title that print.yaml has for it."""
    cards = [card for card in rendering.handbook.cards if HOLDS[document](card)]
    data = rendering.data()
    data.add(cards, rendering.handbook.words(f"print.{document}"), **more)
    return data


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """One PDF of a handbook: its file's name, the cards that it holds, and the function that renders it."""

    file: str
    holds: Holds
    render: Callable[[Rendering], bytes]


def codes_on(cards: Iterable[Card]) -> list[str]:
    """Return what the codes on some cards hold."""
    return [block.encoded for card in cards for block in card.blocks if isinstance(block, Code)]


#: Every PDF of a handbook, the one that takes longest first. The binder holds most cards that another holds, too.
DOCUMENTS: tuple[Document, ...] = (
    Document(file="binder.pdf", holds=lambda card: card.in_binder, render=binder),
    Document(file="refill-cards.pdf", holds=HOLDS["refill_cards"], render=refill_cards),
    Document(file="pouch-lists.pdf", holds=HOLDS["pouch_lists"], render=pouch_lists),
    Document(file="set-templates.pdf", holds=HOLDS["set_templates"], render=set_templates),
    Document(file="forms.pdf", holds=HOLDS["forms"], render=forms),
    Document(file="poster.pdf", holds=HOLDS["poster"], render=poster),
    Document(file="move.pdf", holds=HOLDS["move"], render=move),
    Document(file="labels.pdf", holds=lambda card: False, render=labels),
)
