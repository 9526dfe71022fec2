"""Labels of the binder's leaves, so that one card can be replaced while the others stay.

Loose-leaf practice (common practice, no source): a leaf between 4 and 5 is 4A, the next one 4B. A label that was given
once is never given to another leaf.
"""

from __future__ import annotations

import re
from bisect import bisect, insort
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TypeAlias

#: The labels of each card's sheets, by card id.
SheetLabels: TypeAlias = Mapping[str, tuple[str, ...]]

_LABEL = re.compile(r"(\d+)((?:-*[A-Z])*)")
_LAST = "Z"


@dataclass(frozen=True, slots=True, order=True)
class SheetLabel:
    """A label in its order: 4, 4-A, 4A, 4AA, 4B, 5.

    The hyphen is only for a leaf between 4 and 4A, where no letter is left. In ASCII it comes before every letter.
    """

    number: int
    suffix: str = ""

    @property
    def text(self) -> str:
        return f"{self.number}{self.suffix}"


def sheet_label(text: str) -> SheetLabel:
    """Return the label that `text` is. Raises `ValueError` when it is none."""
    found = _LABEL.fullmatch(text)
    if not found:
        raise ValueError(f"'{text}' is not the label of a sheet")
    return SheetLabel(int(found[1]), found[2])


def sheet_labels(cards: Sequence[tuple[str, int]], recorded: SheetLabels) -> dict[str, tuple[str, ...]]:
    """Return the labels of every card's leaves. `cards` are ids with their number of leaves, in handbook order.

    A card keeps the labels that were `recorded` for it; further leaves follow the card before them. Labels recorded
    for cards that no longer exist stay taken. A label that two cards were given, as when two people record at the same
    time, stays with the first. A malformed label is ignored.
    """
    kept = _kept(cards, recorded)
    taken = sorted({label for labels in recorded.values() for label in known_labels(labels)})
    found: dict[str, tuple[str, ...]] = {}
    last = SheetLabel(0)
    for card, sheets in cards:
        labels = list(kept[card][:sheets])
        while len(labels) < sheets:
            label = _after(labels[-1] if labels else last, taken)
            insort(taken, label)
            labels.append(label)
        # What a card had before it shrank is still its own: it may grow again.
        last = max([last, *labels, *kept[card]]) if labels else last
        found[card] = tuple(label.text for label in labels)
    return found


def kept_labels(ever: SheetLabels, last: SheetLabels, now: Collection[str]) -> dict[str, tuple[str, ...]]:
    """Return the labels that each card may have again: those that it had `last`.

    `ever` are all that it was given, `now` the cards that are in the binder. A card that was taken out and comes back
    moves none that went on without it on its leaf. What no card may have again stays taken, under a name that is no
    card's.
    """
    held = {label for card in now for label in last.get(card, ())}
    kept: dict[str, tuple[str, ...]] = {}
    for card, labels in ever.items():
        own = tuple(label for label in last.get(card, ()) if card in now or label not in held)
        left = tuple(label for label in labels if label not in own)
        kept |= {name: given for name, given in ((card, own), (f"{card} (left)", left)) if given}
    return kept


def binder_order(labels: SheetLabels) -> list[str]:
    """Return the ids of the cards in the order of their leaves in the binder."""
    return sorted((card for card, own in labels.items() if own), key=lambda card: sheet_label(labels[card][0]))


def strays(labels: SheetLabels, sections: Mapping[str, str], before: Mapping[str, str]) -> frozenset[str]:
    """Return the cards whose labels would leave them among the leaves of another section, which would split it.

    `sections` and `before` are the section of each card now and when it was printed. Only a card whose section has
    changed can have strayed. Where a whole section is renamed, all its leaves still follow each other.
    """
    order = binder_order({card: own for card, own in labels.items() if card in sections and known_labels(own)})
    gone: set[str] = set()
    while True:
        runs = [list(run) for _, run in groupby((c for c in order if c not in gone), key=lambda card: sections[card])]
        names = [sections[run[0]] for run in runs]
        candidates = [
            run
            for n, run in enumerate(runs)
            if all(before[card] != sections[card] for card in run)
            and ((names.count(names[n]) > 1 and run is not _largest(runs, names, names[n])) or _splits(names, n))
        ]
        if not candidates:
            return frozenset(gone)
        fewest: list[str] = min(candidates, key=len)
        gone.update(fewest)


def _largest(runs: Sequence[list[str]], names: Sequence[str], name: str) -> list[str]:
    return max((run for run, own in zip(runs, names, strict=True) if own == name), key=len)


def _splits(names: Sequence[str], n: int) -> bool:
    """Whether the run is in the midst of another section."""
    return 0 < n < len(names) - 1 and names[n - 1] == names[n + 1]


def _kept(cards: Sequence[tuple[str, int]], recorded: SheetLabels) -> dict[str, list[SheetLabel]]:
    """Return the labels that each card was given, in order, no label twice."""
    seen: set[SheetLabel] = set()
    kept: dict[str, list[SheetLabel]] = {}
    for card, _ in cards:
        own = sorted(set(known_labels(recorded.get(card, ()))) - seen)
        seen.update(own)
        kept[card] = own
    return kept


def known_labels(labels: Sequence[str]) -> list[SheetLabel]:
    """Return those of some recorded labels that are well-formed, in their order."""
    return [sheet_label(label) for label in labels if _LABEL.fullmatch(label)]


def _after(label: SheetLabel, taken: Sequence[SheetLabel]) -> SheetLabel:
    """Return the next free label after `label` and before the next one that is taken."""
    place = bisect(taken, label)
    if place == len(taken):
        return SheetLabel(label.number + 1)
    before = taken[place]
    suffix = _suffix_after(label.suffix, before.suffix if before.number == label.number else "")
    return SheetLabel(label.number, suffix)


def _suffix_after(low: str, high: str) -> str:
    """Return the shortest letters after `low` and, unless it is empty, before `high`, in string order."""
    head = low
    while head and head[-1] == _LAST:
        head = head[:-1]
    stepped = f"{head[:-1]}{chr(ord(head[-1]) + 1)}" if head else ""
    for found in (stepped, f"{low}A"):
        if found > low and (not high or found < high):
            return found
    # `high` is `low` with more behind it: only hyphens come before its letter.
    hyphens = "-"
    while f"{low}{hyphens}A" >= high:
        hyphens += "-"
    return f"{low}{hyphens}A"
