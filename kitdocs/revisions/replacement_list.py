"""Replacement list: place by place, what to take out and what to put in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import get_args

from kitdocs.document.card import Card, Handbook, PostingLocation, is_name
from kitdocs.document.catalog import MessageCatalog
from kitdocs.document.history import Replacement
from kitdocs.document.purpose import Words
from kitdocs.revisions.loose_leaf import SheetLabel, SheetLabels, sheet_label

#: Most changes listed for one card; `kitdocs changes` lists all.
MOST_CHANGES = 3

#: Kinds of place of which there are several, or about which nothing more is known.
SEVERAL = frozenset({"drawer", "machine", "elsewhere"})

#: The place of a withdrawn card where no card is posted now.
ELSEWHERE = "elsewhere"


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedCard:
    """A printed card or leaf: its title, and the edition and labels that identify it."""

    title: Words[str]
    more: Words[str] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReplacementLine:
    """One step: take out `taken`, put in `put`. One of the two may be missing."""

    taken: ListedCard | None = None
    put: ListedCard | None = None
    changes: Words[tuple[str, ...]] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ReplacementGroup:
    """The steps at one kind of place, in the handbook's language."""

    place: Words[str]
    lines: tuple[ReplacementLine, ...]


def replacement_list(
    handbook: Handbook, replacements: Sequence[Replacement], labels: SheetLabels, front: Sequence[ReplacementLine] = ()
) -> tuple[ReplacementGroup, ...]:
    """Return the replacement list in the order of a walk through the room; the binder comes last.

    `labels` are those of the binder as it will be printed, `front` the lines for its leaves without a label.
    """
    found: dict[str, list[ReplacementLine]] = {place: [] for place in (*get_args(PostingLocation)[:-1], ELSEWHERE)}
    for due in replacements:
        for place, line in _posted(handbook, due):
            found[place].append(line)
    bound = [*front]
    cards = {card.id: card for card in handbook.cards}
    inside = [due for due in replacements if due.sheets or (due.card in cards and cards[due.card].in_binder)]
    inside.sort(key=lambda due: _first_sheet(due, labels))
    bound += [_binder_line(handbook.words, due, labels, cards) for due in inside]
    groups = {**found, "binder": bound}
    return tuple(
        ReplacementGroup(place=handbook.words(f"swap.place.{place}"), lines=tuple(lines))
        for place, lines in groups.items()
        if lines
    )


def _posted(handbook: Handbook, due: Replacement) -> Iterator[tuple[str, ReplacementLine]]:
    """Yield the steps outside the binder; a card that moves comes out at its old place."""
    words = handbook.words
    old_hangs = due.old_hangs or due.hangs
    new = _place(handbook, due.hangs, ELSEWHERE)
    # Where no card is posted now, the old one was at the same kind of place as the new one.
    old = _place(handbook, old_hangs, ELSEWHERE if due.action == "take-out" else new)
    changes = _shortly(due.changes)
    subtitle, unknown = due.old_subtitle if due.old_title else due.subtitle, words("swap.no_edition")
    taken = _taken(words, due, *_where(subtitle, old, old_hangs), unknown=unknown) if old != "binder" else None
    put = _put(words, due, *_where(due.subtitle, new, due.hangs)) if new != "binder" else None
    if taken and put and old == new:
        yield new, ReplacementLine(taken=taken, put=put, changes=changes)
        return
    if taken:
        yield old, ReplacementLine(taken=taken, changes=changes or _because(words, due))
    if put:
        yield new, ReplacementLine(put=put, changes=changes or _because(words, due))


def _place(handbook: Handbook, hangs: str, otherwise: str) -> str:
    """Return the kind of place that these words mean: that of a card with the same words."""
    if not hangs:
        return "binder"
    return next((card.place for card in handbook.cards if card.hangs == hangs), otherwise)


def _taken(words: MessageCatalog, due: Replacement, *where: str, unknown: str = "") -> ListedCard | None:
    """Return the old card; `unknown` is said instead of an edition that nobody recorded."""
    edition = words("print.edition", edition=due.old_edition) if due.old_edition else unknown
    card = ListedCard(title=due.old_title or due.title, more=_joined(*where, edition))
    return card if due.action != "add" else None


def _put(words: MessageCatalog, due: Replacement, *where: str) -> ListedCard | None:
    card = ListedCard(title=due.title, more=_joined(*where, words("print.edition", edition=due.new_edition)))
    return card if due.action != "take-out" else None


def _where(subtitle: str, place: str, hangs: str) -> tuple[str, ...]:
    """Return the colour or code by which a card is found, and its drawer or machine where there are several."""
    short = subtitle if is_name(subtitle) else ""
    return (short, hangs if place in SEVERAL else "")


def _binder_line(
    words: MessageCatalog, due: Replacement, labels: SheetLabels, cards: Mapping[str, Card]
) -> ReplacementLine:
    taken = _taken(words, due, _sheets(words, due.sheets))
    put = _put(words, due, _sheets(words, labels.get(due.card, ())))
    alone = due.card not in cards or cards[due.card].place == "binder"
    changes = (_shortly(due.changes) or _because(words, due)) if alone else (words("swap.as_posted"),)
    return ReplacementLine(taken=taken, put=put, changes=changes)


def front_lines(
    words: MessageCatalog, before: Sequence[str], now: Sequence[str], relisted: Sequence[str]
) -> tuple[ReplacementLine, ...]:
    """Return the lines for the binder's contents and for dividers that come, go or have a changed list of cards.

    `before` and `now` are the names of the binder's sections; `relisted` are those whose list has changed.
    """
    gone = [name for name in before if name not in now]
    if not (relisted or gone):
        return ()
    contents = ListedCard(title=words("swap.contents_sheet"))
    changed = (words("swap.contents_changed"),)
    lines = [ReplacementLine(taken=contents if before else None, put=contents, changes=changed)]
    for name in relisted:
        divider = ListedCard(title=words("swap.divider", section=name))
        old = name in before
        why = changed if old else (words("swap.divider_added"),)
        lines.append(ReplacementLine(taken=divider if old else None, put=divider, changes=why))
    withdrawn = (words("swap.withdrawn"),)
    lines += [
        ReplacementLine(taken=ListedCard(title=words("swap.divider", section=name)), changes=withdrawn) for name in gone
    ]
    return tuple(lines)


def _sheets(words: MessageCatalog, labels: Sequence[str]) -> str:
    return words.count("swap.sheets", len(labels), labels=", ".join(labels)) if labels else ""


def _because(words: MessageCatalog, due: Replacement) -> tuple[str, ...]:
    said = {"add": "swap.added", "take-out": "swap.withdrawn"}
    return (words(said[due.action]),) if due.action in said else ()


def _shortly(changes: Sequence[str]) -> tuple[str, ...]:
    return tuple(changes) if len(changes) <= MOST_CHANGES else (*changes[:MOST_CHANGES], "…")


def _joined(*parts: str) -> str:
    return " · ".join(part for part in parts if part)


def _first_sheet(due: Replacement, labels: SheetLabels) -> SheetLabel:
    return sheet_label((due.sheets or labels.get(due.card, ()) or ("0",))[0])
