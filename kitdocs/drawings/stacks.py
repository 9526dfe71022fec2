"""Shelves one above the other, in true proportions: each board is so far below the next as it is in the store.

Nobody states which shelves hang above which. A shelf hangs below another one where its packs have room there, else
beside it, in a stack of its own. A stack whose letters have no room is cut upright, at one place through all its
shelves; one that is too high for its picture is drawn smaller or, where that does not do, cut between shelves.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import inf
from typing import Protocol

from kitdocs.drawings.drawing import text
from kitdocs.drawings.lettering import in_lines, text_width
from kitdocs.drawings.shelves import (
    APART,
    EDGE,
    Lettering,
    MapPart,
    PacksDrawn,
    ShelfDrawn,
    ShelfLettered,
)

#: Nobody reaches between shelves that are closer to each other: they hang side by side. Common practice, no source.
_REACHED_MM = 150.0
#: A picture is drawn so much smaller at most, in so many steps, to have more shelves in it; nothing under this scale.
_SMALLER = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3, 0.25)
_LEAST_SCALE = 0.04


class _HasWidth(Protocol):
    @property
    def width(self) -> float: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Shelves above each other, or a piece of them that is drawn by itself, the highest first; to one scale."""

    lettered: tuple[ShelfLettered, ...]

    @property
    def shelves(self) -> tuple[ShelfDrawn, ...]:
        return tuple(each.shelf for each in self.lettered)

    @property
    def scale(self) -> float:
        return self.lettered[0].scale

    @property
    def height(self) -> float:
        """How high it is with the gap to what is drawn below it."""
        *_, (last, board, _) = self.placed(len(self._names) * self._line)
        return board + last.rail + APART

    @property
    def _line(self) -> float:
        return self.lettered[0].lettering.names * 1.2

    @property
    def _names(self) -> list[str]:
        lettering = self.lettered[0].lettering
        room = lettering.width_mm - 2 * EDGE
        return [line for shelf in self.shelves for line in in_lines(shelf.name, lettering.names, room, bold=True)]

    def part(self, top: float) -> MapPart:
        """Draw the names of the shelves, and below them the shelves, from a height on."""
        size, y = self.lettered[0].lettering.names, top
        elements: list[str] = []
        for line in self._names:
            y += self._line
            elements.append(text(line, EDGE, y, size=size, bold=True))
        drawn = [each.drawn(board, ceiling) for each, board, ceiling in self.placed(y)]
        for part in reversed(drawn):  # a rail hangs before what stands below it
            elements += part.elements
        return MapPart(
            elements=tuple(elements),
            bottom=drawn[-1].bottom + APART,
            spots=tuple(spot for part in drawn for spot in part.spots),
            letters=min(part.letters for part in drawn),
        )

    def placed(self, top: float) -> Iterator[tuple[ShelfLettered, float, float]]:
        """Yield each shelf, where its board is, and what is above it."""
        down = [(self.shelves[0].from_floor - shelf.from_floor) * self.scale for shelf in self.shelves]
        first = top + 1.2 + max(each.head - below for each, below in zip(self.lettered, down, strict=True))
        ceiling = -inf
        for each, below in zip(self.lettered, down, strict=True):
            yield each, first + below, ceiling
            ceiling = first + below + each.rail


def scale_of(lettering: Lettering, length: float, left: float = EDGE) -> float:
    """Return the scale at which a length fills the width of a map; nothing is drawn larger than in one of 600 mm."""
    return (lettering.width_mm - left - EDGE) / max(length, 600.0)


def stacked(
    shelves: Sequence[ShelfDrawn], drawers: Sequence[_HasWidth], lettering: Lettering, height_mm: float
) -> tuple[Stack, ...]:
    """Return the stacks of shelves, to one scale, each at most so high; the widest drawer has room at it, too."""
    if not shelves:
        return ()
    left = _left(shelves, lettering)
    pieces = [piece for stack in _stacks(shelves) for piece in _in_pieces(stack, lettering)]
    widest = scale_of(lettering, max((drawer.width for drawer in drawers), default=0.0))
    largest = min(scale_of(lettering, _longest(pieces), left), widest)
    ways = []
    for smaller in _SMALLER:
        scale = largest * smaller
        if scale >= min(_LEAST_SCALE, largest):
            lettered = [_lettered(piece, scale, left, lettering) for piece in pieces]
            parts = [part for piece in lettered for part in _low_enough(piece, height_mm)]
            ways.append((_maps(parts, height_mm), len(parts), -scale, tuple(parts)))
    return min(ways, key=lambda way: way[:3])[3]


def _left(shelves: Sequence[ShelfDrawn], lettering: Lettering) -> float:
    """Return where boards begin, behind their letters."""
    return EDGE + max(text_width(shelf.letter, lettering.names, bold=True) for shelf in shelves) + 0.3 * lettering.names


def _stacks(shelves: Sequence[ShelfDrawn]) -> list[list[ShelfDrawn]]:
    stacks: list[list[ShelfDrawn]] = []
    for shelf in sorted(shelves, key=lambda shelf: -shelf.from_floor):
        needed = max(_REACHED_MM, shelf.tallest)
        for stack in stacks:
            if stack[-1].from_floor - shelf.from_floor >= needed:
                stack.append(shelf)
                break
        else:
            stacks.append([shelf])
    return stacks


def _in_pieces(stack: Sequence[ShelfDrawn], lettering: Lettering) -> tuple[tuple[ShelfDrawn, ...], ...]:
    """Cut a stack upright into as few pieces as have room for their least letters, or into some more for their tags."""
    most = max(1, sum(len(shelf.packs) for shelf in stack))
    left = _left(stack, lettering)
    fewest = next((n for n in range(1, most) if _has_room(tuple(_cut(stack, n)), left, lettering)), most)
    ways = [tuple(_cut(stack, n)) for n in range(fewest, fewest + lettering.more_pieces + 1)]
    return next((way for way in ways if _hangs_free(way, left, lettering)), ways[-1])


def _has_room(way: Sequence[Sequence[ShelfDrawn]], left: float, lettering: Lettering) -> bool:
    return all(each.has_room for piece in way for each in _lettered(piece, 1.0, left, lettering))


def _hangs_free(way: Sequence[tuple[ShelfDrawn, ...]], left: float, lettering: Lettering) -> bool:
    """Whether no tag hangs before packs."""
    scale = scale_of(lettering, _longest(way), left)
    stacks = [Stack(lettered=_lettered(piece, scale, left, lettering)) for piece in way]
    return not any(each.tags(board - ceiling).before for stack in stacks for each, board, ceiling in stack.placed(0.0))


def _lettered(
    piece: Sequence[ShelfDrawn], scale: float, left: float, lettering: Lettering
) -> tuple[ShelfLettered, ...]:
    return tuple(ShelfLettered(shelf=shelf, scale=scale, left=left, lettering=lettering) for shelf in piece)


def _longest(way: Sequence[Sequence[ShelfDrawn]]) -> float:
    """Return how far the longest piece reaches: at a cut, half a pack may reach out."""
    return max(end for piece in way for shelf in piece for end in (shelf.length, *(p.end for p in shelf.packs)))


def _cut(stack: Sequence[ShelfDrawn], pieces: int) -> Iterator[tuple[ShelfDrawn, ...]]:
    """Yield that many pieces, about as long as each other, cut where packs of some kind end if that is near."""
    length = max(shelf.length for shelf in stack)
    each = length / pieces
    ends = sorted({packs.end for shelf in stack for packs in shelf.packs})
    cuts = [0.0]
    for n in range(1, pieces):
        near = min(ends, key=lambda end: abs(end - n * each), default=n * each)
        cuts.append(near if abs(near - n * each) < 0.25 * each else n * each)
    for n, (start, end) in enumerate(pairwise([*cuts, length]), start=1):
        last = n == pieces
        yield tuple(
            replace(
                shelf,
                name=f"{shelf.name} ({n}/{pieces})" if pieces > 1 else shelf.name,
                length=min(shelf.length, end) - start,
                packs=tuple(_between(shelf.packs, start, inf if last else end)),
            )
            for shelf in stack
            if shelf.length > start or not start
        )


def _between(packs: Sequence[PacksDrawn], start: float, end: float) -> Iterator[PacksDrawn]:
    """Yield packs whose middle is within, `start` being where they now begin to be measured."""
    for kind in packs:
        each = (kind.end - kind.start) / kind.packs
        within = [n for n in range(kind.packs) if start <= kind.start + (n + 0.5) * each < end]
        if within:
            yield replace(
                kind,
                packs=len(within),
                start=kind.start + within[0] * each - start,
                end=kind.start + (within[-1] + 1) * each - start,
                oldest=kind.oldest and within[0] == 0,
            )


def _low_enough(piece: Sequence[ShelfLettered], height_mm: float) -> Iterator[Stack]:
    """Yield a piece, cut between shelves where it would be too high."""
    held = Stack(lettered=())
    for shelf in piece:
        longer = Stack(lettered=(*held.lettered, shelf))
        if held.lettered and longer.height > height_mm:
            yield held
            longer = Stack(lettered=(shelf,))
        held = longer
    yield held


def _maps(parts: Sequence[Stack], height_mm: float) -> int:
    """Return how many maps so high hold the parts, in their order."""
    maps, filled = 1, 0.0
    for tall in (part.height for part in parts):
        if filled and filled + tall > height_mm:
            maps, filled = maps + 1, 0.0
        filled += tall
    return maps
