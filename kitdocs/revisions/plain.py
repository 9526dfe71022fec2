"""Reading a card's plain data back, whoever wrote it: what is not there, or is something else, is empty."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any

Plain = Mapping[str, Any]
#: In a sentence stand at most so many words of a longer text, and so many unchanged ones at either side.
_MOST_WORDS, _AROUND = 40, 2


def words_of(thing: Any, *names: str) -> str:
    """The words in one field, or in several, of a part; a part that is nothing but words is its ``text``."""
    if isinstance(thing, str):
        return thing if "text" in names else ""
    said = [thing.get(name) for name in names] if isinstance(thing, Mapping) else []
    return " · ".join(part for part in said if isinstance(part, str) and part)


def parts(thing: Any, name: str) -> list[Any]:
    """A list of parts in a field."""
    found = thing.get(name) if isinstance(thing, Mapping) else None
    return list(found) if isinstance(found, list | tuple) else []


def number(thing: Any, name: str) -> int | None:
    """A whole number in a field."""
    found = thing.get(name) if isinstance(thing, Mapping) else None
    return found if isinstance(found, int) else None


def picture_names(thing: Any) -> tuple[str, ...]:
    """The names of a part's pictures."""
    if not isinstance(thing, Mapping):
        return ()
    found = [*(thing.get(name) for name in ("picture", "mark", "whole")), *parts(thing, "pictures")]
    return tuple(words_of(part, "drawn") if isinstance(part, Mapping) else str(part) for part in found if part)


def picture_alts(thing: Any) -> str:
    """What a part's picture or pictures show, in few words; empty where it is not said."""
    found = [thing.get("picture"), *parts(thing, "pictures")] if isinstance(thing, Mapping) else []
    return ", ".join(filter(None, (words_of(part, "alt") for part in found)))


def alt_of(thing: Any, name: str) -> str:
    """What a picture shows, in few words."""
    return words_of(thing.get(name), "alt") if isinstance(thing, Mapping) else ""


@dataclass(frozen=True, slots=True)
class Pair:
    """A part as it was and as it is; one of the two may be missing. The index counts from 0."""

    old: Any = None
    new: Any = None
    index: int = -1


def paired(olds: Sequence[Any], news: Sequence[Any], key: Callable[[Any], str]) -> list[Pair]:
    """Parts of the same key, the second of two equal ones with the second; in the new order, then what is gone."""
    was = dict(zip(_counted(map(key, olds)), olds, strict=True))
    pairs = [
        Pair(was.pop(k, None), new, n) for n, (k, new) in enumerate(zip(_counted(map(key, news)), news, strict=True))
    ]
    return [*pairs, *(Pair(old, None) for old in was.values())]


def joined(pairs: Sequence[Pair], same: Callable[[Any, Any], bool]) -> list[Pair]:
    """The pairs, in which something new and something gone that are the `same` by another measure are one."""
    gone = [pair for pair in pairs if pair.new is None]
    out: list[Pair] = []
    for pair in (each for each in pairs if each.new is not None):
        match = next((left for left in gone if same(left.old, pair.new)), None) if pair.old is None else None
        if match:
            gone.remove(match)
        out.append(Pair(match.old, pair.new, pair.index) if match else pair)
    return [*out, *gone]


def aligned(olds: Sequence[str], news: Sequence[str]) -> Iterator[Pair]:
    """Lines that stay, lines reworded, lines left out, lines new; what stays is left out."""
    for tag, i1, i2, j1, j2 in SequenceMatcher(None, olds, news, autojunk=False).get_opcodes():
        if tag != "equal":
            for step in range(max(i2 - i1, j2 - j1)):
                old = olds[i1 + step] if i1 + step < i2 else None
                new = news[j1 + step] if j1 + step < j2 else None
                yield Pair(old, new, min(j1 + step, len(news) - 1))


def fragments(old: str, new: str) -> tuple[str, str]:
    """Of two texts what differs, with a little of what stands around it: ``… two strips of tape`` and ``… three …``."""
    was, is_ = old.split(), new.split()
    blocks = [op for op in SequenceMatcher(None, was, is_, autojunk=False).get_opcodes() if op[0] != "equal"]
    if not blocks:
        return old, new
    first, last = blocks[0], blocks[-1]
    return _cut(was, first[1], last[2]), _cut(is_, first[3], last[4])


def _cut(words: Sequence[str], start: int, end: int) -> str:
    start, end = max(0, start - _AROUND), min(len(words), end + _AROUND)
    before, after = "… " if start else "", " …" if end < len(words) else ""
    if end - start > _MOST_WORDS:
        end, after = start + _MOST_WORDS, " …"
    return before + " ".join(words[start:end]) + after


def shortened(text: str) -> str:
    """The first words of a text."""
    return _cut(text.split(), 0, len(text.split()))


def _counted(keys: Iterable[str]) -> list[tuple[str, int]]:
    seen: Counter[str] = Counter()
    out = []
    for key in keys:
        out.append((key, seen[key]))
        seen[key] += 1
    return out
