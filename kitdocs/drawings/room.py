"""The reprocessing room as pictograms: the four areas, dirty to clean, and the way through them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import cos, pi, sin

from kitdocs.drawings.drawing import GRIP, INK, METAL, SHADE, WHITE, Drawing, document, number, rect, text
from kitdocs.drawings.lettering import PT, text_width
from kitdocs.drawings.outline import ellipse, path, shift
from kitdocs.drawings.scene import INSIDE, area, box, dot, filled, ink_line, rounded
from kitdocs.drawings.shape import Shape, Shapes, all_moved
from kitdocs.practice.kinds import Area

STATION_WIDTH_MM = 34.0
STATION_HEIGHT_MM = 28.0
WAY_WIDTH_MM = 170.0
LONGEST_LABEL = 14
_LABEL = 9 * PT


def way_through(stations: Sequence[tuple[Area, str]], a_row: int = 0) -> Drawing:
    """Draw the way through the room, left to right: a pictogram and a number for each station on one long arrow.

    The labels are drawn when all of them are short (14 characters); else the numbers stand for them. With `a_row`, so
    many stations stand side by side, and the arrow goes on in the row below.
    """
    count = max(len(stations), 1)
    width = a_row * (STATION_WIDTH_MM + 1.0) if a_row else WAY_WIDTH_MM
    pitch = width / (a_row or count)
    labelled = all(0 < len(label) <= LONGEST_LABEL for _, label in stations) and all(
        text_width(label, _LABEL, bold=True) < pitch - 2 for _, label in stations
    )
    elements: list[str] = []
    top = height = 0.0
    for first in range(0, count, a_row or count):
        row = stations[first : first + (a_row or count)]
        for i, (place, _) in enumerate(row):
            left = pitch * i + (pitch - STATION_WIDTH_MM) / 2
            elements += [s.element() for s in all_moved(_STATIONS[place](), shift(left, top))]
        elements += _long_arrow(top + STATION_HEIGHT_MM + 6.5, range(first, first + len(row)), count, pitch)
        height = top + STATION_HEIGHT_MM + 13
        if labelled:
            for i, (_, label) in enumerate(row):
                elements.append(text(label, pitch * (i + 0.5), height + 2.6, size=_LABEL, anchor="middle", bold=True))
            height += 5
        top = height + 3
    return document(elements, width_mm=width, height_mm=height)


def _long_arrow(y: float, stations: range, count: int, pitch: float) -> list[str]:
    """Return an arrow that grows lighter from station to station of `count`, with the stations' numbers on it."""
    fills = ("#6a6a70", "#9d9da2", "#d0d0d3", "#f2f2f3")
    half, right = 2.4, pitch * len(stations) - 0.4
    elements = []
    fill = fills[3]
    for i, station in enumerate(stations):
        fill = fills[round(station * 3 / max(count - 1, 1))]
        width = pitch if i < len(stations) - 1 else pitch - 6
        elements.append(
            rect(pitch * i + (0.4 if i == 0 else 0), y - half, width - (0.4 if i == 0 else 0), 2 * half, fill=fill)
        )
    start = right - 5.6
    outline = (
        f"M0.4 {number(y - half)}H{number(start)}V{number(y - 4.6)}L{number(right)} {number(y)}"
        f"L{number(start)} {number(y + 4.6)}V{number(y + half)}H0.4Z"
    )
    tip = f"M{number(start)} {number(y - 4.6)}L{number(right)} {number(y)}L{number(start)} {number(y + 4.6)}Z"
    elements.append(f'<path d="{tip}" fill="{fill}"/>')
    elements.append(f'<path d="{outline}" fill="none" stroke="{INK}" stroke-width="0.35" stroke-linejoin="round"/>')
    size = 11 * PT
    for i, station in enumerate(stations):
        x = pitch * (i + 0.5)
        elements.append(
            f'<circle cx="{number(x)}" cy="{number(y)}" r="3.6" fill="{WHITE}" stroke="{INK}" stroke-width="0.35"/>'
        )
        elements.append(text(str(station + 1), x, y, size=size, centred=True, anchor="middle", bold=True))
    return elements


def _receiving() -> Shapes:
    """Draw a sink with running water beside a washer."""
    sink = (
        area("M1.5 15 H16.5 L14.6 22 H3.4 Z", METAL),
        ink_line("M0.8 15 H17.2", 0.8),
        area("M12.6 15 V6.6 C12.6 2.8 7 2.8 7 6.6 V8 H8.8 V6.8 C8.8 5.2 10.8 5.2 10.8 6.8 V15 Z", SHADE),
        *(ink_line(f"M{x} {y} V{y + 2}", 0.45) for x, y in ((7.4, 9), (8.5, 10.4), (7.4, 12))),
        ink_line("M9 22 V26.8", 0.6),
    )
    washer = (
        rounded(19, 6, 14, 20.8, 1.2, METAL),
        ink_line("M19 10.4 H33"),
        dot(21.4, 8.2, 0.6),
        ink_line("M25.5 8.2 H31", 0.6),
        filled(ellipse(26, 18.4, 5.2), WHITE, 0.5),
        Shape(outline=path("M22.4 18.6 C23.6 17.2 24.8 17.2 26 18.6 C27.2 20 28.4 20 29.6 18.6"), line=0.5),
        Shape(outline=path("M23.2 21 C24.2 19.9 25 19.9 26 21 C27 22.1 27.8 22.1 28.8 21"), line=0.5),
        dot(24.4, 15.8, 0.55),
        dot(27.6, 15.2, 0.4),
    )
    return (*sink, *washer)


def _packaging() -> Shapes:
    """Draw a bench with a sheet, a cassette on it, and a roll of tape."""
    sheet = area("M12 6.6 L23 12 L12 17.4 L1 12 Z", INSIDE)
    cassette = (area("M12 9.2 L17.6 12 L12 14.8 L6.4 12 Z", SHADE), *(dot(x, 12, 0.45) for x in (9.6, 12, 14.4)))
    roll = (
        filled(ellipse(28, 12.6, 4), METAL),
        filled(ellipse(28, 12.6, 2), WHITE),
        area("M28 16.6 H33 V15.6 H30.6", SHADE, 0.3),
    )
    bench = (box(0.8, 17.6, 32.4, 2.2, METAL), box(3.4, 19.8, 1.8, 7, METAL), box(28.8, 19.8, 1.8, 7, METAL))
    return (*bench, sheet, *cassette, *roll)


def _sterilization() -> Shapes:
    """Draw a sterilizer with its round door, a gauge, and steam."""
    body = (
        rounded(2, 8.6, 30, 18.2, 1.6, METAL),
        filled(ellipse(12.6, 17.7, 7), SHADE, 0.5),
        filled(ellipse(12.6, 17.7, 5.2), WHITE, 0.35),
        *(dot(12.6 + 6.1 * cos(pi * i / 4 + pi / 8), 17.7 + 6.1 * sin(pi * i / 4 + pi / 8), 0.42) for i in range(8)),
        *(
            ink_line(f"M12.6 17.7 L{12.6 + 3.9 * sin(a):.3f} {17.7 - 3.9 * cos(a):.3f}", 0.7)
            for a in (0, 2 * pi / 3, 4 * pi / 3)
        ),
        filled(ellipse(12.6, 17.7, 1.3), SHADE, 0.4),
        filled(ellipse(26.2, 13.8, 2.7), WHITE, 0.4),
        ink_line("M26.2 13.8 L27.8 12.4", 0.5),
        box(23.4, 18.6, 5.8, 3, GRIP, 0.3),
        dot(24.3, 24.2, 0.6),
        dot(26.3, 24.2, 0.6),
        dot(28.3, 24.2, 0.6),
    )
    steam = [Shape(outline=path(f"M{x} 7 C{x - 1.6} 5.4 {x + 1.6} 4 {x} 2 "), line=0.55) for x in (8, 12.6, 17.2)]
    return (*body, *steam)


def _storage() -> Shapes:
    """Draw a closed-backed shelf with packs on edge."""
    frame = (box(2, 1.6, 30, 25.2, WHITE, 0.5), box(2, 12.6, 30, 1.4, METAL), box(2, 25.4, 30, 1.4, METAL))
    upper = [box(x, 5, 3.6, 7.6, SHADE if i % 3 else METAL) for i, x in enumerate((4, 8.2, 12.4, 16.6, 20.8))]
    lower = [box(x, 16.4, 5.4, 9, METAL if i % 2 else SHADE) for i, x in enumerate((4, 10, 16))]
    pouches = [area(f"M{x} 25.4 L{x + 1.4} 17.4 H{x + 2.6} L{x + 1.2} 25.4 Z", INSIDE, 0.3) for x in (22.6, 24.8, 27)]
    labels = [box(x + 0.8, 7, 2, 3.2, WHITE, 0.25) for x in (4, 8.2, 12.4, 16.6, 20.8)]
    labels += [box(x + 1.3, 18.6, 2.8, 3.8, WHITE, 0.25) for x in (4, 10, 16)]
    return (*frame, *upper, *lower, *pouches, *labels)


_STATIONS: dict[Area, Callable[[], Shapes]] = {
    "receiving": _receiving,
    "packaging": _packaging,
    "sterilization": _sterilization,
    "storage": _storage,
}
