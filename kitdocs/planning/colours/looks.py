"""How alike two chairs look by colour and mark, and a colour and a mark for each of many chairs.

Up to twelve chairs have a colour and a mark each that no other chair has. Beyond, colours and marks come again, each
pair of them once: two chairs of one colour have marks that are hard to mix up, two of one mark have colours that are,
and chairs beside each other share neither.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations, islice, product
from math import exp
from typing import TypeAlias, get_args

from kitdocs.planning.colours import MOST_CHAIRS
from kitdocs.planning.colours.palette import ProposedColour, apart_in_grey_too, propose
from kitdocs.practice.kinds import ChairMark

MARKS: tuple[ChairMark, ...] = get_args(ChairMark)

#: Of the ink of two marks laid over each other, the share that only one of them has: a row for each mark, against those
#: before it. Measured on print; a test measures again.
_MARKS_APART: tuple[tuple[float, ...], ...] = (
    (),
    (0.17,),
    (0.42, 0.36),
    (0.32, 0.36, 0.42),
    (0.47, 0.48, 0.41, 0.39),
    (0.29, 0.42, 0.50, 0.27, 0.45),
    (0.34, 0.43, 0.69, 0.62, 0.74, 0.54),
    (0.15, 0.22, 0.44, 0.33, 0.44, 0.34, 0.45),
    (0.60, 0.67, 0.77, 0.71, 0.80, 0.67, 0.53, 0.68),
    (0.32, 0.36, 0.27, 0.29, 0.40, 0.37, 0.59, 0.38, 0.69),
    (0.40, 0.46, 0.52, 0.26, 0.44, 0.33, 0.66, 0.45, 0.72, 0.35),
    (0.25, 0.26, 0.55, 0.33, 0.52, 0.36, 0.49, 0.29, 0.70, 0.47, 0.45),
)

#: A likeness falls to a third with so much of ΔE00, and with so much of a share of ink. Ours, no source.
_THIRD_OF_COLOUR, _THIRD_OF_MARK = 10.0, 0.25
#: What the likeness of two chairs counts: one after the other, in one bay, elsewhere. Ours, no source.
_BESIDE, _IN_BAY, _ELSEWHERE = 8.0, 3.0, 1.0
#: What it costs when chairs beside each other share a colour or a mark: more than anything that could be won by it.
_SHARED = 100.0
#: Colours of a scheme, at the least, and the most chairs of one colour. Ours, no source.
LEAST_COLOURS, _MOST_OF_ONE = 8, 4

#: The colour and the mark of a chair, by their number.
_Look: TypeAlias = tuple[int, int]


@dataclass(frozen=True, slots=True)
class ProposedChair:
    """A chair of a scheme: its number, from 1 in walking order, its colour and its mark."""

    number: int
    colour: ProposedColour
    mark: ChairMark


def marks_apart(one: ChairMark, other: ChairMark) -> float:
    """Return how much of the ink of two marks lies where the other has none, 0 to 1."""
    first, last = sorted((MARKS.index(one), MARKS.index(other)))
    return _MARKS_APART[last][first] if first != last else 0.0


def colours_alike(one: str, other: str) -> float:
    """Return how alike two colours (``#00766c``) look to any eye and in grey: 1 for the same, near 0 for none."""
    return exp(-apart_in_grey_too(one, other) / _THIRD_OF_COLOUR) if one != other else 1.0


def marks_alike(one: ChairMark, other: ChairMark) -> float:
    """Return how alike two marks look: 1 for the same."""
    return exp(-marks_apart(one, other) / _THIRD_OF_MARK)


@cache
def propose_chairs(bays: tuple[int, ...]) -> tuple[ProposedChair, ...]:
    """Return a colour and a mark for each chair of some bays, which hold so many chairs, in walking order.

    The same on every machine. Raises ValueError for no chair, an empty bay or more than `MOST_CHAIRS` chairs.
    """
    count = sum(bays)
    if not 1 <= count <= MOST_CHAIRS or min(bays) < 1:
        raise ValueError(f"looks cannot be proposed for {count} chairs; for 1 to {MOST_CHAIRS} they can")
    if count <= len(MARKS):
        colours = propose(count)
        return tuple(ProposedChair(n + 1, colour, MARKS[n]) for n, colour in enumerate(colours))
    colours = propose(max(LEAST_COLOURS, -(-count // _MOST_OF_ONE)))
    hexes = [colour.hex for colour in colours]
    found = _Search(hexes, _nearness(bays)).best(count)
    return tuple(ProposedChair(n + 1, colours[colour], MARKS[mark]) for n, (colour, mark) in enumerate(found))


def look_beside(
    taken: Sequence[tuple[str, ChairMark]], colours: Sequence[str], marks: Sequence[ChairMark] = MARKS
) -> tuple[str, ChairMark] | None:
    """Return the look of one more chair, which stands beside the last of those that have one.

    It is the pair of one of the colours (``#00766c``) and one of the marks that is least like theirs; None when every
    pair is taken.
    """
    free = [look for look in product(colours, marks) if look not in taken]

    def likeness(look: tuple[str, ChairMark]) -> float:
        colour, mark = look
        beside = taken[-1:]
        shared = sum(_SHARED for other, its_mark in beside if colour == other or mark == its_mark)
        pairs = [colours_alike(colour, other) * marks_alike(mark, its_mark) for other, its_mark in taken]
        return shared + sum(pairs) + (_BESIDE - 1) * sum(pairs[-1:])

    return min(free, key=likeness, default=None)


def _nearness(bays: Sequence[int]) -> list[list[float]]:
    """Return what the likeness of any two chairs counts."""
    bay = [number for number, chairs in enumerate(bays) for _ in range(chairs)]

    def counts(one: int, other: int) -> float:
        if abs(one - other) == 1:
            return _BESIDE  # of two bays as well: a list and a round go from one to the next
        return _IN_BAY if bay[one] == bay[other] else _ELSEWHERE

    return [[0.0 if a == b else counts(a, b) for b in range(len(bay))] for a in range(len(bay))]


class _Search:
    """Looks that are exchanged between chairs, whole or by half, while that makes the chairs less alike."""

    def __init__(self, colours: Sequence[str], near: Sequence[Sequence[float]]) -> None:
        self._near = near
        self._colours = [[colours_alike(a, b) for b in colours] for a in colours]
        self._marks = [[marks_alike(a, b) for b in MARKS] for a in MARKS]

    def best(self, count: int) -> list[_Look]:
        """Return a look for each chair: the best that is reached from several beginnings."""
        found = (self._improved(self._begun(count, step)) for step in range(len(MARKS)))
        return min(found, key=lambda looks: sum(self._cost(looks, chair) for chair in range(count)))

    def _begun(self, count: int, step: int) -> list[_Look]:
        """Return looks one after the other, where each round of the colours goes on `step` marks further."""
        colours = len(self._colours)
        looks = dict.fromkeys((n % colours, (n + n // colours * step) % len(MARKS)) for n in range(count))
        others = (look for look in product(range(colours), range(len(MARKS))) if look not in looks)
        return [*looks, *islice(others, count - len(looks))]

    def _improved(self, looks: list[_Look]) -> list[_Look]:
        better = True
        while better:
            better = False
            for one, other in combinations(range(len(looks)), 2):
                for changed in _exchanged(looks[one], looks[other]):
                    better |= self._take_if_better(looks, one, other, changed)
        return looks

    def _take_if_better(self, looks: list[_Look], one: int, other: int, changed: tuple[_Look, _Look]) -> bool:
        old = looks[one], looks[other]
        before = self._cost(looks, one) + self._cost(looks, other)
        looks[one], looks[other] = changed
        if self._cost(looks, one) + self._cost(looks, other) < before - 1e-9 and len(set(looks)) == len(looks):
            return True
        looks[one], looks[other] = old
        return False

    def _cost(self, looks: Sequence[_Look], chair: int) -> float:
        colour, mark = looks[chair]
        colours, marks, near = self._colours[colour], self._marks[mark], self._near[chair]
        cost = 0.0
        for counts, (other, its_mark) in zip(near, looks, strict=True):
            cost += counts * colours[other] * marks[its_mark]
            if counts == _BESIDE and (other == colour or its_mark == mark):
                cost += _SHARED
        return cost


def _exchanged(one: _Look, other: _Look) -> tuple[tuple[_Look, _Look], ...]:
    """Return what two chairs may have instead: the other's look, its colour or its mark."""
    return (
        (other, one),
        ((other[0], one[1]), (one[0], other[1])),
    )
