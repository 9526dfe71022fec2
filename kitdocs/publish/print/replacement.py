"""Replacement sheets: the replacement list, and only the cards and leaves that must be replaced."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from kitdocs.document.card import Handbook
from kitdocs.document.history import Replacement
from kitdocs.publish.print.binder import Leaves, binder_leaves, front_matter, sides
from kitdocs.publish.print.data import PrintData, codes_on
from kitdocs.publish.print.documents import labels
from kitdocs.publish.print.finished import page_count
from kitdocs.publish.print.join import DocumentPart, joined
from kitdocs.publish.print.paper_use import PaperUse
from kitdocs.publish.print.print_hints import with_boxes
from kitdocs.publish.print.readback import check_codes
from kitdocs.publish.print.rendering import Rendering
from kitdocs.revisions.label_exchange import LabelExchange, sheets_of_exchanged
from kitdocs.revisions.replacement_list import ReplacementLine, contents_line, replacement_list
from kitdocs.revisions.shared_leaves import LeafExchange, bundles_of, labels_of, leaf_exchanges, leaves_of


def render_labels(handbook: Handbook, exchanges: Sequence[LabelExchange]) -> bytes:
    """Return the sheets of the labels that are put on, to be printed on one side; empty where none is."""
    due = sheets_of_exchanged(handbook, exchanges)
    return labels(Rendering(replace(handbook, labels=due))) if due else b""


def render_replacements(
    handbook: Handbook, replacements: Sequence[Replacement], exchanged: Sequence[LabelExchange] = ()
) -> bytes:
    """Return one PDF, to be printed on both sides: the list, wall cards, other posted cards, the binder's leaves.

    `exchanged` labels are on the list. A card that is posted and in the binder is printed twice. What is new on a
    card that is replaced has a change bar. Raises `PublishError` when it cannot be printed, or when a code in it
    cannot be read back.
    """
    rendering = Rendering(handbook)
    leaves = binder_leaves(rendering)
    cards = [handbook.card(each.card) for each in replacements if each.action != "take-out"]
    exchanges = leaf_exchanges(leaves.bound, replacements, handbook.sheets)
    bound = [handbook.card(id_) for exchange in exchanges for id_ in exchange.cards]
    beside = [card for card in bound if card not in cards]
    posted = [card for card in cards if card.in_binder and card.form != "wall" and card.place != "binder"]
    contents = _contents(handbook, leaves, replacements)
    data = rendering.data({each.card: each.marked for each in replacements if each.action == "replace"})
    data.add(
        [*cards, *beside],
        handbook.words("swap.document"),
        bound=True,
        swap=_list(handbook, replacements, exchanges, contents, exchanged, data),
        wall=[card.id for card in cards if card.form == "wall"],
        posters=[card.id for card in cards if card.form == "poster"],
        posted=[card.id for card in posted],
        with_contents=contents is not None,
        bundles=[exchange.cards for exchange in exchanges if exchange.cards],
        **{**front_matter(data, leaves), "linked": False},
    )
    pdf = rendering.render("replacement.typ", rendering.fits.fit(rendering.fits.fit_walls(data)))
    parts = _page_parts(rendering, page_count(pdf), data)
    for name, pages in parts:
        if name == "wall":
            pdf = with_boxes(pdf, pages, data.wall_grid.use)
    labelled = joined([DocumentPart(pdf=pdf)], {}, _page_labels(handbook, leaves, parts), PaperUse(both_sides=True))
    check_codes(labelled, codes_on((*cards, *beside, *posted, *(card for card in cards if card.form == "wall"))))
    return labelled


def _list(
    handbook: Handbook,
    replacements: Sequence[Replacement],
    exchanges: Sequence[LeafExchange],
    contents: ReplacementLine | None,
    exchanged: Sequence[LabelExchange],
    data: PrintData,
) -> object:
    words = handbook.words
    groups = replacement_list(handbook, replacements, exchanges, contents=contents, labels=exchanged)
    things = sum(len(group.lines) for group in groups)
    return {
        "title": words("swap.list"),
        "subtitle": words.count("swap.count", things),
        "how": " ".join(
            [words("swap.how"), *([words("swap.how_labels")] if any(each.put for each in exchanged) else [])]
        ),
        "groups": data.plain(groups),
    }


def _contents(handbook: Handbook, leaves: Leaves, replacements: Sequence[Replacement]) -> ReplacementLine | None:
    """What to do with the contents, where a card came or went, or has another name or sheet."""
    new = {each.card for each in replacements if each.action != "take-out"}
    left = [each for each in replacements if _left(handbook, each)]
    there = bool(left) or any(card.id not in new for card in leaves.cards)
    listed = {id_: (handbook.card(id_).title, card.labels[0]) for id_, card in leaves.bound.items()}
    before = {each.card: (each.old_title, each.sheets[0]) for each in left}
    changed = any(before.get(id_) != listed.get(id_) for id_ in {*before, *new & listed.keys()})
    return contents_line(handbook.words, there=there) if changed else None


def _left(handbook: Handbook, each: Replacement) -> bool:
    """Whether a sheet is taken out of this binder, and not out of that of a language that is printed no more."""
    other_language = each.action == "take-out" and each.card in handbook.by_id
    return bool(each.sheets) and not other_language


def _page_parts(rendering: Rendering, pages: int, data: PrintData) -> list[tuple[str, range]]:
    """Return what the template calls its parts, and the pages of each; the first page is 0."""
    begun: list[tuple[str, int]] = json.loads(rendering.query("replacement.typ", "parts", data))
    return [(name, range(first - 1, end - 1)) for (name, first), (_, end) in pairwise([*begun, ("", pages + 1)])]


def _page_labels(handbook: Handbook, leaves: Leaves, parts: Sequence[tuple[str, range]]) -> list[str]:
    """Binder sheets by their label, everything else by its name and number."""
    labels: list[str] = []
    for part, pages in parts:
        names = _sheet_names(handbook, leaves, part, leaves_of(len(pages)))
        labels += [side for name in names for side in sides(handbook, name)][: len(pages)]
    return labels


def _sheet_names(handbook: Handbook, leaves: Leaves, part: str, sheets: int) -> Sequence[str]:
    kind, _, which = part.partition(":")
    if kind == "leaf":
        (bundle,) = (own for own in bundles_of(leaves.bound) if own[0] == which)
        return labels_of(bundle, leaves.bound)
    words = handbook.words
    if kind == "wall":
        return [words("swap.wall_label", sheet=number) for number in range(1, sheets + 1)]
    if kind == "posted":
        name = handbook.card(which).title
    else:
        name = words({"swap": "swap.list", "contents": "print.contents", "poster": "print.poster"}[kind])
    return [name, *(f"{name} {number}" for number in range(2, sheets + 1))]
