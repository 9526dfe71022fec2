"""The handbook on paper: PDFs that print at true size, can be read aloud, and are the same bytes every time."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from kitdocs.document.card import Card, Handbook
from kitdocs.publish.print.binder import binder
from kitdocs.publish.print.data import PrintData
from kitdocs.publish.print.fits import with_fits
from kitdocs.publish.print.labels import labels
from kitdocs.publish.print.render_pdf import render_pdf

Holds = Callable[[Card], bool]

#: Which cards a document holds, by what print.yaml calls it.
_HOLDS: Mapping[str, Holds] = {
    "refill_cards": lambda card: card.form == "wall",
    "pouch_lists": lambda card: card.kind == "pouch-list",
    "set_templates": lambda card: card.form == "template",
    "forms": lambda card: card.kind == "form",
    "poster": lambda card: card.form == "poster",
    "move": lambda card: card.form == "paper",
}


def refill_cards(handbook: Handbook) -> bytes:
    """The wall cards, several to a sheet with crop marks; backs register when the sheet is turned on its long edge."""
    return render_pdf("refill-cards.typ", _data(handbook, "refill_cards"))


def pouch_lists(handbook: Handbook) -> bytes:
    """The sheets that lie in the drawers, one a chair; printed on both sides, two chairs would share one."""
    return render_pdf("sheets.typ", with_fits(_data(handbook, "pouch_lists", one_sided=True)))


def set_templates(handbook: Handbook) -> bytes:
    """The cassettes at true size, one set after the other, to lie at the packing bench."""
    return render_pdf("sheets.typ", with_fits(_data(handbook, "set_templates")))


def forms(handbook: Handbook) -> bytes:
    """The forms to be filled in by hand, a clean copy of each."""
    return render_pdf("sheets.typ", with_fits(_data(handbook, "forms")))


def poster(handbook: Handbook) -> bytes:
    """The chair colours on a sheet that is read from across the room."""
    return render_pdf("poster.typ", _data(handbook, "poster", distance_mm=handbook.poster_from_mm))


def move(handbook: Handbook) -> bytes:
    """The papers of the move to sets: plan, lists, training, self-test, first week."""
    return render_pdf("sheets.typ", with_fits(_data(handbook, "move")))


def sheets(handbook: Handbook, cards: Sequence[Card], *, title: str) -> bytes:
    """The given cards on full pages, as a document of its own."""
    data = PrintData(handbook)
    data.add(cards, title)
    return render_pdf("sheets.typ", with_fits(data))


def _data(handbook: Handbook, document: str, **more: object) -> PrintData:
    data = PrintData(handbook)
    cards = [card for card in handbook.cards if _HOLDS[document](card)]
    data.add(cards, handbook.words(f"print.{document}"), **more)
    return data


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """One PDF of a handbook: its file's name, which cards it holds, and what sets it."""

    file: str
    holds: Holds
    made: Callable[[Handbook], bytes]


#: Every PDF of a handbook, in the order in which they are made. The binder holds most cards that another holds, too.
DOCUMENTS: tuple[Document, ...] = (
    Document(file="binder.pdf", holds=lambda card: card.in_binder, made=binder),
    Document(file="refill-cards.pdf", holds=_HOLDS["refill_cards"], made=refill_cards),
    Document(file="pouch-lists.pdf", holds=_HOLDS["pouch_lists"], made=pouch_lists),
    Document(file="set-templates.pdf", holds=_HOLDS["set_templates"], made=set_templates),
    Document(file="forms.pdf", holds=_HOLDS["forms"], made=forms),
    Document(file="poster.pdf", holds=_HOLDS["poster"], made=poster),
    Document(file="move.pdf", holds=_HOLDS["move"], made=move),
    Document(file="labels.pdf", holds=lambda card: False, made=labels),
)
