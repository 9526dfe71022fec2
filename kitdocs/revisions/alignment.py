"""Alignment of old and new parts of a card, and excerpts of the words that differ."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Generic, TypeVar

from kitdocs.document.purpose import Purpose, fields_of
from kitdocs.document.walk import words_in

#: Longest excerpt quoted in a sentence, and context kept on each side (words).
_EXCERPT, _CONTEXT = 40, 2

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Pair(Generic[T]):
    """An old part and the new part in its place; one of the two may be missing. `index` counts the new ones from 0."""

    old: T | None = None
    new: T | None = None
    index: int = -1

    @property
    def mark(self) -> tuple[str, ...]:
        """The place of the new part, as a change mark names it."""
        return (str(self.index),) if self.new is not None else ()


def key_of(row: object) -> str:
    """Return what a row is known by from edition to edition: its declared key, else its words."""
    if isinstance(row, tuple):
        return key_of(row[0]) if row else ""
    keys = (getattr(row, field.name) for field in fields_of(type(row)) if Purpose.KEY in field.purpose)
    return next(filter(None, keys), "") or " · ".join(words_in(row))


def name_of(row: object) -> str:
    """Return the first words of a row, by which a sentence calls it."""
    return next(words_in(row), "–")


def paired(olds: Sequence[T], news: Sequence[T], key: Callable[[T], str] = key_of) -> list[Pair[T]]:
    """Pair parts with the same key, the second of two equal ones with the second.

    Pairs are in the new order; what is gone comes last.
    """
    unmatched = dict(_keyed(olds, key))
    pairs = [Pair(unmatched.pop(part_key, None), new, n) for n, (part_key, new) in enumerate(_keyed(news, key))]
    return [*pairs, *(Pair(old) for old in unmatched.values())]


def _keyed(parts: Sequence[T], key: Callable[[T], str]) -> Iterator[tuple[tuple[str, int], T]]:
    seen: Counter[str] = Counter()
    for part in parts:
        part_key = key(part)
        yield (part_key, seen[part_key]), part
        seen[part_key] += 1


def joined(pairs: Sequence[Pair[T]], same: Callable[[T, T], bool]) -> list[Pair[T]]:
    """Join what is new with what is gone where the two are the `same` by another measure."""
    gone = [pair.old for pair in pairs if pair.new is None and pair.old is not None]
    found: list[Pair[T]] = []
    for pair in pairs:
        if pair.new is None:
            continue
        place = None
        if pair.old is None:
            place = next((n for n, old in enumerate(gone) if same(old, pair.new)), None)
        found.append(pair if place is None else Pair(gone.pop(place), pair.new, pair.index))
    return [*found, *(Pair(old) for old in gone)]


def aligned(olds: Sequence[str], news: Sequence[str]) -> Iterator[Pair[str]]:
    """Yield the lines that are reworded, left out or new."""
    for tag, i1, i2, j1, j2 in SequenceMatcher(None, olds, news, autojunk=False).get_opcodes():
        if tag != "equal":
            for step in range(max(i2 - i1, j2 - j1)):
                old = olds[i1 + step] if i1 + step < i2 else None
                new = news[j1 + step] if j1 + step < j2 else None
                yield Pair(old, new, min(j1 + step, len(news) - 1))


def excerpts(old: str, new: str) -> tuple[str, str]:
    """Return the words that differ, with a little context: ``… two strips of …`` and ``… three strips of …``."""
    olds, news = old.split(), new.split()
    edits = [op for op in SequenceMatcher(None, olds, news, autojunk=False).get_opcodes() if op[0] != "equal"]
    if not edits:
        return old, new
    first, last = edits[0], edits[-1]
    return _excerpt(olds, first[1], last[2]), _excerpt(news, first[3], last[4])


def shortened(text: str) -> str:
    """Return the first words of a text."""
    return _excerpt(text.split(), 0, len(text.split()))


def _excerpt(words: Sequence[str], start: int, end: int) -> str:
    start, end = max(0, start - _CONTEXT), min(len(words), end + _CONTEXT)
    before, after = "… " if start else "", " …" if end < len(words) else ""
    if end - start > _EXCERPT:
        end, after = start + _EXCERPT, " …"
    return before + " ".join(words[start:end]) + after
