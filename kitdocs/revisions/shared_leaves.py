"""Cards that share leaves: the pages of a bundle follow each other, front and back, on as few leaves as hold them.

A card that is the `back_of` another one goes on on its leaves. What would leave a back empty and begins with a card
that may `pair` takes such a back of what is before it in its section. What was printed stays: two that have leaves of
their own never move together, and two that share one stay together.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import TypeAlias

from kitdocs.document.card import Card
from kitdocs.document.history import Replacement
from kitdocs.revisions.loose_leaf import SheetLabel, SheetLabels, binder_order, known_labels, sheet_label, sheet_labels

#: Ids of cards that share leaves, in the order of their pages.
Bundle: TypeAlias = tuple[str, ...]

#: A leaf has a front and a back.
SIDES = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class BoundCard:
    """Where a card is in the binder: the labels of the leaves that it is on, and how many pages it has.

    `first` is the number of its first page among those of its bundle, from 0: an odd one is a back. `last`: nothing
    follows it on its last leaf.
    """

    labels: tuple[str, ...]
    pages: int
    first: int = 0
    last: bool = True

    @property
    def from_back(self) -> bool:
        return self.first % SIDES == 1


def bundles(cards: Sequence[Card], pages: Mapping[str, int], recorded: SheetLabels) -> list[Bundle]:
    """Return which cards share leaves. `pages` are those of each card, by id; `recorded` the labels it was given."""
    found: dict[str, list[Card]] = {}
    leader: dict[str, str] = {}
    for card in cards:
        first = leader.get(card.back_of, card.id)
        leader[card.id] = first
        found.setdefault(first, []).append(card)
    for first, second in _pairs([*found.values()], pages, recorded):
        found[first].extend(found.pop(second))
    return [tuple(card.id for card in bundle) for bundle in found.values()]


def _pairs(
    bundled: Sequence[Sequence[Card]], pages: Mapping[str, int], recorded: SheetLabels
) -> Iterator[tuple[str, str]]:
    """Yield the first cards of the two bundles of each pair: first those that share a leaf already."""
    own = {cards[0].id: cards for cards in bundled}
    labels = {id_: {*known_labels([*chain(*(recorded.get(card.id, ()) for card in own[id_]))])} for id_ in own}
    odd = {id_ for id_, cards in own.items() if sum(pages[card.id] for card in cards) % SIDES}

    def together(first: str, second: str) -> bool:
        return bool(labels[first] & labels[second])

    def has_room(first: str, second: str) -> bool:
        return {first, second} <= odd and not (labels[first] and labels[second])

    left = [cards[0] for cards in bundled if cards[0].pairs]
    for may in (together, has_room):
        for first in [*left]:
            behind = left[left.index(first) + 1 :] if first in left else ()
            for second in behind:
                if first.section == second.section and may(first.id, second.id):
                    left.remove(first)
                    left.remove(second)
                    yield first.id, second.id
                    break


def bound_cards(of: Sequence[Bundle], pages: Mapping[str, int], recorded: SheetLabels) -> dict[str, BoundCard]:
    """Return where each card is, by id, in the order of the binder.

    The leaves of a bundle follow each other: a label that was recorded for one of its cards, beyond another card's
    leaf, is given to no card.
    """
    known = {card: known_labels(recorded.get(card, ())) for bundle in of for card in bundle}
    in_order = sorted({label for labels in recorded.values() for label in known_labels(labels)})
    own: dict[str, tuple[str, ...]] = {f"{id_} (given)": labels for id_, labels in recorded.items()}
    for bundle in of:
        kept = next((known[card][:1] for card in bundle if known[card]), [])
        for label in sorted({label for card in bundle for label in known[card]}):
            if label > kept[-1] and in_order.index(label) == in_order.index(kept[-1]) + 1:
                kept.append(label)
        own[bundle[0]] = tuple(label.text for label in kept)
    given = sheet_labels([(bundle[0], leaves_of(sum(pages[card] for card in bundle))) for bundle in of], own)
    by_first = {bundle[0]: bundle for bundle in of}
    return dict(each for first in binder_order(given) for each in _spread(by_first[first], pages, given[first]))


def _spread(bundle: Bundle, pages: Mapping[str, int], labels: Sequence[str]) -> Iterator[tuple[str, BoundCard]]:
    first = 0
    for card in bundle:
        end = first + pages[card]
        on = tuple(labels[first // SIDES : leaves_of(end)])
        yield card, BoundCard(labels=on, pages=pages[card], first=first, last=card == bundle[-1])
        first = end


def bundles_of(bound: Mapping[str, BoundCard]) -> list[Bundle]:
    """Return which cards share leaves, in the order of the binder."""
    found: list[list[str]] = []
    for id_, card in bound.items():
        if card.first == 0:
            found.append([])
        found[-1].append(id_)
    return [tuple(bundle) for bundle in found]


def labels_of(bundle: Bundle, bound: Mapping[str, BoundCard]) -> tuple[str, ...]:
    """Return the labels of the leaves that cards share, each once."""
    return tuple(dict.fromkeys(label for card in bundle for label in bound[card].labels))


def leaves_of(pages: int) -> int:
    """How many leaves so many pages take, printed on both sides."""
    return -(-pages // SIDES)


@dataclass(frozen=True, slots=True, kw_only=True)
class LeafExchange:
    """Leaves to exchange: the cards on them now and their labels, the labels to take out, and what is due on them."""

    cards: Bundle = ()
    labels: tuple[str, ...] = ()
    taken: tuple[str, ...] = ()
    due: tuple[Replacement, ...]

    @property
    def place(self) -> SheetLabel:
        """Where it is in the order of the binder; leaves that nobody labelled come first."""
        return next(iter(known_labels(self.taken or self.labels)), SheetLabel(0))


def leaf_exchanges(
    bound: Mapping[str, BoundCard], replacements: Sequence[Replacement], recorded: SheetLabels
) -> list[LeafExchange]:
    """Return the leaves of the binder to exchange, in its order. `bound` is where each card will be.

    A card that goes leaves its side of a leaf to the others on it, which are printed again without it.
    """
    gone = [each for each in replacements if each.action == "take-out" and each.sheets]
    changed = {each.card: each for each in replacements if each.action != "take-out"}
    found: list[LeafExchange] = []
    for bundle in bundles_of(bound):
        labels = labels_of(bundle, bound)
        were = {*labels, *(label for card in bundle for label in recorded.get(card, ()))}
        left = [each for each in gone if each.card not in bound and were.intersection(each.sheets)]
        due = [*(changed[card] for card in bundle if card in changed), *left]
        # What stays as it is comes out, too: from these leaves, or from those that it had before it came to share them.
        stays = (recorded.get(card, ()) for card in bundle if card not in changed)
        beside = (label for own in stays for label in ({*own} & {*labels} or own))
        taken = _in_order([*(label for each in due for label in each.sheets), *beside])
        gone = [each for each in gone if each not in left]
        if due:
            found.append(LeafExchange(cards=bundle, labels=labels, taken=taken, due=tuple(due)))
    found.extend(
        LeafExchange(taken=sheets, due=tuple(each for each in gone if each.sheets == sheets))
        for sheets in dict.fromkeys(each.sheets for each in gone)
    )
    return sorted(found, key=lambda exchange: exchange.place)


def _in_order(labels: Sequence[str]) -> tuple[str, ...]:
    return tuple(sorted(dict.fromkeys(label.text for label in known_labels(labels)), key=sheet_label))
