"""The binder as a loose-leaf manual: cards that change together share sheets, and each sheet has a label that stays.

It is laid out in parts: what stands before the cards, then a few cards of a section at a time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from kitdocs.document.blocks import Band, Block, Caution, Facts, Illustration, Items
from kitdocs.document.card import Card, Handbook
from kitdocs.publish.print.data import PrintData, titles_of, well_set
from kitdocs.publish.print.paper_use import PaperUse
from kitdocs.publish.print.parts import CARDS_IN_PART, in_parts
from kitdocs.publish.print.rendering import Rendering
from kitdocs.revisions.loose_leaf import SheetLabels
from kitdocs.revisions.shared_leaves import SIDES, BoundCard, bound_cards, bundles, bundles_of, labels_of, leaves_of

AnyBlock = TypeVar("AnyBlock", bound=Block)


def binder(rendering: Rendering) -> bytes:
    """Render cover, contents and every card, a tab where a section begins, for a ring binder, on both sides."""
    from kitdocs.publish.print.finished import page_count
    from kitdocs.publish.print.join import DocumentPart, joined

    handbook, leaves = rendering.handbook, binder_leaves(rendering)
    rendering.fits.fit(leaves.data)  # every card is measured once, before the parts ask for theirs
    parts = [_before_cards(rendering, leaves), *_card_parts(rendering, leaves)]
    pdfs = rendering.render_parts("binder.typ", [rendering.fits.fit(part) for part in parts])
    labels = binder_page_labels(handbook, leaves, page_count(pdfs[0]))
    pages = [DocumentPart(pdf=pdf, lowered=_goes_on(part)) for pdf, part in zip(pdfs, parts, strict=True)]
    return rendering.run(joined, pages, titles_of(leaves.cards), labels, PaperUse(both_sides=True))


def _before_cards(rendering: Rendering, leaves: Leaves) -> PrintData:
    """What stands before all cards."""
    data = rendering.data()
    data.add(
        (), _title(data), bound=True, part=True, front=True, opens="", **{**front_matter(data, leaves), "leaves": {}}
    )
    return data


def _card_parts(rendering: Rendering, leaves: Leaves) -> Iterator[PrintData]:
    """Yield the cards of each section, few at a time."""
    ids = [card.id for card in leaves.cards]
    said = _feet_and_tabs(leaves, rendering.handbook)
    for name, cards in leaves.sections:
        for place, own in enumerate(in_parts(leaves.bundles(cards), CARDS_IN_PART // SIDES)):
            data = rendering.data()
            opens = well_set(name) if place == 0 else ""
            bound = [card for bundle in own for card in bundle]
            more = {"opens": opens, "leaves": {card.id: said[card.id] for card in bound}, "links": ids}
            data.add(bound, _title(data), bound=True, part=True, front=False, **more)
            yield data


def _goes_on(part: PrintData) -> bool:
    """Whether a part goes on with the section of the part before."""
    return not part.said["front"] and not part.said["opens"]


def _title(data: PrintData) -> str:
    return data.handbook.words("binder.title")


def binder_sheets(handbook: Handbook) -> SheetLabels:
    """Return the labels of every card's sheets in the binder, as it will be printed."""
    return binder_leaves(Rendering(handbook)).labels


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaves:
    """The cards in the order of the binder, and by card id where each of them is.

    `data` is what that was worked out from, the cards as Typst reads them.
    """

    cards: tuple[Card, ...]
    bound: Mapping[str, BoundCard]
    data: PrintData = field(repr=False, compare=False)

    @property
    def labels(self) -> SheetLabels:
        """The labels of each card's sheets, by id."""
        return {card: own.labels for card, own in self.bound.items()}

    @property
    def sections(self) -> list[tuple[str, list[Card]]]:
        """The cards by section: what goes on on another card's sheets is in that card's."""
        found: list[tuple[str, list[Card]]] = []
        for first, *others in self.bundles(self.cards):
            if not found or found[-1][0] != first.section:
                found.append((first.section, []))
            found[-1][1].extend((first, *others))
        return found

    def bundles(self, cards: Iterable[Card]) -> list[list[Card]]:
        """Return some cards, in the order of the binder, as those that share sheets."""
        own = {card.id: card for card in cards}
        return [[own[id_] for id_ in bundle] for bundle in bundles_of({id_: self.bound[id_] for id_ in own})]

    def tabbed(self, section: Sequence[Card]) -> Iterator[tuple[str, list[int]]]:
        """Yield the cards on the first sheet of a section, by id, each with the numbers of its pages there, from 1.

        The back of a sheet that is left empty is a page of the card before it.
        """
        for card in self.bundles(section)[0]:
            own = self.bound[card.id]
            if own.first < SIDES:
                yield card.id, list(range(1, SIDES - own.first + 1))


def binder_leaves(rendering: Rendering) -> Leaves:
    """Return the leaves of the binder as it will be printed."""
    handbook = rendering.handbook
    cards = {card.id: card for card in handbook.cards if card.in_binder}
    data = rendering.data()
    data.add([*cards.values()], "", bound=True)
    pages = rendering.fits.page_counts(data)
    shared = bundles([*cards.values()], pages, handbook.sheets)
    bound = bound_cards(shared, pages, handbook.sheets)
    return Leaves(cards=tuple(cards[card] for card in bound), bound=bound, data=data)


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
    """What cover and contents are made from, and what each card's foot says."""
    return {
        "cover": data.plain(cover(data.handbook)),
        "sections": [_section(data.handbook, leaves, name, cards) for name, cards in leaves.sections],
        "leaves": _feet_and_tabs(leaves, data.handbook),
        "linked": True,
    }


def _section(handbook: Handbook, leaves: Leaves, name: str, cards: Sequence[Card]) -> dict[str, object]:
    """A section as the contents list it."""
    listed = [
        {"id": card.id, "title": well_set(card.title), "sheet": begins(handbook, leaves.bound[card.id])}
        for card in cards
    ]
    return {"name": well_set(name), "cards": listed}


def _feet_and_tabs(leaves: Leaves, handbook: Handbook) -> dict[str, object]:
    """What the feet and tabs of all cards say of their sheets, by card id."""
    sections = leaves.sections
    tabs = {
        id_: {"name": well_set(name), "number": number, "of": len(sections), "pages": pages}
        for number, (name, section) in enumerate(sections)
        for id_, pages in leaves.tabbed(section)
    }
    return {
        card.id: {
            "labels": bound.labels,
            "pages": bound.pages,
            "first": bound.first % SIDES,
            "last": bound.last,
            "tab": tabs.get(card.id),
            "area_name": area_name(handbook, card),
        }
        for card, bound in zip(leaves.cards, leaves.bound.values(), strict=True)
    }


def begins(handbook: Handbook, card: BoundCard) -> str:
    """The label of the side on which a card begins."""
    front, back = sides(handbook, card.labels[0])
    return back if card.from_back else front


def area_name(handbook: Handbook, card: Card) -> str:
    """The area of the reprocessing room that a card is about, in words; empty where it is about none."""
    return handbook.words(f"card.area.{card.area}.short") if card.area else ""


def binder_page_labels(handbook: Handbook, leaves: Leaves, before: int) -> list[str]:
    """What the PDF calls its pages: ``4``, ``4 back``; cover and contents, which are `before` the cards, by name."""
    words = handbook.words
    labels = [*sides(handbook, words("binder.cover")), *_numbered(handbook, words("print.contents"), before - SIDES)]
    sheets = (label for bundle in bundles_of(leaves.bound) for label in labels_of(bundle, leaves.bound))
    return labels + [side for label in sheets for side in sides(handbook, label)]


def _numbered(handbook: Handbook, name: str, pages: int) -> Iterator[str]:
    """The labels of the pages of sheets that have a name, and from the second on a number."""
    for sheet in range(1, leaves_of(pages) + 1):
        yield from sides(handbook, name if sheet == 1 else f"{name} {sheet}")


def sides(handbook: Handbook, label: str) -> tuple[str, str]:
    """The labels of a sheet's two pages."""
    return label, handbook.words("binder.back_label", sheet=label)
