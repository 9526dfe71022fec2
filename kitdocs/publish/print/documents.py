"""PDFs of a handbook: they print at true size, can be read aloud, and are the same bytes every time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from kitdocs.document.card import Card, Handbook
from kitdocs.document.edition import edition_of
from kitdocs.publish.print.binder import binder
from kitdocs.publish.print.rendering import Rendering


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """One PDF of a handbook: its file's name, the cards that it holds, and the function that renders it."""

    file: str
    holds: Callable[[Card], bool]
    render: Callable[[Rendering], bytes]


def sheets(handbook: Handbook, cards: Sequence[Card], *, title: str) -> bytes:
    """Render the given cards on full pages, as a document of its own."""
    rendering = Rendering(handbook)
    data = rendering.data()
    data.add(cards, title)
    return rendering.render_sheets("sheets.typ", data)


def _document(name: str, holds: Callable[[Card], bool], template: str = "", **more: object) -> Document:
    """Return a document of some cards, on full pages or set by its own template; print.yaml has its title."""

    def render(rendering: Rendering) -> bytes:
        handbook, data = rendering.handbook, rendering.data()
        data.add([card for card in handbook.cards if holds(card)], handbook.words(f"print.{name}"), **more)
        return (
            rendering.render(template, rendering.fits.fit_walls(data))
            if template
            else rendering.render_sheets("sheets.typ", data)
        )

    return Document(file=f"{name.replace('_', '-')}.pdf", holds=holds, render=render)


def labels(rendering: Rendering) -> bytes:
    """Render all labels and tags, every kind on sheets of its own, to the millimetre on the stated grid."""
    handbook, data = rendering.handbook, rendering.data()
    data.add(
        (),
        handbook.words("labels.document"),
        sheets=[data.plain(sheet) for sheet in handbook.labels],
        said=dict(handbook.words.part("labels")),
    )
    return rendering.render("labels.typ", data)


def plan_report(rendering: Rendering) -> bytes:
    """Render the planning report, with its contents on the first page and a bookmark for every card."""
    report, data = rendering.handbook, rendering.data()
    edition = edition_of([card.edition for card in report.cards])
    data.add(report.cards, report.words("print.plan"), edition=edition)
    return rendering.render("plan.typ", rendering.fits.fit_report(data))


BINDER = Document(file="binder.pdf", holds=lambda card: card.in_binder, render=binder)
#: Several to a sheet with crop marks; backs register when the sheet is turned on its long edge.
REFILL_CARDS = _document("refill_cards", lambda card: card.form == "wall", "refill-cards.typ")
#: For every chair, then for the drawers, one per chair; printed on both sides, two chairs would share a sheet.
POUCH_LISTS = _document("pouch_lists", lambda card: card.kind in ("chair-side", "pouch-list"), one_sided=True)
SET_TEMPLATES = _document("set_templates", lambda card: card.form == "template")
FORMS = _document("forms", lambda card: card.kind == "form")
POSTER = _document("poster", lambda card: card.form == "poster", "poster.typ")
MOVE = _document("move", lambda card: card.form == "paper")
LABELS = Document(file="labels.pdf", holds=lambda card: False, render=labels)

#: Every PDF of a handbook, the one that takes longest first. The binder holds most cards that another holds, too.
DOCUMENTS = (BINDER, REFILL_CARDS, POUCH_LISTS, SET_TEMPLATES, FORMS, POSTER, MOVE, LABELS)
