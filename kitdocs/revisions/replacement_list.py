"""Replacement list: place by place, what to take out and what to put in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import get_args

from kitdocs.document.card import Handbook, PostingLocation, is_name
from kitdocs.document.catalog import MessageCatalog
from kitdocs.document.history import Replacement
from kitdocs.document.purpose import Words
from kitdocs.revisions.label_exchange import BETWEEN, LabelExchange, OnSheet, places_on_sheets, sheets_of_exchanged
from kitdocs.revisions.shared_leaves import LeafExchange

#: Most changes listed for one card; `kitdocs changes` lists all.
MOST_CHANGES = 3

#: Kinds of place of which there are several, or about which nothing more is known.
SEVERAL = frozenset({"drawer", "machine", "elsewhere"})

#: Where labels of each kind are stuck on: what goes with a pack is put on where packs are made.
_STUCK: Mapping[str, str] = MappingProxyType(
    {
        "chair-tag": "drawer",
        "cassette-mark": "bench",
        "end-label": "bench",
        "pouch-label": "bench",
        "place-label": "storage",
        "repair-tag": "bench",
    }
)

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
    handbook: Handbook,
    replacements: Sequence[Replacement],
    leaves: Sequence[LeafExchange],
    *,
    contents: ReplacementLine | None = None,
    labels: Sequence[LabelExchange] = (),
) -> tuple[ReplacementGroup, ...]:
    """Return the replacement list in the order of a walk through the room; the binder comes last.

    Labels stand behind the cards of the place where they are stuck on. `leaves` are those of the binder to exchange;
    `contents` is the line for the binder's contents, if there is one.
    """
    found: dict[str, list[ReplacementLine]] = {place: [] for place in (*get_args(PostingLocation)[:-1], ELSEWHERE)}
    for due in replacements:
        for place, line in _posted(handbook, due):
            found[place].append(line)
    printed = places_on_sheets(sheets_of_exchanged(handbook, labels))
    for each in labels:
        at = printed.get((each.kind, each.label)) if each.put else None
        found[_STUCK.get(each.kind, ELSEWHERE)].append(_label_line(handbook, each, at))
    bound = [contents] if contents else []
    bound += [_binder_line(handbook, exchange) for exchange in leaves]
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


def _binder_line(handbook: Handbook, exchange: LeafExchange) -> ReplacementLine:
    """The line for leaves that are exchanged as a whole: what is on them, and what changed on which card."""
    words, due = handbook.words, {each.card: each for each in exchange.due}
    old = [(due[id_].old_title if id_ in due else "") or handbook.card(id_).title for id_ in _stayed(exchange, due)]
    old += [each.old_title or each.title for each in exchange.due if each.action == "take-out"]
    new = [due[id_].title if id_ in due else handbook.card(id_).title for id_ in exchange.cards]
    alone = len(exchange.due) == 1
    edition = {each.old_edition for each in exchange.due} if alone and len(old) == 1 else set()
    return ReplacementLine(
        taken=_leaves(words, old, exchange.taken, *edition),
        put=_leaves(
            words, new, exchange.labels, *({each.new_edition for each in exchange.due} if len(new) == 1 else ())
        ),
        changes=tuple(dict.fromkeys(said for each in exchange.due for said in _said(handbook, each, exchange))),
    )


def _stayed(exchange: LeafExchange, due: Mapping[str, Replacement]) -> list[str]:
    """The cards that are, or were, in the binder before."""
    return [id_ for id_ in exchange.cards if id_ not in due or due[id_].action == "replace"]


def _leaves(words: MessageCatalog, titles: Sequence[str], labels: Sequence[str], *editions: str) -> ListedCard | None:
    said = [words("print.edition", edition=edition) for edition in editions if edition]
    return ListedCard(title=" + ".join(titles), more=_joined(_sheets(words, labels), *said)) if titles else None


def _said(handbook: Handbook, due: Replacement, exchange: LeafExchange) -> tuple[str, ...]:
    """What changed on one card; of one that is posted, too, that line says it."""
    words, card = handbook.words, handbook.by_id.get(due.card)
    if card and card.place != "binder":
        return (words("swap.as_posted"),)
    changes = _shortly(due.changes) or _because(words, due)
    several = len({*exchange.cards, *(each.card for each in exchange.due)}) > 1
    return tuple(words("swap.of_card", card=due.title, change=change) for change in changes) if several else changes


def _label_line(handbook: Handbook, each: LabelExchange, at: OnSheet | None) -> ReplacementLine:
    """The line for a label: code and name, what else is read on it, how many, and where those to put on are printed.

    What is thrown away of a pack's labels has no number. Where old and new are read alike, the line says that they
    look different.
    """
    words = handbook.words
    kind = label_title(words, each.kind)
    off = words.count("swap.labels_off", each.taken) if each.taken else words("swap.labels_left")
    on = _joined(words.count("swap.labels_on", each.put), _printed_at(words, at))
    taken = _label(each.old, words("swap.of_card", card=kind, change=off)) if each.old else None
    put = _label(each.new, words("swap.of_card", card=kind, change=on)) if each.put else None
    return ReplacementLine(taken=taken, put=put, changes=label_remarks(words, each))


def label_title(words: MessageCatalog, kind: str) -> str:
    """Return what labels of a kind are called; of one that this version does not know, the kind itself."""
    return words.part("labels").get(f"title.{kind}", kind)


def label_remarks(words: MessageCatalog, each: LabelExchange) -> tuple[str, ...]:
    """Return the sentences about an exchange of labels: where it moves, and what cannot be seen from old and new."""
    said: list[str] = []
    if each.action == "move":
        old, new = each.places
        said.append(words("swap.moves", old=old, new=new))
    if each.other_cassette:
        said.append(words("swap.other_cassette"))
    elif each.old == each.new:
        said.append(words("swap.label_looks"))
    old_parts, new_parts = each.old.split(BETWEEN), each.new.split(BETWEEN)
    if old_parts[:2] == new_parts[:2] and len(old_parts) == len(new_parts):
        said += [f"{old} → {new}" for old, new in zip(old_parts, new_parts, strict=True) if old != new]
    if each.kind == "chair-tag":
        said.append(words("labels.note.chair-tag"))
    return tuple(said)


def _label(text: str, how_many: str) -> ListedCard:
    """Return a label by its code and name; what else is read on it, and how many there are, on lines below."""
    parts = text.split(BETWEEN)
    return ListedCard(title=_joined(*parts[:2]), more="\n".join(filter(None, (_joined(*parts[2:]), how_many))))


def _printed_at(words: MessageCatalog, at: OnSheet | None) -> str:
    if at is None:
        return ""
    if at.sheet != at.last_sheet:
        return words("swap.label_from", sheet=at.sheet, first=at.place, last_sheet=at.last_sheet, last=at.last_place)
    return words.count(
        "swap.label_at", at.last_place - at.place + 1, sheet=at.sheet, first=at.place, last=at.last_place
    )


def contents_line(words: MessageCatalog, *, there: bool) -> ReplacementLine:
    """Return the line for the binder's contents. `there`: a binder was printed before."""
    contents = ListedCard(title=words("swap.contents_sheet"))
    return ReplacementLine(taken=contents if there else None, put=contents, changes=(words("swap.contents_changed"),))


def _sheets(words: MessageCatalog, labels: Sequence[str]) -> str:
    return words.count("swap.sheets", len(labels), labels=", ".join(labels)) if labels else ""


def _because(words: MessageCatalog, due: Replacement) -> tuple[str, ...]:
    said = {"add": "swap.added", "take-out": "swap.withdrawn"}
    return (words(said[due.action]),) if due.action in said else ()


def _shortly(changes: Sequence[str]) -> tuple[str, ...]:
    return tuple(changes) if len(changes) <= MOST_CHANGES else (*changes[:MOST_CHANGES], "…")


def _joined(*parts: str) -> str:
    return BETWEEN.join(part for part in parts if part)
