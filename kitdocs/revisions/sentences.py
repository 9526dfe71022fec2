"""A difference between two editions, and the sentence that says it in the words of one language."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from kitdocs.document.catalog import MessageCatalog

#: In a sentence that lists many things, so many are named.
MOST_NAMED = 12


@dataclass(frozen=True, slots=True)
class Difference:
    """`kind` is the key of its sentence in changes.yaml, `values` what stands in it. `marks` are the parts that are
    new, as in `Replacement.marked`; `where` is the title of the block that it is in, `block` the block's kind.
    """

    kind: str
    values: Mapping[str, str] = field(default_factory=dict)
    marks: tuple[str, ...] = ()
    where: str = ""
    block: str = ""

    def within(self, where: str, block: str, mark: str) -> Difference:
        """The same in a block. Parts of it that are marked already are marked by their own name or place."""
        inner = tuple(f"{mark}.{part}" for part in self.marks) or (mark,)
        return replace(self, where=where, block=block, marks=inner if mark else ())

    def sentence(self, words: MessageCatalog) -> str:
        """``Bending pouch: 2 → 3``. What stands in a block is said with the block where it would be unclear else."""
        where = self.where or (words(f"changes.block.{self.block}") if self.block in BLOCKS else "")
        return words(f"changes.{self.kind}", where=where, **self.values)


#: The kinds of block that have a name of their own where they have no title.
BLOCKS = frozenset(
    {"band", "caution", "chart", "code", "facts", "form-grid", "heading", "illustration", "items", "matrix", "prose"}
    | {"steps"}
)


def sentences(found: Iterable[Difference], words: MessageCatalog) -> tuple[str, ...]:
    """Each difference as a sentence, each sentence once."""
    return tuple(dict.fromkeys(each.sentence(words) for each in found))


def marks(found: Iterable[Difference]) -> frozenset[str]:
    """The parts that are new, as `Replacement.marked` names them."""
    return frozenset(mark for each in found for mark in each.marks)


def listed(names: Iterable[str]) -> str:
    """Many names in one sentence: the first of them, and ``…``."""
    of = list(names)
    return ", ".join(of[:MOST_NAMED]) + (", …" if len(of) > MOST_NAMED else "")
