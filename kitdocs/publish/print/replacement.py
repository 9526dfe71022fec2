"""Replacement sheets: the replacement list, and only the cards and leaves that must be replaced."""

from __future__ import annotations

import json
from collections.abc import Sequence
from itertools import pairwise

from kitdocs.document.card import Handbook
from kitdocs.document.history import Replacement
from kitdocs.publish.print.binder import Leaves, binder_leaves, front_matter, sheets_of, sides
from kitdocs.publish.print.data import PrintData, codes_on
from kitdocs.publish.print.finished import page_count
from kitdocs.publish.print.join import DocumentPart, joined
from kitdocs.publish.print.paper_use import PaperUse
from kitdocs.publish.print.print_hints import with_boxes
from kitdocs.publish.print.readback import check_codes
from kitdocs.publish.print.rendering import Rendering
from kitdocs.revisions.replacement_list import ReplacementLine, front_lines, replacement_list


def render_replacements(handbook: Handbook, replacements: Sequence[Replacement]) -> bytes:
    """Return one PDF, to be printed on both sides: the list, wall cards, other posted cards, the binder's leaves.

    A card that is posted and in the binder is printed twice. What is new on a card that is replaced has a change bar.
    Raises `PublishError` when it cannot be printed, or when a code in it cannot be read back.
    """
    rendering = Rendering(handbook)
    leaves = binder_leaves(rendering)
    cards = [handbook.card(each.card) for each in replacements if each.action != "take-out"]
    order = {card.id: number for number, card in enumerate(leaves.cards)}
    bound = sorted((card for card in cards if card.in_binder), key=lambda card: order[card.id])
    posted = [card for card in cards if card.in_binder and card.form != "wall" and card.place != "binder"]
    relisted = _relisted(handbook, leaves, replacements)
    front = _front(handbook, replacements, leaves, relisted)
    data = rendering.data({each.card: each.marked for each in replacements if each.action == "replace"})
    data.add(
        cards,
        handbook.words("swap.document"),
        bound=True,
        swap=_list(handbook, replacements, leaves, front, data),
        wall=[card.id for card in cards if card.form == "wall"],
        posters=[card.id for card in cards if card.form == "poster"],
        posted=[card.id for card in posted],
        with_contents=bool(front),
        dividers=relisted,
        bound_cards=[card.id for card in bound],
        **{**front_matter(data, leaves), "linked": False},
    )
    pdf = rendering.render("replacement.typ", rendering.fits.fit(rendering.fits.fit_walls(data)))
    parts = _page_parts(rendering, page_count(pdf), data)
    for name, pages in parts:
        if name == "wall":
            pdf = with_boxes(pdf, pages, data.wall_grid.use)
    labelled = joined([DocumentPart(pdf=pdf)], {}, _page_labels(handbook, leaves, parts), PaperUse(both_sides=True))
    check_codes(labelled, codes_on((*cards, *posted, *(card for card in bound if card.form == "wall"))))
    return labelled


def _list(
    handbook: Handbook,
    replacements: Sequence[Replacement],
    leaves: Leaves,
    front: Sequence[ReplacementLine],
    data: PrintData,
) -> object:
    words = handbook.words
    groups = replacement_list(handbook, replacements, leaves.labels, front)
    things = sum(len(group.lines) for group in groups)
    return {
        "title": words("swap.list"),
        "subtitle": words.count("swap.count", things),
        "groups": data.plain(groups),
    }


def _front(
    handbook: Handbook, replacements: Sequence[Replacement], leaves: Leaves, relisted: Sequence[int]
) -> tuple[ReplacementLine, ...]:
    """What to do with the sheets that have no label. A card that stays as it is stays in its section, too."""
    names = [name for name, _ in leaves.sections]
    new = {each.card for each in replacements if each.action != "take-out"}
    stay = [card.section for card in leaves.cards if card.id not in new]
    before = dict.fromkeys((*stay, *(each.old_section for each in replacements if _left(handbook, each))))
    return front_lines(handbook.words, tuple(before), names, [names[section] for section in relisted])


def _left(handbook: Handbook, each: Replacement) -> bool:
    """Whether a sheet is taken out of this binder, and not out of that of a language that is printed no more."""
    other_language = each.action == "take-out" and each.card in handbook.by_id
    return bool(each.sheets) and not other_language


def _relisted(handbook: Handbook, leaves: Leaves, replacements: Sequence[Replacement]) -> list[int]:
    """The sections whose list of cards is another one: a card came, went, has another name, place or label."""
    changed: set[str] = set()
    for each in replacements:
        old = {each.old_section} if _left(handbook, each) else set()
        new = {handbook.card(each.card).section} if each.action != "take-out" and each.card in leaves.labels else set()
        listed = each.old_title, each.old_hangs, each.sheets[:1]
        if old != new or (new and listed != (each.title, each.hangs, leaves.labels[each.card][:1])):
            changed |= old | new
    return [number for number, (name, _) in enumerate(leaves.sections) if name in changed]


def _page_parts(rendering: Rendering, pages: int, data: PrintData) -> list[tuple[str, range]]:
    """Return what the template calls its parts, and the pages of each; the first page is 0."""
    begun: list[tuple[str, int]] = json.loads(rendering.query("replacement.typ", "parts", data))
    return [(name, range(first - 1, end - 1)) for (name, first), (_, end) in pairwise([*begun, ("", pages + 1)])]


def _page_labels(handbook: Handbook, leaves: Leaves, parts: Sequence[tuple[str, range]]) -> list[str]:
    """Binder sheets by their label, everything else by its name and number."""
    labels: list[str] = []
    for part, pages in parts:
        names = _sheet_names(handbook, leaves, part, sheets_of(len(pages)))
        labels += [side for name in names for side in sides(handbook, name)][: len(pages)]
    return labels


def _sheet_names(handbook: Handbook, leaves: Leaves, part: str, sheets: int) -> Sequence[str]:
    kind, _, which = part.partition(":")
    if kind == "leaf":
        return leaves.labels[which]
    words = handbook.words
    if kind == "wall":
        return [words("swap.wall_label", sheet=number) for number in range(1, sheets + 1)]
    if kind == "divider":
        name = words("binder.divider_label", section=leaves.sections[int(which)][0])
    elif kind == "posted":
        name = handbook.card(which).title
    else:
        name = words({"swap": "swap.list", "contents": "print.contents", "poster": "print.poster"}[kind])
    return [name, *(f"{name} {number}" for number in range(2, sheets + 1))]
