"""Replacement sheets: the list of what to exchange, and only the sheets that must be exchanged."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from itertools import pairwise

from kitdocs.handbook.binder.loose_leaf import SheetLabel
from kitdocs.handbook.blocks import Code
from kitdocs.handbook.card import Card, Handbook
from kitdocs.handbook.cards.poster import READ_FROM_MM
from kitdocs.handbook.changes.swap_list import swap_list
from kitdocs.handbook.earlier import Exchange
from kitdocs.publish.print.binder import Leaves, binder_leaves, front_matter, sheets_of, sides
from kitdocs.publish.print.data import PrintData
from kitdocs.publish.print.fits import with_fits
from kitdocs.publish.print.page_labels import page_count, with_page_labels
from kitdocs.publish.print.press import asked, pressed
from kitdocs.publish.print.readback import check_codes


def replacement(handbook: Handbook, exchanges: Sequence[Exchange]) -> bytes:
    """One PDF for `exchanges`, to be printed on both sides: the list, wall cards, what is posted, the binder's sheets.

    What hangs and is in the binder too is printed twice. On a card that is replaced, what is new has a bar beside it.
    Raises `PublishError` when it cannot be printed, or when a code in it cannot be read back.
    """
    leaves = binder_leaves(handbook)
    cards = [handbook.card(each.card) for each in exchanges if each.action != "take-out"]
    order = {card.id: number for number, card in enumerate(leaves.cards)}
    bound = sorted((card for card in cards if card.in_binder), key=lambda card: order[card.id])
    posted = [card for card in cards if card.in_binder and card.form != "wall" and card.place != "binder"]
    relisted = _relisted(leaves, exchanges)
    data = PrintData(handbook, marked={each.card: each.marked for each in exchanges if each.action == "replace"})
    data.add(
        cards,
        handbook.words("swap.document"),
        bound=True,
        distance_mm=READ_FROM_MM,
        swap=_list(handbook, exchanges, leaves, relisted, data),
        wall=[card.id for card in cards if card.form == "wall"],
        posters=[card.id for card in cards if card.form == "poster"],
        posted=[card.id for card in posted],
        with_contents=bool(relisted),
        dividers=relisted,
        bound_cards=[card.id for card in bound],
        **{**front_matter(data, leaves), "linked": False},
    )
    pdf = pressed("replacement.typ", with_fits(data))
    labelled = with_page_labels(pdf, _page_labels(handbook, leaves, page_count(pdf), data))
    check_codes(labelled, _payloads((*cards, *posted, *(card for card in bound if card.form == "wall"))))
    return labelled


def _list(
    handbook: Handbook, exchanges: Sequence[Exchange], leaves: Leaves, relisted: Sequence[int], data: PrintData
) -> object:
    words = handbook.words
    names = [words("swap.divider", section=leaves.sections[section][0]) for section in relisted]
    groups = swap_list(handbook, exchanges, leaves.labels, [words("swap.contents_sheet"), *names] if names else ())
    things = sum(len(group.lines) for group in groups)
    return {
        "title": words("swap.list"),
        "subtitle": words.count("swap.count", things),
        "groups": data.plain(groups),
    }


def _relisted(leaves: Leaves, exchanges: Sequence[Exchange]) -> list[int]:
    """The sections whose list of cards is another one: a card came, went, has another name or another place."""
    changed = set()
    for each in exchanges:
        if each.action == "take-out" and each.sheets:
            changed.add(_section_at(leaves, each.sheets[0]))
        elif each.card in leaves.labels and (
            each.action == "add" or each.old_title != each.title or each.old_hangs != each.hangs
        ):
            changed.add(_section_of(leaves, each.card))
    return sorted(changed)


def _section_of(leaves: Leaves, card: str) -> int:
    return next(n for n, (_, cards) in enumerate(leaves.sections) if any(own.id == card for own in cards))


def _section_at(leaves: Leaves, label: str) -> int:
    """The section in which a sheet that is no more had its place."""
    firsts = [SheetLabel(leaves.labels[cards[0].id][0]) for _, cards in leaves.sections]
    return max((n for n, first in enumerate(firsts) if first <= SheetLabel(label)), default=0)


def _page_labels(handbook: Handbook, leaves: Leaves, pages: int, data: PrintData) -> list[str]:
    """Binder sheets by their label, everything else by its name and number."""
    parts: list[tuple[str, int]] = json.loads(asked("replacement.typ", "parts", data))
    labels: list[str] = []
    for (part, begins), (_, ends) in pairwise([*parts, ("", pages + 1)]):
        names = _sheet_names(handbook, leaves, part, sheets_of(ends - begins))
        labels += [side for name in names for side in sides(handbook, name)][: ends - begins]
    return labels


def _sheet_names(handbook: Handbook, leaves: Leaves, part: str, sheets: int) -> Sequence[str]:
    kind, _, which = part.partition(":")
    if kind == "leaf":
        return leaves.labels[which]
    words = handbook.words
    if kind == "wall":
        return [words("swap.wall_label", sheet=number) for number in range(1, sheets + 1)]
    name = {
        "swap": lambda: words("swap.list"),
        "contents": lambda: words("print.contents"),
        "divider": lambda: words("binder.divider_label", section=leaves.sections[int(which)][0]),
        "poster": lambda: words("print.poster"),
        "posted": lambda: handbook.card(which).title,
    }[kind]()
    return [name, *(f"{name} {number}" for number in range(2, sheets + 1))]


def _payloads(cards: Sequence[Card]) -> Iterator[str]:
    return (block.payload for card in cards for block in card.blocks if isinstance(block, Code))
