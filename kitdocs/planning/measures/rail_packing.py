"""Dealing pieces out to rails of equal room: bin packing, exact for the numbers that a cassette has.

The order in which the pieces are written is kept when it can be: taking pieces in order and starting a new
rail whenever the next piece does not fit uses the fewest rails that keep the order. Otherwise the pieces
are dealt out by an exact search: the widest piece left opens a rail, the rail is filled in every way
that cannot be filled further, and a remainder that once failed is not tried again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

Rail = tuple[int, ...]
"""The indexes of the pieces on one rail, in the order in which they are written."""

#: Lengths are read to a ten-thousandth of a millimetre; whole numbers of that make sums exact.
_PER_MM = 10_000

#: After so many tries the search gives up and calls it no fit. Sets of up to 30 pieces stay far below.
MOST_TRIES = 200_000


def on_rails(
    widths: Sequence[float], *, room: float, gap: float, rails: int, places_per_rail: int | None = None
) -> tuple[Rail, ...] | None:
    """Which pieces lie on which rail, or None when they do not fit. Widths, room and gap in mm.

    `gap` lies between two neighbours, not at the ends. No rail is longer than `places_per_rail` pieces.
    """
    gap_units = round(gap * _PER_MM)
    # A gap after every piece, and one gap's worth of room more, is the same as gaps between neighbours.
    sizes = [round(width * _PER_MM) + gap_units for width in widths]
    capacity = round(room * _PER_MM) + gap_units
    most = len(sizes) if places_per_rail is None else places_per_rail
    in_order = _in_order(sizes, capacity, most)
    if in_order is not None and len(in_order) <= rails:
        return in_order
    dealt = _Search(capacity, most).deal(_by_size(sizes), rails)
    return None if dealt is None else _with_indexes(sizes, dealt)


def _in_order(sizes: Sequence[int], capacity: int, most: int) -> tuple[Rail, ...] | None:
    """Return the pieces in the order written, on the fewest rails; None when a piece is too wide for any."""
    rails: list[list[int]] = []
    used = 0
    for index, size in enumerate(sizes):
        if size > capacity or most < 1:
            return None
        if not rails or used + size > capacity or len(rails[-1]) == most:
            rails.append([])
            used = 0
        rails[-1].append(index)
        used += size
    return tuple(tuple(rail) for rail in rails)


#: Sizes, widest first, each with how many pieces have it.
_Sizes = tuple[tuple[int, int], ...]


def _by_size(sizes: Sequence[int]) -> _Sizes:
    return tuple(sorted(Counter(sizes).items(), reverse=True))


class _Search:
    """An exact search for rails of one capacity, with at most `most` pieces on each."""

    def __init__(self, capacity: int, most: int) -> None:
        self._capacity = capacity
        self._most = most
        self._failed: set[tuple[_Sizes, int]] = set()
        self._tries = 0

    def deal(self, left: _Sizes, rails: int) -> list[list[int]] | None:
        """Return the sizes on each rail, or None when `left` does not fit on so many rails."""
        if not left:
            return []
        pieces = sum(count for _, count in left)
        total = sum(size * count for size, count in left)
        if total > rails * self._capacity or pieces > rails * self._most or (left, rails) in self._failed:
            return None
        waste = rails * self._capacity - total
        for filled in self._fillings(left, waste):
            self._tries += 1
            if self._tries > MOST_TRIES:
                return None
            rest = self.deal(_without(left, filled), rails - 1)
            if rest is not None:
                return [filled, *rest]
        self._failed.add((left, rails))
        return None

    def _fillings(self, left: _Sizes, waste: int) -> Iterator[list[int]]:
        """Yield ways to fill one rail that holds the widest piece and leaves no more room than may be wasted."""
        widest = left[0][0]
        if widest > self._capacity or self._most < 1:
            return
        others = ((widest, left[0][1] - 1), *left[1:])
        for chosen in _subsets(others, self._capacity - widest, self._most - 1, waste):
            yield [widest, *chosen]


def _subsets(left: _Sizes, room: int, most: int, waste: int) -> Iterator[list[int]]:
    """Yield choices of at most `most` pieces from `left` that leave at most `waste` of `room`, fullest first."""
    if not left or most == 0:
        if room <= waste:
            yield []
        return
    if room - sum(size * count for size, count in left) > waste:
        return
    size, count = left[0]
    for taken in range(min(count, most, room // size), -1, -1):
        for rest in _subsets(left[1:], room - taken * size, most - taken, waste):
            yield [size] * taken + rest


def _without(left: _Sizes, filled: Sequence[int]) -> _Sizes:
    taken = Counter(filled)
    return tuple((size, count - taken[size]) for size, count in left if count > taken[size])


def _with_indexes(sizes: Sequence[int], dealt: Sequence[Sequence[int]]) -> tuple[Rail, ...]:
    """Return the rails with pieces instead of sizes; equal pieces in the order written, first piece's rail first."""
    waiting: dict[int, list[int]] = {}
    for index, size in enumerate(sizes):
        waiting.setdefault(size, []).append(index)
    rails = [tuple(sorted(waiting[size].pop(0) for size in rail)) for rail in dealt]
    return tuple(sorted(rails))
