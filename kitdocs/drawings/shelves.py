"""A shelf of the store from the front, with the packs that stand on it: lengths and heights to one scale.

Of each kind the pack to be taken first is dark. The code of a kind stands on its packs, or where they are narrow on a
tag above them, with a line to them; the codes of the places stand on the rail below the board, where their labels are.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from math import fsum, inf
from typing import TypeAlias

from kitdocs.drawings.drawing import FAINT, GRIP, INK, METAL, SHADE, WHITE, rect, straight, text
from kitdocs.drawings.lettering import CAP_HEIGHT, PT, text_width
from kitdocs.drawings.marks import SET_MARK_MM, SET_MARKS, filled_path
from kitdocs.drawings.outline import moved, scale, shift
from kitdocs.practice.kinds import SetMark

#: A board is drawn so thick, mm: how thick it is, nobody states. Lines of packs and edges.
BOARD, LINE, EDGE = 1.2, 0.18, 0.4
#: Codes on tags are as large as those on packs, or this much of it where they then have room.
_SMALLER = 0.7
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
    more_pieces: int = 0
    """Shelves are cut into so many more pieces at most, so that no tag hangs before packs."""


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
    more_pieces=2,
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
    `oldest`: the pack to be taken first is among them.
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
    oldest: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfDrawn:
    """A shelf, or a part of one, with its packs from left to right. `length` and `from_floor`, where its board is, in
    mm; `letter` is what the codes of its places begin with."""

    letter: str
    name: str
    length: float
    from_floor: float
    packs: tuple[PacksDrawn, ...]

    @property
    def tallest(self) -> float:
        return max((packs.height for packs in self.packs), default=0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class PackSpot:
    """Where the packs of a place are in the drawing: the packs themselves, and their codes."""

    id: str
    place: str
    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MapPart:
    """A part of a map of the store, and where the next one begins."""

    elements: tuple[str, ...]
    bottom: float
    spots: tuple[PackSpot, ...] = ()
    letters: float = inf
    """The size of its codes, mm."""


@dataclass(frozen=True, kw_only=True)
class ShelfLettered:
    """A shelf as it is lettered at a scale; `left` is where its board begins, and `room` how wide the drawing is."""

    shelf: ShelfDrawn
    scale: float
    left: float
    lettering: Lettering

    @property
    def room(self) -> float:
        return self.lettering.width_mm - self.left

    @property
    def _small(self) -> float:
        """The largest size at which the codes of places have room side by side, else the least."""
        sizes = self.lettering.places
        return next((size for size in sizes if _place_widths(self.shelf, size) <= self.room), sizes[-1])

    @property
    def has_room(self) -> bool:
        """Whether its least letters have room side by side."""
        least, places = self.lettering.codes[-1], self.lettering.places[-1]
        return max(_label_widths(self.shelf, least), _place_widths(self.shelf, places)) <= self.room

    @property
    def rail(self) -> float:
        """How far board and codes of places reach down from where the packs stand."""
        if not self.shelf.packs:
            return self.lettering.names * CAP_HEIGHT
        return BOARD + 0.5 * self._small + 0.5 + self._small * CAP_HEIGHT + 0.6

    @cached_property
    def head(self) -> float:
        """How much room packs and tags take above the board where nothing is above them."""
        tags = self.tags(inf)
        return max([self._top, *(tags.low + tag.box for tag in tags.hung)]) + 0.4

    @property
    def _top(self) -> float:
        return self.shelf.tallest * self.scale

    def tags(self, free: float) -> Tags:
        """Return its labels where above the board only so much is free: as large as have room side by side, those on
        tags a little smaller if they then have room above the packs."""
        sizes = self.lettering.codes
        size = next((size for size in sizes if _label_widths(self.shelf, size) <= self.room), sizes[-1])
        ways = [self._tags(free, size, tag) for tag in sizes if _SMALLER * size <= tag <= size]
        return next((tags for tags in ways if not tags.before), ways[0])

    def _tags(self, free: float, size: float, tag: float) -> Tags:
        """Return what has to stand on tags. They hang above the packs or, where there is no room, before them; codes on
        packs then stand below the tags."""
        label = partial(CodeLabel, scale=self.scale, origin=self.left)
        below = top = self._top
        while True:
            found = [label(packs=packs, size=size) for packs in self.shelf.packs]
            seen = min(below, free - 0.2)  # what is above hangs before packs that reach so high
            hung = tuple(label(packs=each.packs, size=tag) for each in found if not each.fits_below(seen))
            low = max(min(top + 1.0, free - 0.3 - max((each.box for each in hung), default=0.0)), 0.3)
            if not hung or low >= min(top, below):
                inside = tuple(each for each in found if each.fits_below(seen))
                return Tags(inside=inside, hung=hung, low=low, below=seen, before=below < top)
            below = low - 0.2

    def drawn(self, board: float, ceiling: float) -> MapPart:
        """Draw it with its packs standing at `board`, and nothing of it above `ceiling` but packs."""
        tags = self.tags(board - ceiling)
        elements: list[str] = []
        spots: dict[str, list[Box]] = {packs.place: [] for packs in self.shelf.packs}
        for label in tags.all:
            elements += label.strips(board)
            spots[label.packs.place].append((label.left, board - label.tall, label.wide, label.tall))
        for label in tags.inside:
            base = board - min(label.tall, tags.below) / 2 + label.height / 2
            elements += label.lettered(label.left + label.wide / 2, base)
        bottom = board - tags.low
        wanted, widths = [tag.middle for tag in tags.hung], [tag.width + 0.3 for tag in tags.hung]
        places = tuple(zip(tags.hung, _spread(wanted, widths, self.lettering.width_mm), strict=True))
        for tag, middle in places:
            elements += tag.led(middle, bottom, board)
        for tag, middle in places:
            elements += tag.lettered(middle, bottom - 0.25 * tag.size)
            spots[tag.packs.place].append((middle - tag.width / 2, bottom - tag.box, tag.width, tag.box))
        elements += self._rail(board, tags.all, spots)
        found = tuple(PackSpot(id=p.id, place=p.place, boxes=tuple(spots[p.place])) for p in self.shelf.packs)
        return MapPart(elements=tuple(elements), bottom=board + self.rail, spots=found, letters=tags.letters)

    def _rail(self, board: float, labels: Sequence[CodeLabel], spots: dict[str, list[Box]]) -> Iterator[str]:
        """Yield the board with its letter before it, and below it the codes of the places, each with a stroke to the
        middle of its packs."""
        size = self._small
        wanted = [label.middle for label in labels]
        widths = [_place_width(label.packs, size) for label in labels]
        places = _spread(wanted, widths, self.lettering.width_mm)
        right = max((middle + width / 2 for middle, width in zip(places, widths, strict=True)), default=0.0)
        length, top = self.shelf.length * self.scale, board + BOARD
        if labels:
            across = max(length, right - self.left)
            yield rect(self.left, top, across, self.rail - BOARD, fill=WHITE, line=LINE)
        yield rect(self.left, board, length, BOARD, fill=SHADE, line=EDGE)
        letter = self.lettering.names
        yield text(self.shelf.letter, EDGE, board + letter * CAP_HEIGHT, size=letter, bold=True)
        base = top + 0.5 * size + 0.5 + size * CAP_HEIGHT
        for label, at, middle, width in zip(labels, wanted, places, widths, strict=True):
            yield straight(at, top, middle, top + 0.5 * size, line=LINE, stroke=INK)
            yield text(label.packs.place, middle, base, size=size, anchor="middle")
            spots[label.packs.place].append((middle - width / 2, board, width, self.rail))


@dataclass(frozen=True, slots=True, kw_only=True)
class Tags:
    """Labels that stand on their packs, `below` some height, and those that hang on tags with their lower edges at
    `low`. `before`: tags hang before packs."""

    inside: tuple[CodeLabel, ...]
    hung: tuple[CodeLabel, ...]
    low: float
    below: float
    before: bool

    @property
    def all(self) -> tuple[CodeLabel, ...]:
        return tuple(sorted((*self.inside, *self.hung), key=lambda label: label.packs.start))

    @property
    def letters(self) -> float:
        return min((label.size for label in self.all), default=inf)


@dataclass(frozen=True, slots=True, kw_only=True)
class CodeLabel:
    """Packs of one kind as they are drawn, with the code and the mark that are to be read on them or above them."""

    packs: PacksDrawn
    size: float
    scale: float
    origin: float

    @property
    def left(self) -> float:
        return self.origin + self.packs.start * self.scale

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
    def box(self) -> float:
        """How high the white is that code and mark stand on."""
        return self.height + 0.5 * self.size

    @property
    def middle(self) -> float:
        return self.left + self.wide / 2

    def fits_below(self, top: float) -> bool:
        """Whether code and mark have room on the packs, so high as they stand below `top`."""
        return self.width + 0.2 * self.size <= self.wide and self.height + 0.8 * self.size <= min(self.tall, top)

    def strips(self, board: float) -> Iterator[str]:
        """Yield the packs, side by side, the oldest, at the left and taken first, dark."""
        left, width, height = self.left, self.wide, self.tall
        each = width / self.packs.packs
        yield rect(left, board - height, width, height, fill=METAL if self.packs.wrapped else WHITE, line=LINE)
        if self.packs.oldest:
            yield rect(left, board - height, each, height, fill=GRIP)
        for n in range(1, self.packs.packs):
            yield straight(left + n * each, board - height, left + n * each, board, line=LINE, stroke=FAINT)
        yield rect(left, board - height, width, height, line=EDGE)

    def led(self, middle: float, bottom: float, board: float) -> Iterator[str]:
        """Yield the line from a tag above some board to its packs; where they are behind it, to a dot on them."""
        end = board - self.tall
        if end < bottom:
            end = min(bottom + 1.2, board - 0.5)
            yield rect(self.middle - 0.35, end - 0.35, 0.7, 0.7, fill=INK)
        yield straight(middle, bottom, self.middle, end, line=LINE, stroke=INK)

    def lettered(self, middle: float, base: float) -> Iterator[str]:
        """Yield code and mark on white, with the code's base line at `base`."""
        yield rect(
            middle - self.width / 2, base + 0.25 * self.size - self.box, self.width, self.box, fill=WHITE, line=LINE
        )
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


def _label_widths(shelf: ShelfDrawn, size: float) -> float:
    return fsum(_label_width(packs, size) for packs in shelf.packs)


def _place_widths(shelf: ShelfDrawn, size: float) -> float:
    return fsum(_place_width(packs, size) for packs in shelf.packs)


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
