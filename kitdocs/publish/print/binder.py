"""The binder as a loose-leaf manual: every card begins a sheet of its own, and each sheet has a label that stays.

It is laid out in parts: what stands before the cards, then a few cards of a section at a time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from typing import TypeVar

from kitdocs.document.blocks import Band, Block, Caution, Facts, Illustration, Items
from kitdocs.document.card import Card, Handbook
from kitdocs.publish.print.data import PrintData, titles_of, well_set
from kitdocs.publish.print.paper_use import PaperUse
from kitdocs.publish.print.parts import in_parts
from kitdocs.publish.print.rendering import Rendering
from kitdocs.revisions.loose_leaf import SheetLabels, binder_order, sheet_labels

#: A sheet has a front and a back.
SIDES = 2

AnyBlock = TypeVar("AnyBlock", bound=Block)


def binder(rendering: Rendering) -> bytes:
    """Render cover, contents, and every card behind the divider of its section, for a ring binder, on both sides."""
    from kitdocs.publish.print.finished import page_count
    from kitdocs.publish.print.join import DocumentPart, joined

    handbook, leaves = rendering.handbook, binder_leaves(rendering)
    rendering.fits.fit(leaves.data)  # every card is measured once, before the parts ask for theirs
    parts = [_before_cards(rendering, leaves), *_card_parts(rendering, leaves)]
    pdfs = rendering.render_parts("binder.typ", [rendering.fits.fit(part) for part in parts])
    first = [page_count(pdf) for part, pdf in zip(parts, pdfs, strict=True) if not _goes_on(part)]
    labels = binder_page_labels(handbook, leaves, first)
    pages = [DocumentPart(pdf=pdf, lowered=_goes_on(part)) for pdf, part in zip(pdfs, parts, strict=True)]
    return rendering.run(joined, pages, titles_of(leaves.cards), labels, PaperUse(both_sides=True))


def _before_cards(rendering: Rendering, leaves: Leaves) -> PrintData:
    """What stands before all cards."""
    data = rendering.data()
    matter = front_matter(data, leaves)
    data.add((), _title(data), bound=True, part=True, front=True, divider=None, **{**matter, "leaves": {}})
    return data


def _card_parts(rendering: Rendering, leaves: Leaves) -> Iterator[PrintData]:
    """Yield the cards of each section, few at a time; those that are first in it have its divider before them."""
    ids = [card.id for card in leaves.cards]
    for number, (name, cards) in enumerate(leaves.sections):
        for place, own in enumerate(in_parts(cards)):
            data = rendering.data()
            more: dict[str, object] = {"divider": None, "leaves": _bound(data.handbook, leaves, own), "links": ids}
            if place == 0:
                more |= {
                    **_dividers(data, leaves),
                    "divider": number,
                    "sections": [_section(data.handbook, leaves, name, cards)],
                }
            data.add(own, _title(data), bound=True, part=True, front=False, **more)
            yield data


def _goes_on(part: PrintData) -> bool:
    """Whether a part goes on with the section of the part before."""
    return not part.said["front"] and part.said["divider"] is None


def _title(data: PrintData) -> str:
    return data.handbook.words("binder.title")


def binder_sheets(handbook: Handbook) -> SheetLabels:
    """Return the labels of every card's sheets in the binder, as it will be printed."""
    return binder_leaves(Rendering(handbook)).labels


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaves:
    """The cards in the order of the binder. By card id: the labels of its sheets, and how many pages it has.

    `data` is what that was worked out from, the cards as Typst reads them.
    """

    cards: tuple[Card, ...]
    labels: SheetLabels
    pages: Mapping[str, int]
    data: PrintData = field(repr=False, compare=False)

    @property
    def sections(self) -> list[tuple[str, list[Card]]]:
        """The cards by section; each section has a divider."""
        return [(name, list(cards)) for name, cards in groupby(self.cards, key=lambda card: card.section)]


def binder_leaves(rendering: Rendering) -> Leaves:
    """Return the leaves of the binder as it will be printed."""
    handbook = rendering.handbook
    bound = [card for card in handbook.cards if card.in_binder]
    data = rendering.data()
    data.add(bound, "", bound=True)
    pages = rendering.fits.page_counts(data)
    labels = sheet_labels([(card.id, sheets_of(pages[card.id])) for card in bound], handbook.sheets)
    by_id = {card.id: card for card in bound}
    ordered = tuple(by_id[card] for card in binder_order(labels))
    return Leaves(cards=ordered, labels=labels, pages=pages, data=data)


def sheets_of(pages: int) -> int:
    """How many sheets of paper so many pages take, printed on both sides."""
    return -(-pages // SIDES)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """The cover, taken from the sheet for the first day; each part may be missing.

    The way through the room, the chairs' colours, whom to ask, whose word counts.
    """

    way: Illustration | None = None
    chairs: Items | None = None
    ask: Facts | None = None
    caution: Caution | None = None
    proof: tuple[Band, ...] = ()
    """The chairs' colours, in the order of the chairs."""


def cover(handbook: Handbook) -> Cover:
    """The cover of a handbook. One without a first day has a plain cover."""
    blocks = next((card.blocks for card in handbook.cards if card.kind == "first-day"), ())
    return Cover(
        way=_only(blocks, Illustration),
        chairs=_only(blocks, Items),
        ask=_only(blocks, Facts),
        caution=_only(blocks[::-1], Caution),
        proof=colour_bands(handbook),
    )


def colour_bands(handbook: Handbook) -> tuple[Band, ...]:
    """The bands of the first chair of each colour, in their order, as the poster has them."""
    blocks = next((card.blocks for card in handbook.cards if card.form == "poster"), ())
    first: dict[str, Band] = {}
    for block in blocks:
        if isinstance(block, Band):
            first.setdefault(block.colour, block)
    return tuple(first.values())


def _only(blocks: tuple[Block, ...], kind: type[AnyBlock]) -> AnyBlock | None:
    return next((block for block in blocks if isinstance(block, kind)), None)


def front_matter(data: PrintData, leaves: Leaves) -> dict[str, object]:
    """What cover, contents and dividers are made from, and what each card's foot says."""
    return {
        "cover": data.plain(cover(data.handbook)),
        "sections": [_section(data.handbook, leaves, name, cards) for name, cards in leaves.sections],
        "leaves": _bound(data.handbook, leaves, leaves.cards),
        **_dividers(data, leaves),
    }


def _dividers(data: PrintData, leaves: Leaves) -> dict[str, object]:
    """What all dividers have."""
    return {"linked": True, "tabs": len(leaves.sections), "way": data.plain(cover(data.handbook).way)}


def _section(handbook: Handbook, leaves: Leaves, name: str, cards: Sequence[Card]) -> dict[str, object]:
    """A section as contents and its divider list it."""
    listed = [_listed(handbook, leaves, card) for card in cards]
    return {"name": well_set(name), "cards": listed, "varied": _varied(cards)}


def _bound(handbook: Handbook, leaves: Leaves, cards: Iterable[Card]) -> dict[str, object]:
    """What the feet of some cards say of their sheets, by card id."""
    return {
        card.id: {
            "labels": leaves.labels[card.id],
            "pages": leaves.pages[card.id],
            "area_name": area_name(handbook, card),
        }
        for card in cards
    }


def _listed(handbook: Handbook, leaves: Leaves, card: Card) -> dict[str, str]:
    """A card as contents and dividers list it, with the label of its first sheet."""
    title, hangs, area = well_set(card.title), well_set(card.hangs), area_name(handbook, card)
    return {"id": card.id, "title": title, "hangs": hangs, "area_name": area, "sheet": leaves.labels[card.id][0]}


def area_name(handbook: Handbook, card: Card) -> str:
    """The area of the reprocessing room that a card is about, in words; empty where it is about none."""
    return handbook.words(f"card.area.{card.area}.short") if card.area else ""


def _varied(cards: Sequence[Card]) -> bool:
    """Whether the cards of a section belong to more than one place."""
    return len({card.hangs for card in cards}) > 1


def binder_page_labels(handbook: Handbook, leaves: Leaves, first_parts: Sequence[int]) -> list[str]:
    """What the PDF calls its pages: ``4``, ``4 back``; cover, contents and dividers by name.

    Counted are the pages of the part before all cards, then of the first part of each section, which has its divider.
    """
    words = handbook.words
    front, *of_sections = first_parts
    labels = [*sides(handbook, words("binder.cover")), *_numbered(handbook, words("print.contents"), front - SIDES)]
    for (name, cards), pages in zip(leaves.sections, of_sections, strict=True):
        divider = pages - len(card_page_labels(handbook, leaves, in_parts(cards)[0]))
        labels += _numbered(handbook, words("binder.divider_label", section=name), divider)
        labels += card_page_labels(handbook, leaves, cards)
    return labels


def _numbered(handbook: Handbook, name: str, pages: int) -> Iterator[str]:
    """The labels of the pages of sheets that have a name, and from the second on a number."""
    for sheet in range(1, sheets_of(pages) + 1):
        yield from sides(handbook, name if sheet == 1 else f"{name} {sheet}")


def card_page_labels(handbook: Handbook, leaves: Leaves, cards: Iterable[Card]) -> list[str]:
    """The labels of the fronts and backs of some cards, one after the other."""
    return [side for card in cards for label in leaves.labels[card.id] for side in sides(handbook, label)]


def sides(handbook: Handbook, label: str) -> tuple[str, str]:
    """The labels of a sheet's two pages."""
    return label, handbook.words("binder.back_label", sheet=label)
