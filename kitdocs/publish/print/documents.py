"""PDFs of a handbook: they print at true size, can be read aloud, and are the same bytes every time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from kitdocs.document.card import Card, Handbook
from kitdocs.document.edition import edition_of
from kitdocs.extensions import extensions
from kitdocs.publish.print.binder import binder, colour_bands, sides
from kitdocs.publish.print.data import PrintData
from kitdocs.publish.print.paper_use import ONE_SIDED, PaperUse
from kitdocs.publish.print.parts import WallSheets, in_parts, wall_sheets
from kitdocs.publish.print.rendering import Rendering


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """One PDF of a handbook: its file's name, the cards that it holds, and the function that renders it."""

    file: str
    holds: Callable[[Card], bool]
    render: Callable[[Rendering], bytes]


#: Renders some cards under a title; more that the template is to know may follow.
Layout: TypeAlias = Callable[..., bytes]


def sheets(handbook: Handbook, cards: Sequence[Card], *, title: str) -> bytes:
    """Render the given cards on full pages, as a document of its own."""
    return full_pages(Rendering(handbook), cards, title)


def full_pages(rendering: Rendering, cards: Sequence[Card], title: str, **more: object) -> bytes:
    """Render the given cards on full pages, as a document under this title."""
    links = [card.id for card in cards]
    every = rendering.data()
    every.add(cards, title)
    rendering.fits.fit(every)  # every card is measured once, before the parts ask for theirs

    def part_of(own: Sequence[Card]) -> PrintData:
        data = rendering.data()
        data.add(own, title, part=True, links=links, **more)
        return rendering.fits.fit(data)

    pdfs = rendering.render_parts("sheets.typ", [part_of(own) for own in in_parts(cards)])
    return rendering.joined(pdfs, cards, ONE_SIDED)


def _wall_sheets(rendering: Rendering, cards: Sequence[Card], title: str) -> bytes:
    """Several to a sheet with crop marks; backs register when the sheet is turned on its long edge."""
    data = rendering.data()
    data.add(cards, title)

    def part_of(own: WallSheets) -> PrintData:
        part = rendering.data()
        proof = data.plain(colour_bands(rendering.handbook)) if own.before == 0 else []
        place = {"before": own.before, "count": own.count, "total": own.total, "skipped": own.skipped}
        part.add(own.cards, title, sheets=place, proof=proof)
        return rendering.fits.fit_walls(part)

    parts = list(wall_sheets(cards, rendering.fits.walls(data)))
    pdfs = rendering.render_parts("refill-cards.typ", [part_of(own) for own in parts])
    labels = [side for sheet in range(1, parts[-1].total + 1) for side in sides(rendering.handbook, str(sheet))]
    return rendering.joined(pdfs, cards, data.wall_grid.use, labels)


def _poster(rendering: Rendering, cards: Sequence[Card], title: str) -> bytes:
    data = rendering.data()
    data.add(cards, title)
    return rendering.render("poster.typ", data, ONE_SIDED)


def _document(name: str, holds: Callable[[Card], bool], layout: Layout = full_pages, **more: object) -> Document:
    """Return a document of some cards; print.yaml has its title."""

    def render(rendering: Rendering) -> bytes:
        handbook = rendering.handbook
        cards = [card for card in handbook.cards if holds(card)]
        return layout(rendering, cards, handbook.words(f"print.{name}"), **more)

    return Document(file=f"{name.replace('_', '-')}.pdf", holds=holds, render=render)


def labels(rendering: Rendering) -> bytes:
    """Render all labels and tags, every kind on sheets of its own, to the millimetre on the stated grid."""
    handbook, data = rendering.handbook, rendering.data()
    sheets = handbook.labels
    if rendering.trial:  # what is printed many times fits, or does not, in one place
        sheets = tuple(replace(sheet, labels=tuple(dict.fromkeys(sheet.labels))) for sheet in sheets)
    data.add(
        (),
        handbook.words("labels.document"),
        sheets=[data.plain(sheet) for sheet in sheets],
        said=dict(handbook.words.part("labels")),
    )
    return rendering.render("labels.typ", data, ONE_SIDED)


def plan_report(rendering: Rendering) -> bytes:
    """Render the planning report."""
    return read_through(rendering, rendering.handbook.words("print.plan"))


def read_through(rendering: Rendering, title: str) -> bytes:
    """Render all cards one after the other, with their contents on the first page and a bookmark for each."""
    report, data = rendering.handbook, rendering.data()
    edition = edition_of([card.edition for card in report.cards])
    data.add(report.cards, title, edition=edition)
    return rendering.render("plan.typ", rendering.fits.fit_report(data), PaperUse(both_sides=True))


BINDER = Document(file="binder.pdf", holds=lambda card: card.in_binder, render=binder)
REFILL_CARDS = _document("refill_cards", lambda card: card.form == "wall", _wall_sheets)
#: For every chair, then for the drawers, one per chair; printed on both sides, two chairs would share a sheet.
POUCH_LISTS = _document("pouch_lists", lambda card: card.kind in ("chair-side", "pouch-list"), one_sided=True)
SET_TEMPLATES = _document("set_templates", lambda card: card.form == "template")
FORMS = _document("forms", lambda card: card.kind == "form")
#: To be posted in the room and at every chair.
MISHAPS = _document("mishaps", lambda card: card.kind == "mishaps")
POSTER = _document("poster", lambda card: card.form == "poster", _poster)
MOVE = _document("move", lambda card: card.form == "paper")
LABELS = Document(file="labels.pdf", holds=lambda card: False, render=labels)

#: Every PDF of a handbook, the one that takes longest first. The binder holds most cards that another holds, too.
DOCUMENTS = (BINDER, REFILL_CARDS, POUCH_LISTS, SET_TEMPLATES, FORMS, MISHAPS, POSTER, MOVE, LABELS)


def every_document() -> tuple[Document, ...]:
    """Return every PDF of a handbook, those that other packages add included."""
    return (*DOCUMENTS, *(added for _, added in extensions("documents")))
