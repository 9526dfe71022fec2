"""The labels of the binder's sheets, so that one card can be exchanged and the rest stays in its place.

Loose-leaf practice (common practice, no source): a sheet that comes in between 4 and 5 is 4A, the next one 4B. A label
that was given once is never given to another sheet.
"""

from __future__ import annotations

import re
from bisect import bisect, insort
from collections.abc import Mapping, Sequence
from functools import total_ordering
from itertools import groupby
from typing import TypeAlias

#: The labels of each card's sheets, by card id.
SheetLabels: TypeAlias = Mapping[str, tuple[str, ...]]

_LABEL = re.compile(r"(\d+)((?:-*[A-Z])*)")
_LAST = "Z"


@total_ordering
class SheetLabel:
    """A label as it is ordered: 4, 4-A, 4A, 4AA, 4B, 5. `ValueError` when `text` is none.

    The hyphen is only there for a sheet that comes in between 4 and 4A, where no letter is left.
    """

    __slots__ = ("_key", "text")

    def __init__(self, text: str) -> None:
        found = _LABEL.fullmatch(text)
        if not found:
            raise ValueError(f"'{text}' is not the label of a sheet")
        self.text = text
        # In ASCII the hyphen stands before every letter, as it does here.
        self._key = (int(found[1]), found[2])

    @property
    def number(self) -> int:
        return self._key[0]

    @property
    def suffix(self) -> str:
        return self._key[1]

    def __lt__(self, other: SheetLabel) -> bool:
        return self._key < other._key

    def __eq__(self, other: object) -> bool:
        return isinstance(other, SheetLabel) and self._key == other._key

    def __hash__(self) -> int:
        return hash(self._key)

    def __repr__(self) -> str:
        return self.text


def sheet_labels(cards: Sequence[tuple[str, int]], recorded: SheetLabels) -> dict[str, tuple[str, ...]]:
    """The labels of every card's sheets. `cards` are ids with their number of sheets, in the order of the handbook.

    A card keeps the labels that were `recorded` for it; further sheets come in behind the card before them. Labels
    recorded for cards that are no more stay taken. One that two cards were given, as when two people record what they
    printed at the same time, stays with the first; what is no label counts as none.
    """
    kept = _kept(cards, recorded)
    taken = sorted({label for labels in (*kept.values(), *map(_known, recorded.values())) for label in labels})
    found: dict[str, tuple[str, ...]] = {}
    last = SheetLabel("0")
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


def binder_order(labels: SheetLabels) -> list[str]:
    """The ids of the cards as their sheets follow one another in the binder."""
    return sorted((card for card, own in labels.items() if own), key=lambda card: SheetLabel(labels[card][0]))


def strays(labels: SheetLabels, sections: Mapping[str, str], before: Mapping[str, str]) -> frozenset[str]:
    """The cards whose labels would leave them among the sheets of another section, so that a divider stood twice.

    `sections` and `before` are the section of each card now and when it was printed. Only a card that has another one
    now can have strayed; where a whole section has another name, all its sheets still follow each other.
    """
    order = binder_order({card: own for card, own in labels.items() if card in sections and _known(own)})
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
    """Whether the run stands in the midst of another section."""
    return 0 < n < len(names) - 1 and names[n - 1] == names[n + 1]


def _kept(cards: Sequence[tuple[str, int]], recorded: SheetLabels) -> dict[str, list[SheetLabel]]:
    """What each card was given, in order, no label twice."""
    seen: set[SheetLabel] = set()
    kept: dict[str, list[SheetLabel]] = {}
    for card, _ in cards:
        own = sorted(set(_known(recorded.get(card, ()))) - seen)
        seen.update(own)
        kept[card] = own
    return kept


def _known(labels: Sequence[str]) -> list[SheetLabel]:
    return [SheetLabel(label) for label in labels if _LABEL.fullmatch(label)]


def _after(label: SheetLabel, taken: Sequence[SheetLabel]) -> SheetLabel:
    """The next free label behind `label` and before the next one that is taken."""
    place = bisect(taken, label)
    if place == len(taken):
        return SheetLabel(str(label.number + 1))
    before = taken[place]
    suffix = _suffix_after(label.suffix, before.suffix if before.number == label.number else "")
    return SheetLabel(f"{label.number}{suffix}")


def _suffix_after(low: str, high: str) -> str:
    """The shortest letters behind `low` and, unless it is empty, before `high`: strings in their usual order."""
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
