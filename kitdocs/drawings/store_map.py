"""Maps of the store from the front: shelves with their packs, fronts of drawers, hooks; lengths to one scale."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import fsum, inf

from kitdocs.drawings.drawing import GRIP, INK, METAL, WHITE, Drawing, document, number, rect, straight, text
from kitdocs.drawings.lettering import CAP_HEIGHT, LEADING, fitted, in_lines, text_width
from kitdocs.drawings.shelves import (
    APART,
    EDGE,
    LINE,
    ON_CARD,
    ON_PHONE,
    Box,
    Lettering,
    MapPart,
    PackSpot,
    ShelfDrawn,
)
from kitdocs.drawings.stacks import scale_of, stacked


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawerDrawn:
    """The front of a drawer: as wide as it is, of no true height. `packs` are ids and codes of those that lie in it."""

    place: str
    name: str
    width: float
    packs: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class HookDrawn:
    place: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StoreMap:
    """A drawing of the store or of a part of it, and where each kind of pack is in it.

    `letters_mm` is the size of the smallest codes of packs; `shows` is what it is drawn from. `stacks` are the
    letters of shelves that are drawn in true distance from each other.
    """

    drawing: Drawing
    spots: tuple[PackSpot, ...]
    letters_mm: float
    shows: tuple[ShelfDrawn | DrawerDrawn | HookDrawn, ...]
    stacks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """A part of a map that can be drawn from any height on, and what it shows."""

    draw: Callable[[float], MapPart]
    shows: tuple[ShelfDrawn | DrawerDrawn | HookDrawn, ...]

    @property
    def letters(self) -> str:
        return "".join(each.letter for each in self.shows if isinstance(each, ShelfDrawn))

    @property
    def has_packs(self) -> bool:
        return any(isinstance(each, ShelfDrawn) and each.packs for each in self.shows)


def store_maps(
    shelves: Sequence[ShelfDrawn],
    drawers: Sequence[DrawerDrawn] = (),
    hooks: Sequence[HookDrawn] = (),
    *,
    legend: tuple[str, str],
    lettering: Lettering = ON_CARD,
    height_mm: float = 225.0,
) -> tuple[StoreMap, ...]:
    """Draw shelves, each so far below the one above it as it is, then the fronts of drawers, then hooks.

    As many maps as it takes, each at most `height_mm` high: as few as can be, then with as few shelves apart from the
    one above them, and then as large.
    `legend` says which pack is taken first, and where new ones are put; it stands below the last shelf of each map on
    which packs stand.
    """
    told = _legend(0.0, legend, lettering).bottom
    stacks = stacked(shelves, drawers, lettering, height_mm - told)
    size = stacks[0].scale if stacks else scale_of(lettering, 1.1 * fsum(drawer.width for drawer in drawers))
    of_drawers = _size_of_drawers(drawers, size, lettering)
    each = lettering.hooks
    parts = [
        *(_Row(draw=stack.part, shows=stack.shelves) for stack in stacks),
        *(
            _Row(draw=_drawers_from(row, of_drawers, lettering), shows=row)
            for row in _rows_of(drawers, of_drawers, lettering)
        ),
        *(
            _Row(draw=_hooks_from(hooks[n : n + each], lettering), shows=tuple(hooks[n : n + each]))
            for n in range(0, len(hooks), each)
        ),
    ]
    groups: list[list[_Row]] = []
    filled = 0.0
    for part in parts:
        tall = part.draw(0.0).bottom
        if not groups or filled + tall > height_mm:
            groups.append([])
            filled = told
        groups[-1].append(part)
        filled += tall
    return tuple(_map(group, legend, lettering) for group in groups)


def narrow_map(wide: StoreMap, *, legend: tuple[str, str]) -> StoreMap:
    """Draw what a map shows for a phone: the same packs, shelves with many of them in pieces."""
    shelves = [each for each in wide.shows if isinstance(each, ShelfDrawn)]
    drawers = [each for each in wide.shows if isinstance(each, DrawerDrawn)]
    hooks = [each for each in wide.shows if isinstance(each, HookDrawn)]
    (narrow,) = store_maps(shelves, drawers, hooks, legend=legend, lettering=ON_PHONE, height_mm=inf)
    order = [spot.place for spot in wide.spots]
    return replace(narrow, spots=tuple(sorted(narrow.spots, key=lambda spot: order.index(spot.place))))


def _map(parts: Sequence[_Row], legend: tuple[str, str], lettering: Lettering) -> StoreMap:
    elements: list[str] = []
    boxes: dict[tuple[str, str], tuple[Box, ...]] = {}
    top, letters = 0.0, lettering.codes[0]
    last_packs = max((n for n, part in enumerate(parts) if part.has_packs), default=-1)
    for n, row in enumerate(parts):
        drawn = [row.draw(top)]
        if n == last_packs:
            drawn.append(_legend(drawn[0].bottom, legend, lettering))
        for part in drawn:
            elements += part.elements
            for spot in part.spots:
                boxes[spot.id, spot.place] = (*boxes.get((spot.id, spot.place), ()), *spot.boxes)
            top, letters = part.bottom, min(letters, part.letters)
    drawing = document(elements, width_mm=lettering.width_mm, height_mm=top - APART + 2 * EDGE)
    return StoreMap(
        drawing=drawing,
        spots=tuple(PackSpot(id=id_, place=place, boxes=found) for (id_, place), found in boxes.items()),
        letters_mm=letters,
        shows=tuple(each for row in parts for each in row.shows),
        stacks=tuple(row.letters for row in parts if row.letters),
    )


def _drawers_from(drawers: Sequence[DrawerDrawn], size: float, lettering: Lettering) -> Callable[[float], MapPart]:
    return lambda top: _drawers(drawers, size, top, lettering)


def _hooks_from(hooks: Sequence[HookDrawn], lettering: Lettering) -> Callable[[float], MapPart]:
    return lambda top: _hooks(hooks, top, lettering)


def _size_of_drawers(drawers: Sequence[DrawerDrawn], size: float, lettering: Lettering) -> float:
    """Return the scale of the drawers: a little smaller than that of the shelves where they then stand in one row."""
    if lettering.drawer_mm and drawers:
        widths = [drawer.width for drawer in drawers]
        return min(max(size, lettering.drawer_mm / min(widths)), (lettering.width_mm - 2 * EDGE) / max(widths))
    room = lettering.width_mm - 2 * EDGE - 2.0 * (len(drawers) - 1)
    in_one_row = room / max(sum(drawer.width for drawer in drawers), 1.0)
    return in_one_row if 0.7 * size <= in_one_row < size else size


def _rows_of(drawers: Sequence[DrawerDrawn], size: float, lettering: Lettering) -> Iterator[tuple[DrawerDrawn, ...]]:
    """Yield the drawers row by row, as many beside each other as the map is wide."""
    row: list[DrawerDrawn] = []
    used = 0.0
    for drawer in drawers:
        wide = drawer.width * size + 2.0
        if row and used + wide > lettering.width_mm - 2 * EDGE + 2.01:
            yield tuple(row)
            row, used = [], 0.0
        row.append(drawer)
        used += wide
    if row:
        yield tuple(row)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Front:
    """The front of a drawer as it is lettered: its place and the codes of packs in rows, then its name."""

    drawer: DrawerDrawn
    wide: float
    letters: float
    small: float
    rows: tuple[tuple[tuple[str, str], ...], ...]
    lines: tuple[str, ...]

    @property
    def row_mm(self) -> float:
        return self.letters * 1.15

    @property
    def height(self) -> float:
        return 3.4 + len(self.rows) * self.row_mm + len(self.lines) * self.small * LEADING + 0.6

    def code_width(self, code: str) -> float:
        return text_width(code, self.letters, bold=True) + 0.5 * self.letters


def _front(drawer: DrawerDrawn, size: float, lettering: Lettering) -> _Front:
    wide, letters = drawer.width * size, lettering.fronts
    rows: list[list[tuple[str, str]]] = [[]]
    left = room = wide - letters
    left -= text_width(drawer.place, letters, bold=True) + 0.6 * letters
    for pack in drawer.packs:
        across = text_width(pack[1], letters, bold=True) + 0.8 * letters
        if across > left and (rows[-1] or len(rows) == 1):
            rows.append([])
            left = room
        rows[-1].append(pack)
        left -= across
    sizes = [letters * part for part in (0.75, 0.65, 0.5)]
    small, lines = fitted(drawer.name, sizes, max(room, letters), 3 * sizes[0] * LEADING)
    return _Front(drawer=drawer, wide=wide, letters=letters, small=small, rows=tuple(map(tuple, rows)), lines=lines)


def _drawers(drawers: Sequence[DrawerDrawn], size: float, top: float, lettering: Lettering) -> MapPart:
    """Draw the fronts of drawers side by side: a handle, the place, the packs that lie in each, and its name."""
    fronts = [_front(drawer, size, lettering) for drawer in drawers]
    high = max(front.height for front in fronts)
    elements: list[str] = []
    spots: list[PackSpot] = []
    left = EDGE
    for front in fronts:
        wide, letters, start = front.wide, front.letters, left + front.letters / 2
        elements.append(rect(left, top, wide, high, fill=WHITE, line=EDGE))
        elements.append(straight(left + wide * 0.35, top + 1.4, left + wide * 0.65, top + 1.4, line=0.9, stroke=GRIP))
        base = top + 3.4 + letters * CAP_HEIGHT
        elements.append(text(front.drawer.place, start, base, size=letters, bold=True))
        at = start + text_width(front.drawer.place, letters, bold=True) + 0.6 * letters
        for row in front.rows:
            for id_, code in row:
                box = (at, base - letters * (CAP_HEIGHT + 0.2), front.code_width(code), letters * (CAP_HEIGHT + 0.4))
                elements.append(rect(*box, fill=METAL, line=LINE))
                elements.append(text(code, at + box[2] / 2, base, size=letters, anchor="middle", bold=True))
                spots.append(PackSpot(id=id_, place=front.drawer.place, boxes=(box,)))
                at += box[2] + 0.3 * letters
            at, base = start, base + front.row_mm
        for n, line in enumerate(front.lines):
            below = top + 3.4 + len(front.rows) * front.row_mm + (n * LEADING + 0.8) * front.small
            elements.append(text(line, start, below, size=front.small))
        left += wide + 2.0
    return MapPart(elements=tuple(elements), bottom=top + high + APART, spots=tuple(spots))


def _hooks(hooks: Sequence[HookDrawn], top: float, lettering: Lettering) -> MapPart:
    """Draw hooks side by side, each with its place and its name."""
    letters, small = lettering.fronts, lettering.fronts * 0.65
    each = (lettering.width_mm - 2 * EDGE) / lettering.hooks
    elements: list[str] = []
    most = 1
    for n, hook in enumerate(hooks):
        left, high = EDGE + n * each, letters * 1.1
        bow = f"{number(high * 0.22)} {number(high * 0.22)} 0 0 0 {number(high * 0.44)} 0"
        elements.append(
            f'<path d="M{number(left + 0.6)} {number(top)} v{number(high * 0.6)} a{bow}" fill="none"'
            f' stroke="{INK}" stroke-width="0.7" stroke-linecap="round"/>'
        )
        base = top + letters * CAP_HEIGHT
        elements.append(text(hook.place, left + letters, base, size=letters, bold=True))
        at = left + letters + text_width(hook.place, letters, bold=True) + small * 0.5
        lines = in_lines(hook.name, small, left + each - at - small)
        most = max(most, len(lines))
        for i, line in enumerate(lines):
            elements.append(text(line, at, base + i * small * LEADING, size=small))
    return MapPart(elements=tuple(elements), bottom=top + letters + (most - 1) * small * LEADING + APART)


def _legend(top: float, words: tuple[str, str], lettering: Lettering) -> MapPart:
    """Say which pack is taken first, and where new ones are put, each beside a row of packs that shows it."""
    size, room = lettering.names * 0.9, lettering.width_mm - 2 * EDGE
    strip, high = size * 0.5, size * 1.3
    elements: list[str] = []
    left, y = EDGE, top
    icon = 4 * strip + size * 0.6
    for n, said in enumerate(words):
        lines = in_lines(said, size, room - icon)
        wide = icon + max(text_width(line, size) for line in lines) + 2 * size
        if n and left + wide > room + 2 * size:
            left, y = EDGE, y + high + 1.0
        for i in range(4):
            fill = (GRIP if i == 0 else METAL) if n == 0 or i < 3 else WHITE
            elements.append(rect(left + i * strip, y, strip, high, fill=fill, line=LINE))
        if n:
            middle, centre = left + 3.5 * strip, y + high / 2
            elements.append(straight(middle - strip * 0.3, centre, middle + strip * 0.3, centre, line=0.4))
            elements.append(straight(middle, centre - strip * 0.3, middle, centre + strip * 0.3, line=0.4))
        for i, line in enumerate(lines):
            elements.append(text(line, left + icon, y + size + i * size * LEADING, size=size))
        y += (len(lines) - 1) * size * LEADING
        left += wide
    return MapPart(elements=tuple(elements), bottom=y + high + APART)
