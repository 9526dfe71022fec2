"""Differences between two editions of a card, part by part. Cards that are read alike have none."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TypeAlias

from kitdocs.document.blocks import Band, Block, Code, kind_of
from kitdocs.document.content import as_read
from kitdocs.document.parse import parse_blocks
from kitdocs.document.walk import text_of, title_of
from kitdocs.practice.printed import PrintedCard
from kitdocs.revisions.alignment import Pair, joined, paired
from kitdocs.revisions.block_differences import block_differences
from kitdocs.revisions.rows import MOST_ROWS
from kitdocs.revisions.sentences import Difference, changed, listed

#: With more differences on a card, tables are reported only by the names of their rows.
_MOST = 12
_SIDES = ("front", "back")
Sides: TypeAlias = Mapping[str, tuple[Block, ...]]


def differences(old: PrintedCard, new: PrintedCard) -> tuple[Difference, ...]:
    """Return everything that a person would read differently on the new card; none when the two are read alike.

    One difference of the kind ``unknown`` when the record does not hold the words of the old card; one of the kind
    ``unreadable`` for the parts of it that this version of kitdocs cannot read.
    """
    if not (old.front or old.back):
        return () if old.edition == new.edition else (Difference("unknown"),)
    lost: list[str] = []
    before, after = ({side: parse_blocks(getattr(card, side), side, lost) for side in _SIDES} for card in (old, new))
    found = _Found(before, after)
    if len(found.all) > _MOST:
        found = _Found(before, after, most=1)
    heads = [*_heads(old, new, found)]
    if not (heads or found.all) and any(as_read(before[side]) != as_read(after[side]) for side in _SIDES):
        heads.append(Difference("arranged"))
    if lost:
        heads.append(Difference("unreadable", {"parts": listed(lost)}))
    return _without_echoes([*heads, *found.all])


def _without_echoes(found: Sequence[Difference]) -> tuple[Difference, ...]:
    """Fold differences that only repeat a rename into the rename, keeping their change marks."""
    names = [(each.values["old"], each.values["new"]) for each in found if each.kind == "renamed"]
    echoes = [each for each in found if each.kind != "renamed" and _repeats(each.values, names)]
    marks = tuple(mark for each in echoes for mark in each.marks)
    kept = [each for each in found if each not in echoes]
    first = next((n for n, each in enumerate(kept) if each.kind == "renamed"), 0)
    return tuple(replace(each, marks=each.marks + marks) if n == first else each for n, each in enumerate(kept))


def _repeats(values: Mapping[str, str], names: Sequence[tuple[str, str]]) -> bool:
    """Whether the new names are all that differs."""
    text = values.get("old", "")
    for old, new in names:
        text = text.replace(old, new)
    return bool(names) and text == values.get("new", "") != ""


class _Found:
    """The differences in the blocks. `names` are pairs of words that are not reported again elsewhere."""

    def __init__(self, old: Sides, new: Sides, most: int = MOST_ROWS) -> None:
        self.all: list[Difference] = []
        self.names: list[tuple[str, str]] = []
        for side in _SIDES:
            _side(self, side, old[side], new[side], most)


def _heads(old: PrintedCard, new: PrintedCard, found: _Found) -> Iterator[Difference]:
    """Compare what is around the blocks. A title that only follows the band's name is reported with the name."""
    for name in ("title", "subtitle", "section", "hangs"):
        was, now = getattr(old, name), getattr(new, name)
        follows = any(before and was.replace(before, after) == now for before, after in found.names)
        if was != now and not follows:
            yield changed(name, was, now)


def _side(found: _Found, side: str, olds: Sequence[Block], news: Sequence[Block], most: int) -> None:
    """Compare the blocks of one side: equal ones, then those with the same title, then those of the same kind."""
    pairs = paired(olds, news, lambda block: repr(as_read(block)))
    pairs = joined(pairs, lambda old, new: type(old) is type(new) and title_of(old) == title_of(new))
    for pair in joined(pairs, lambda old, new: type(old) is type(new)):
        if pair.old is None or pair.new is None:
            found.all.append(_block_alone(pair, side))
        elif as_read(pair.old) != as_read(pair.new):
            _block(found, pair.old, pair.new, f"{side}.{pair.index}", most)


def _block(found: _Found, old: Block, new: Block, mark: str, most: int) -> None:
    if isinstance(old, Code) and isinstance(new, Code):
        found.all += _within(_code(old, new, found), old, new, mark)
        return
    found.all += _within(block_differences(old, new, most), old, new, mark) or _within([_ARRANGED], old, new, mark)
    if isinstance(old, Band) and isinstance(new, Band):
        found.names += [(old.word, new.word), (old.name, new.name)]


_ARRANGED = Difference("block-arranged")


def _within(found: Iterator[Difference] | Sequence[Difference], old: Block, new: Block, mark: str) -> list[Difference]:
    return [difference.within(title_of(new) or title_of(old), kind_of(new), mark) for difference in found]


def _code(old: Code, new: Code, found: _Found) -> Iterator[Difference]:
    """Compare QR codes by address. Without a site the code holds the card's text, which is reported already."""
    if old.address != new.address:
        yield changed("address", old.address, new.address)
    elif old.payload != new.payload and not found.all:
        yield Difference("payload")
    if old.note != new.note:
        yield changed("reworded", old.note, new.note)


def _block_alone(pair: Pair[Block], side: str) -> Difference:
    block, kind = (pair.old, "block-removed") if pair.new is None else (pair.new, "block-added")
    assert block is not None
    text = text_of(block)
    mark = f"{side}.{pair.index}" if pair.new is not None else ""
    found = Difference(kind, {"text": text}) if text else Difference(f"{kind}-alone")
    return found.within(title_of(block), kind_of(block), mark)
