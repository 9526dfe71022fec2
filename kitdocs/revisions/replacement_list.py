"""The list for whoever exchanges cards: place by place, what to take out and what to put in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import get_args

from kitdocs.document.card import Card, Handbook, PostingLocation, is_name
from kitdocs.document.catalog import MessageCatalog
from kitdocs.document.history import Replacement
from kitdocs.document.purpose import Words
from kitdocs.revisions.loose_leaf import SheetLabel, SheetLabels

#: So many sentences on what changed; who wants them all asks for the changes.
MOST_CHANGES = 3

#: Kinds of place of which there are several, or of which nothing more is known.
SEVERAL = frozenset({"drawer", "machine", "elsewhere"})

#: Where a card that is no more hangs, when no card hangs there now.
ELSEWHERE = "elsewhere"


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A printed card or sheet: its title, and what tells it from an earlier one."""

    title: Words[str]
    more: Words[str] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReplacementLine:
    """One thing to do. `taken` is what comes out, `put` what goes in; one of the two may be missing."""

    taken: Piece | None = None
    put: Piece | None = None
    changes: Words[tuple[str, ...]] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ReplacementGroup:
    """What is to be done at one kind of place, in the words of the handbook's language."""

    place: Words[str]
    lines: tuple[ReplacementLine, ...]


def replacement_list(
    handbook: Handbook, exchanges: Sequence[Replacement], labels: SheetLabels, front: Sequence[ReplacementLine] = ()
) -> tuple[ReplacementGroup, ...]:
    """What to exchange, in the order in which one meets the places; the binder comes last.

    `labels` are those of the binder as it will be printed, `front` the lines for its sheets without a label.
    """
    found: dict[str, list[ReplacementLine]] = {place: [] for place in (*get_args(PostingLocation)[:-1], ELSEWHERE)}
    for exchange in exchanges:
        for place, line in _posted(handbook, exchange):
            found[place].append(line)
    bound = [*front]
    cards = {card.id: card for card in handbook.cards}
    inside = [each for each in exchanges if each.sheets or (each.card in cards and cards[each.card].in_binder)]
    inside.sort(key=lambda each: _first_sheet(each, labels))
    bound += [_binder_line(handbook.words, each, labels, cards) for each in inside]
    groups = {**found, "binder": bound}
    return tuple(
        ReplacementGroup(place=handbook.words(f"swap.place.{place}"), lines=tuple(lines))
        for place, lines in groups.items()
        if lines
    )


def _posted(handbook: Handbook, exchange: Replacement) -> Iterator[tuple[str, ReplacementLine]]:
    """What is to be done outside the binder; where a card moves to another place, it comes out at the old one."""
    words = handbook.words
    old_hangs = exchange.old_hangs or exchange.hangs
    new = _place(handbook, exchange.hangs, ELSEWHERE)
    # Where nothing else is said to hang, a card hangs at the same kind of place as now.
    old = _place(handbook, old_hangs, ELSEWHERE if exchange.action == "take-out" else new)
    changes = _shortly(exchange.changes)
    taken = _old(words, exchange, old, old_hangs) if exchange.action != "add" and old != "binder" else None
    put = _new(words, exchange, new) if exchange.action != "take-out" and new != "binder" else None
    if taken and put and old == new:
        yield new, ReplacementLine(taken=taken, put=put, changes=changes)
        return
    if taken:
        yield old, ReplacementLine(taken=taken, changes=changes or _because(words, exchange))
    if put:
        yield new, ReplacementLine(put=put, changes=changes or _because(words, exchange))


def _place(handbook: Handbook, hangs: str, otherwise: str) -> str:
    """The kind of place that those words mean: where a card hangs now that says the same."""
    if not hangs:
        return "binder"
    return next((card.place for card in handbook.cards if card.hangs == hangs), otherwise)


def _old(words: MessageCatalog, exchange: Replacement, place: str, hangs: str) -> Piece:
    edition = words("print.edition", edition=exchange.old_edition) if exchange.old_edition else words("swap.no_edition")
    title = exchange.old_title or exchange.title
    subtitle = exchange.old_subtitle if exchange.old_title else exchange.subtitle
    return Piece(title=title, more=_joined(*_where(subtitle, place, hangs), edition))


def _new(words: MessageCatalog, exchange: Replacement, place: str) -> Piece:
    edition = words("print.edition", edition=exchange.new_edition)
    return Piece(title=exchange.title, more=_joined(*_where(exchange.subtitle, place, exchange.hangs), edition))


def _where(subtitle: str, place: str, hangs: str) -> tuple[str, ...]:
    """A colour or a code by which a card is found, and the drawer or machine, where the place is one of several."""
    short = subtitle if is_name(subtitle) else ""
    return (short, hangs if place in SEVERAL else "")


def _binder_line(
    words: MessageCatalog, exchange: Replacement, labels: SheetLabels, cards: Mapping[str, Card]
) -> ReplacementLine:
    taken = put = None
    if exchange.action != "add":
        edition = words("print.edition", edition=exchange.old_edition) if exchange.old_edition else ""
        more = _joined(_sheets(words, exchange.sheets), edition)
        taken = Piece(title=exchange.old_title or exchange.title, more=more)
    if exchange.action != "take-out":
        edition = words("print.edition", edition=exchange.new_edition)
        put = Piece(title=exchange.title, more=_joined(_sheets(words, labels[exchange.card]), edition))
    alone = exchange.card not in cards or cards[exchange.card].place == "binder"
    changes = (_shortly(exchange.changes) or _because(words, exchange)) if alone else (words("swap.as_posted"),)
    return ReplacementLine(taken=taken, put=put, changes=changes)


def front_lines(
    words: MessageCatalog, before: Sequence[str], now: Sequence[str], relisted: Sequence[str]
) -> tuple[ReplacementLine, ...]:
    """The contents of the binder and the dividers whose list of cards is another one, and dividers that come or go.

    `before` and `now` are the names of the binder's sections, `relisted` those of now that have another list.
    """
    gone = [name for name in before if name not in now]
    if not (relisted or gone):
        return ()
    contents = Piece(title=words("swap.contents_sheet"))
    changed = (words("swap.contents_changed"),)
    lines = [ReplacementLine(taken=contents if before else None, put=contents, changes=changed)]
    for name in relisted:
        divider = Piece(title=words("swap.divider", section=name))
        old = name in before
        why = changed if old else (words("swap.divider_added"),)
        lines.append(ReplacementLine(taken=divider if old else None, put=divider, changes=why))
    withdrawn = (words("swap.withdrawn"),)
    lines += [
        ReplacementLine(taken=Piece(title=words("swap.divider", section=name)), changes=withdrawn) for name in gone
    ]
    return tuple(lines)


def _sheets(words: MessageCatalog, labels: Sequence[str]) -> str:
    return words.count("swap.sheets", len(labels), labels=", ".join(labels)) if labels else ""


def _because(words: MessageCatalog, exchange: Replacement) -> tuple[str, ...]:
    said = {"add": "swap.added", "take-out": "swap.withdrawn"}
    return (words(said[exchange.action]),) if exchange.action in said else ()


def _shortly(changes: Sequence[str]) -> tuple[str, ...]:
    return tuple(changes) if len(changes) <= MOST_CHANGES else (*changes[:MOST_CHANGES], "…")


def _joined(*parts: str) -> str:
    return " · ".join(part for part in parts if part)


def _first_sheet(exchange: Replacement, labels: SheetLabels) -> SheetLabel:
    return SheetLabel((exchange.sheets or labels.get(exchange.card, ()) or ("0",))[0])
