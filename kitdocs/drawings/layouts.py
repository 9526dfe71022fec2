"""A cassette with its set: the inside at true size, and how it is told from others when closed or wrapped."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import hypot

from kitdocs.drawings.drawing import FAINT, INK, METAL, WHITE, Drawing, document, number, rect, straight, text
from kitdocs.drawings.instruments import WHOLE_LINE, opened_shapes
from kitdocs.drawings.lettering import CAP_HEIGHT, LEADING, PT, fitted, text_width
from kitdocs.drawings.marks import SET_MARK_MM, SET_MARKS, filled_path
from kitdocs.drawings.outline import bounds, moved, scale, shift
from kitdocs.drawings.shape import Shapes, all_moved
from kitdocs.practice.kinds import DrawingKind, SetMark

WALL_MM = 1.0
"""The cassette's wall around the inside, so that the drawing is this much larger on every side."""
BETWEEN_MM = 8.0
"""Between two rails drawn one below the other."""
CIRCLE_MM = 3.4
"""Radius of a numbered circle."""
DIGIT_MM = 2.7
"""Height of the figures in it: above the 2.5 mm that a posted card never goes below."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One instrument in its place. `x_mm` runs along the inside from the tips' end, `y_mm` across it."""

    number: int
    kind: DrawingKind
    x_mm: float
    y_mm: float
    length_mm: float
    width_mm: float
    """As it lies: a hinged instrument open."""
    closed_width_mm: float = 0.0
    """Of a hinged instrument that lies open; of any other it does not matter."""
    rail: int = 1
    """1 for the lowest rail, which is laid first and drawn first."""

    @property
    def shapes(self) -> Shapes:
        """The instrument as it lies, from the corner of its own box."""
        return opened_shapes(self.kind, self.length_mm, self.closed_width_mm or self.width_mm, self.width_mm)


def cassette_layout(inside_length_mm: float, inside_width_mm: float, rails: int, pieces: Sequence[Piece]) -> Drawing:
    """Draw the inside at true size, rails one below the other from the lowest up, each place with its number.

    Raises ValueError for a piece on a rail that does not exist or outside the inside.
    """
    _check(inside_length_mm, inside_width_mm, rails, pieces)
    pitch = inside_width_mm + 2 * WALL_MM + BETWEEN_MM
    elements: list[str] = []
    for rail in range(1, rails + 1):
        here = [piece for piece in pieces if piece.rail == rail]
        inner = "".join(_rail(inside_length_mm, inside_width_mm, here))
        below = (rail - 1) * pitch
        elements.append(f'<g transform="translate({number(WALL_MM)} {number(WALL_MM + below)})">{inner}</g>')
        if rails > 1 and rail < rails:
            elements += _layers(inside_length_mm + 2 * WALL_MM, pitch * rail - BETWEEN_MM / 2)
    return document(
        elements,
        width_mm=inside_length_mm + 2 * WALL_MM,
        height_mm=rails * pitch - BETWEEN_MM,
    )


def _check(length: float, width: float, rails: int, pieces: Iterable[Piece]) -> None:
    slack = 0.01
    for piece in pieces:
        if not 1 <= piece.rail <= rails:
            message = f"place {piece.number} lies on rail {piece.rail} of {rails}"
            raise ValueError(message)
        inside = (
            piece.x_mm >= -slack
            and piece.y_mm >= -slack
            and piece.x_mm + piece.length_mm <= length + slack
            and piece.y_mm + piece.width_mm <= width + slack
        )
        if not inside:
            message = f"place {piece.number} reaches out of the cassette"
            raise ValueError(message)


def _layers(width: float, y: float) -> Iterator[str]:
    """Between two rails: an arrow head that says "the next one goes on top of this one"."""
    x = width / 2
    yield straight(x - 26, y, x - 4.5, y, line=0.25, stroke=FAINT)
    yield straight(x + 4.5, y, x + 26, y, line=0.25, stroke=FAINT)
    yield f'<path d="M{number(x - 2.6)} {number(y - 1.4)}h5.2l-2.6 3z" fill="{INK}"/>'


def _rail(length: float, width: float, pieces: Sequence[Piece]) -> Iterator[str]:
    half = WALL_MM / 2
    yield rect(-half, -half, length + WALL_MM, width + WALL_MM, fill=METAL, line=0.3, radius=4 + half)
    yield rect(0, 0, length, width, fill=WHITE, line=0.3, radius=4)
    for at in (0.16, 0.84):
        yield rect(length * at - 2, 0.4, 4, width - 0.8, fill="#f2f2f3", line=0.2, stroke=FAINT)
    for piece in pieces:
        yield from (s.element(WHOLE_LINE) for s in all_moved(piece.shapes, shift(piece.x_mm, piece.y_mm)))
    for piece, (x, y) in zip(pieces, _circles(length, width, pieces), strict=True):
        yield from _numbered(piece.number, x, y)


def _numbered(figure: int, x: float, y: float) -> Iterator[str]:
    size = DIGIT_MM / CAP_HEIGHT
    words = str(figure)
    if len(words) > 2:
        size = min(size, (2 * CIRCLE_MM - 0.8) / text_width(words, 1, bold=True))
    yield (
        f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(CIRCLE_MM - 0.15)}" fill="{WHITE}"'
        f' stroke="{INK}" stroke-width="0.3"/>'
    )
    yield text(words, x, y, size=size, centred=True, anchor="middle", bold=True)


def _circles(length: float, width: float, pieces: Sequence[Piece]) -> list[tuple[float, float]]:
    """Return a place for each number: at the handle end of its instrument, nearer the tip where circles would touch."""
    placed: list[tuple[float, float]] = []
    for piece in pieces:
        y = min(max(_handle_middle(piece), CIRCLE_MM), width - CIRCLE_MM)
        x = min(piece.x_mm + piece.length_mm - CIRCLE_MM - 0.6, length - CIRCLE_MM)
        while x > CIRCLE_MM and any(hypot(x - px, y - py) < 2 * CIRCLE_MM + 0.2 for px, py in placed):
            x -= 0.5
        placed.append((max(x, CIRCLE_MM), y))
    return placed


def _handle_middle(piece: Piece) -> float:
    """Return how far across the last tenth of the instrument lies: its handle is seldom in the middle of its box."""
    behind = [y for s in piece.shapes for _, points in s.outline for x, y in points[-1:] if x > piece.length_mm * 0.9]
    return piece.y_mm + (min(behind) + max(behind)) / 2


def cassette_mark(mark: SetMark, code: str, length_mm: float, height_mm: float, colour: str = INK) -> Drawing:
    """Draw the closed, unwrapped cassette seen from its long side: lid, base, latch, the mark and the code."""
    lid = height_mm * 0.45
    elements = [
        rect(0.2, 0.2, length_mm - 0.4, height_mm - 0.4, fill=METAL, line=0.4, radius=2.5),
        straight(0.4, lid, length_mm - 0.4, lid, line=0.3),
        *_holes(length_mm, lid, height_mm),
    ]
    size = min(height_mm * 0.72, 24.0) / SET_MARK_MM[1]
    at = length_mm * 0.12
    outline = moved(moved(SET_MARKS[mark], scale(size)), shift(at, (height_mm - SET_MARK_MM[1] * size) / 2))
    near, _, far, _ = bounds([outline])
    plate = rect(near - 4, height_mm * 0.1, far - near + 8, height_mm * 0.8, fill=WHITE, line=0.25, radius=1)
    elements += [plate, filled_path(outline, colour)]
    letters = min(height_mm * 0.62, 14.0)
    wide = text_width(code, letters, bold=True)
    right = length_mm * 0.9
    elements += [
        rect(right - wide - 3, height_mm * 0.14, wide + 6, height_mm * 0.72, fill=WHITE, line=0.25, radius=1),
        text(code, right - wide / 2, height_mm / 2, size=letters, centred=True, anchor="middle", bold=True),
    ]
    latch = min(14.0, length_mm * 0.1)
    elements.append(
        rect(
            length_mm / 2 - latch / 2,
            lid - height_mm * 0.17,
            latch,
            height_mm * 0.34,
            fill="#d0d0d3",
            line=0.3,
            radius=1,
        )
    )
    return document(elements, width_mm=length_mm, height_mm=height_mm)


def _holes(length: float, lid: float, height: float) -> Iterator[str]:
    """Draw the slots that let steam in, above and below the meeting line."""
    count = max(int(length / 9), 1)
    step = length / count
    for i in range(count):
        for y, tall in ((lid * 0.35, lid * 0.3), (lid + (height - lid) * 0.35, (height - lid) * 0.3)):
            yield rect(step * i + step * 0.25, y, step * 0.5, tall, fill="#bdbdc1", radius=0.8)


def end_label(code: str, name: str, *, mark: SetMark | None = None, colour: str = INK) -> Drawing:
    """Draw the label as it is written on the tape at the end of a wrapped cassette: 100 mm × 19 mm."""
    length, height = 100.0, 19.0
    letters = 20 * PT / 0.9
    wide = text_width(code, letters, bold=True)
    elements = [
        f'<path d="M0.8 0.6 H{length - 0.8} l-0.9 1.5 0.9 1.5 -0.9 1.5 0.9 1.5 -0.9 1.5 0.9 1.5 -0.9 1.5 0.9 1.5'
        f" -0.9 1.5 0.9 1.5 -0.9 1.4 0.9 1.4 H0.8 l0.9 -1.4 -0.9 -1.4 0.9 -1.5 -0.9 -1.5 0.9 -1.5 -0.9 -1.5 0.9 -1.5"
        f' -0.9 -1.5 0.9 -1.5 -0.9 -1.5 0.9 -1.5z" fill="#f6f6f7" stroke="{INK}" stroke-width="0.3"/>',
        text(code, 5, height / 2, size=letters, centred=True, bold=True),
    ]
    left = 5 + wide + 4
    right = length - 5
    if mark is not None:
        size = 0.6
        outline = moved(moved(SET_MARKS[mark], scale(size)), shift(right - 30 * size, (height - 12 * size) / 2))
        elements.append(filled_path(outline, colour))
        right -= 30 * size + 3
    elements += _in_the_middle(name, left, right - left, height)
    return document(elements, width_mm=length, height_mm=height)


def _in_the_middle(words: str, left: float, room: float, height: float) -> Iterator[str]:
    """Draw a name in the middle of a height, in as many lines as it takes and as large as it then can be."""
    size, lines = fitted(words, [points * PT for points in (11, 10, 9, 8, 7, 6)], room, height - 4)
    for i, line in enumerate(lines):
        base = height / 2 + size * CAP_HEIGHT / 2 + size * LEADING * (i - (len(lines) - 1) / 2)
        yield text(line, left, base, size=size)
