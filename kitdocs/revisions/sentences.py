"""Differences between two editions, and the sentences that report them in one language."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from kitdocs.document.catalog import MessageCatalog

#: At most this many names are listed in one sentence.
MOST_NAMED = 12


@dataclass(frozen=True, slots=True)
class Difference:
    """A difference in a card. `kind` is the key of its sentence in changes.yaml, `values` fill it in.

    `marks` are the new parts, as in `Replacement.marked`; `where` is the title of the block, `block` the block's kind.
    """

    kind: str
    values: Mapping[str, str] = field(default_factory=dict)
    marks: tuple[str, ...] = ()
    where: str = ""
    block: str = ""

    def within(self, where: str, block: str, mark: str) -> Difference:
        """Return the same difference in a block. Its rows keep their own marks; without any, the block is marked."""
        inner = tuple(f"{mark}.{part}" for part in self.marks) or (mark,)
        return replace(self, where=where, block=block, marks=inner if mark else ())

    def sentence(self, words: MessageCatalog) -> str:
        """Return the sentence: ``Bending pouch: 2 → 3``. A block without a title is called by its kind."""
        where = self.where or (words(f"changes.block.{self.block}") if self.block else "")
        return words(f"changes.{self.kind}", where=where, **self.values)


def changed(kind: str, old: str, new: str, **values: str) -> Difference:
    """Return a difference between two texts; a dash stands for none."""
    return Difference(kind, {**values, "old": old or "–", "new": new or "–"})


def sentences(found: Iterable[Difference], words: MessageCatalog) -> tuple[str, ...]:
    """Return each difference as a sentence, each sentence once."""
    return tuple(dict.fromkeys(difference.sentence(words) for difference in found))


def marks(found: Iterable[Difference]) -> frozenset[str]:
    """Return the new parts, as `Replacement.marked` names them."""
    return frozenset(mark for difference in found for mark in difference.marks)


def listed(names: Iterable[str]) -> str:
    """Return the first of many names for one sentence, with ``…`` where there are more."""
    first = list(names)
    return ", ".join(first[:MOST_NAMED]) + (", …" if len(first) > MOST_NAMED else "")
