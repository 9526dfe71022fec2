"""A shelf of the store from the front, with the packs that stand on it: lengths and heights to one scale.

Of each kind the pack to be taken first is dark. The code of a kind stands on its packs, or above them where they are
narrow; the code of its place stands below the board, where the label of the place is.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil, fsum
from typing import TypeAlias

from kitdocs.drawings.drawing import FAINT, GRIP, INK, METAL, SHADE, WHITE, rect, straight, text
from kitdocs.drawings.lettering import CAP_HEIGHT, PT, in_lines, text_width
from kitdocs.drawings.marks import SET_MARK_MM, SET_MARKS, filled_path
from kitdocs.drawings.outline import moved, scale, shift
from kitdocs.practice.kinds import SetMark

#: A board is drawn so thick, mm; lines of packs and edges.
_BOARD, LINE, EDGE = 1.8, 0.18, 0.4
#: From one part of the map to the next.
APART = 4.0

Box: TypeAlias = tuple[float, float, float, float]
"""Left, top, width and height, mm in the drawing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lettering:
    """How large a map of the store is lettered: sizes in mm, those of codes from the largest to the least."""

    width_mm: float
    codes: tuple[float, ...]
    places: tuple[float, ...]
    names: float
    fronts: float
    """What stands on drawers and beside hooks."""
    hooks: int = 3
    """So many hooks stand side by side."""
    drawer_mm: float = 0.0
    """No drawer is drawn narrower, if the widest then still has room."""


#: Of a card that is read at arm's length, and of a poster.
ON_CARD = Lettering(
    width_mm=170.0,
    codes=tuple(points * PT for points in (11, 10, 9, 8, 7, 6)),
    places=tuple(points * PT for points in (9, 8, 7, 6)),
    names=10 * PT,
    fronts=11 * PT,
)


#: Of a phone that is upright: 56 mm fill at least 280 px, and 7 pt are 12 px.
ON_PHONE = Lettering(
    width_mm=56.0,
    codes=tuple(points * PT for points in (9, 8, 7)),
    places=tuple(points * PT for points in (8, 7)),
    names=9 * PT,
    fronts=14 * PT,
    hooks=1,
    drawer_mm=26.0,
)


#: Sizes of the codes on a poster, in points: whoever takes a pack stands a step from the shelf.
POSTER_PT = (32, 28, 24, 20, 18, 16, 14, 12, 10, 8)


def on_poster(width_mm: float, largest_pt: int) -> Lettering:
    """Return the lettering of a poster whose codes are at most so large."""
    return Lettering(
        width_mm=width_mm,
        codes=tuple(points * PT for points in POSTER_PT if points <= largest_pt),
        places=tuple(points * PT * 0.8 for points in POSTER_PT if points <= largest_pt),
        names=min(20, largest_pt) * PT,
        fronts=16 * PT,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PacksDrawn:
    """Packs of one kind beside each other; mm in the room, `start` from the left end of the shelf.

    `place` is the code of their place. `wrapped`: wrapped cassettes; else pouches, drawn white. A set has a `mark`.
    """

    id: str
    code: str
    place: str
    packs: int
    start: float
    end: float
    height: float
    wrapped: bool
    mark: SetMark | None = None
    colour: str = INK


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfDrawn:
    """A shelf, with its packs from left to right. `length` in mm."""

    name: str
    length: float
    packs: tuple[PacksDrawn, ...]


def in_pieces(shelf: ShelfDrawn, lettering: Lettering) -> tuple[ShelfDrawn, ...]:
    """Cut a shelf between its packs, so that the smallest codes of each piece have room side by side."""
    least, places = lettering.codes[-1], lettering.places[-1]
    wanted = max(
        fsum(_label_width(packs, least) for packs in shelf.packs),
        fsum(_place_width(packs, places) for packs in shelf.packs),
    )
    pieces = ceil(wanted / lettering.width_mm)
    if pieces <= 1:
        return (shelf,)
    firsts = [round(n * len(shelf.packs) / pieces) for n in range(pieces)]
    ends = [0.0, *(shelf.packs[first].start for first in firsts[1:]), shelf.length]
    return tuple(
        ShelfDrawn(
            name=f"{shelf.name} ({n}/{pieces})",
            length=end - start,
            packs=tuple(
                replace(packs, start=packs.start - start, end=packs.end - start)
                for packs in shelf.packs
                if start <= packs.start < end
            ),
        )
        for n, (start, end) in enumerate(pairwise(ends), start=1)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PackSpot:
    """Where packs are in the drawing: the packs themselves, and their codes."""

    id: str
    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MapPart:
    """A part of a map of the store, and where the next one begins."""

    elements: tuple[str, ...]
    bottom: float
    spots: tuple[PackSpot, ...] = ()
    letters: float = 100.0
    """The size of its codes, mm."""


def shelf_part(shelf: ShelfDrawn, size: float, top: float, lettering: Lettering) -> MapPart:
    """Draw a shelf from a height on; `size` is the scale of the map."""
    elements: list[str] = []
    y = top
    for line in in_lines(shelf.name, lettering.names, lettering.width_mm - 2 * EDGE, bold=True):
        y += lettering.names * 1.2
        elements.append(text(line, EDGE, y, size=lettering.names, bold=True))
    letters = _fitted([packs.code for packs in shelf.packs], lettering.codes, lettering.width_mm, marks=shelf.packs)
    labels = [_Label(packs=packs, size=letters, scale=size) for packs in shelf.packs]
    above = [label for label in labels if not label.fits_inside]
    tallest = max((packs.height for packs in shelf.packs), default=0.0) * size
    codes = y + 2.0 + max((label.height for label in above), default=0.0)
    board = (codes + 0.8 * letters if above else y + 2.0) + tallest
    spots: dict[str, list[Box]] = {packs.place: [] for packs in shelf.packs}
    for label in labels:
        elements += label.strips(board)
        left, wide, tall = label.left, label.wide, label.tall
        spots[label.packs.place].append((left, board - tall, wide, tall))
        if label.fits_inside:
            elements += label.lettered(left + wide / 2, board - tall / 2 + label.height / 2, boxed=True)
    wanted = [label.left + label.wide / 2 for label in above]
    for label, middle in zip(above, _spread(wanted, [label.width for label in above], lettering.width_mm), strict=True):
        elements += label.lettered(middle, codes)
        elements.append(
            straight(middle, codes + 0.7, label.left + label.wide / 2, board - label.tall, line=LINE, stroke=INK)
        )
        spots[label.packs.place].append((middle - label.width / 2, codes - label.height, label.width, label.height))
    elements.append(rect(EDGE, board, shelf.length * size, _BOARD, fill=SHADE, line=EDGE))
    bottom = board + _BOARD
    small = _fitted([packs.place for packs in shelf.packs], lettering.places, lettering.width_mm)
    if labels:
        elements += _places(labels, bottom, small, lettering.width_mm, spots)
        bottom += 1.0 + 1.6 * small
    found = tuple(PackSpot(id=packs.id, boxes=tuple(spots[packs.place])) for packs in shelf.packs)
    return MapPart(elements=tuple(elements), bottom=bottom + APART, spots=found, letters=letters)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Label:
    """Packs of one kind as they are drawn, with the code and the mark that are to be read on them or above them."""

    packs: PacksDrawn
    size: float
    scale: float

    @property
    def left(self) -> float:
        return EDGE + self.packs.start * self.scale

    @property
    def wide(self) -> float:
        return (self.packs.end - self.packs.start) * self.scale

    @property
    def tall(self) -> float:
        return self.packs.height * self.scale

    @property
    def width(self) -> float:
        """How much room code and mark take between those of their neighbours."""
        return _label_width(self.packs, self.size)

    @property
    def height(self) -> float:
        """From the base line of the code to the top of the mark, or of the code where there is no mark."""
        return self.size * CAP_HEIGHT + (_mark_size(self.size)[1] + 0.25 * self.size if self.packs.mark else 0.0)

    @property
    def fits_inside(self) -> bool:
        return self.width + 0.2 * self.size <= self.wide and self.height + 0.8 * self.size <= self.tall

    def strips(self, board: float) -> Iterator[str]:
        """Yield the packs, side by side, the one at the left dark: it is the oldest and taken first."""
        left, width, height = self.left, self.wide, self.tall
        each = width / self.packs.packs
        yield rect(left, board - height, width, height, fill=METAL if self.packs.wrapped else WHITE, line=LINE)
        yield rect(left, board - height, each, height, fill=GRIP)
        for n in range(1, self.packs.packs):
            yield straight(left + n * each, board - height, left + n * each, board, line=LINE, stroke=FAINT)
        yield rect(left, board - height, width, height, line=EDGE)

    def lettered(self, middle: float, base: float, *, boxed: bool = False) -> Iterator[str]:
        """Yield code and mark with the code's base line at `base`; `boxed`: on white, upon the packs."""
        if boxed:
            room, high = self.width, self.height + 0.5 * self.size
            yield rect(middle - room / 2, base + 0.25 * self.size - high, room, high, fill=WHITE, line=LINE)
        yield text(self.packs.code, middle, base, size=self.size, anchor="middle", bold=True)
        if self.packs.mark:
            wide, _ = _mark_size(self.size)
            outline = moved(SET_MARKS[self.packs.mark], scale(wide / SET_MARK_MM[0]))
            yield filled_path(moved(outline, shift(middle - wide / 2, base - self.height)), self.packs.colour)


def _mark_size(letters: float) -> tuple[float, float]:
    """Return how wide and how high a mark is beside letters of that size: as its end label has it, about."""
    high = 0.8 * letters
    return SET_MARK_MM[0] / SET_MARK_MM[1] * high, high


def _label_width(packs: PacksDrawn, letters: float) -> float:
    mark = _mark_size(letters)[0] if packs.mark else 0.0
    return max(text_width(packs.code, letters, bold=True), mark) + 0.4 * letters


def _place_width(packs: PacksDrawn, size: float) -> float:
    return text_width(packs.place, size) + 0.4 * size


def _fitted(codes: Sequence[str], sizes: Sequence[float], room: float, marks: Sequence[PacksDrawn] = ()) -> float:
    """Return the largest size at which all codes have room side by side, else the least."""

    def width(size: float) -> float:
        if marks:
            return fsum(_label_width(packs, size) for packs in marks)
        return fsum(text_width(code, size) + 0.4 * size for code in codes)

    return next((size for size in sizes if width(size) <= room), sizes[-1])


def _places(
    labels: Sequence[_Label], top: float, size: float, room: float, spots: dict[str, list[Box]]
) -> Iterator[str]:
    """Yield the codes of the places below the board, each with a stroke to the middle of its packs."""
    wanted = [label.left + label.wide / 2 for label in labels]
    widths = [_place_width(label.packs, size) for label in labels]
    down = 0.6 * size
    base = top + down + 0.6 + size * CAP_HEIGHT
    for label, middle, width in zip(labels, _spread(wanted, widths, room), widths, strict=True):
        yield straight(label.left + label.wide / 2, top, middle, top + down, line=LINE, stroke=INK)
        yield text(label.packs.place, middle, base, size=size, anchor="middle")
        spots[label.packs.place].append((middle - width / 2, top, width, 1.0 + 1.6 * size))


def _spread(wanted: Sequence[float], widths: Sequence[float], room: float) -> list[float]:
    """Return where texts so wide stand side by side from left to right, near where they are wanted."""
    places: list[float] = []
    end = 0.0
    for middle, width in zip(wanted, widths, strict=True):
        places.append(max(middle, end + width / 2))
        end = places[-1] + width / 2
    start = room
    for n in range(len(places) - 1, -1, -1):
        places[n] = min(places[n], start - widths[n] / 2)
        start = places[n] - widths[n] / 2
    return places
