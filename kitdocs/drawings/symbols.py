"""Symbols for what is done when something went wrong, 20 mm × 20 mm, heavy enough to be read from an arm's length."""

from __future__ import annotations

from collections.abc import Callable
from math import cos, radians, sin
from typing import Literal

from kitdocs.drawings.drawing import GRIP, INK, METAL, SHADE, WHITE, Drawing, document
from kitdocs.drawings.outline import ellipse, path, polygon, shift, turn
from kitdocs.drawings.scene import area, arrow, box, cross, dot, filled, ink_line, rounded, tick
from kitdocs.drawings.shape import Shape, Shapes, all_moved
from kitdocs.drawings.symbol_parts import (
    bubble,
    drop,
    equals,
    exclamation,
    machine,
    pack,
    palm,
    person,
    question,
    round_arrow,
    sheet,
)

Symbol = Literal[
    "stop",
    "wash",
    "eye",
    "tell",
    "doctor",
    "write",
    "never-use",
    "other",
    "carry",
    "repack",
    "again",
    "look",
    "hold",
    "keep",
    "ask",
    "record",
    "hot",
    "spore",
    "sign",
    "wait",
    "gloves",
    "tag",
    "tongs",
    "picture",
    "moist",
    "wipe",
    "spare",
]
SYMBOL_MM = 20.0
SYMBOL_LINES = 1.5
"""Symbols are printed 11 mm wide and more: their lines are drawn this much heavier."""


def symbol(name: Symbol) -> Drawing:
    """Draw the symbol of that name."""
    shapes = _SYMBOLS[name]()
    return document((s.element(SYMBOL_LINES) for s in shapes), width_mm=SYMBOL_MM, height_mm=SYMBOL_MM)


def _stop() -> Shapes:
    """Draw a raised hand on an octagon."""
    corners = [(10 + 9.6 * cos(radians(22.5 + 45 * n)), 10 + 9.6 * sin(radians(22.5 + 45 * n))) for n in range(8)]
    return (filled(polygon(corners), INK), *palm(5.4, 3.6, WHITE))


def _wash() -> Shapes:
    """Draw hands under a running tap."""
    tap = area("M1 5.4 V2 H9.6 C12.6 2 13.6 3.6 13.6 6.6 H10.6 C10.6 5.6 10.4 5.4 9.4 5.4 Z", METAL)
    hand = area(
        "M19 18.6 H11 C7 18.6 4 17 2.4 14.6 C1.4 13 3.4 12 4.6 13.2 C6.4 14.8 8 15 9 14.8 L17 13.4 L19 13.2 Z", SHADE
    )
    fingers = (ink_line("M9.4 14.8 C8 16 6.6 16 5.4 15.4", 0.3), ink_line("M11 18 C13 17.6 15 17.4 17 17.4", 0.3))
    return (tap, *(drop(x, y, 1.7) for x, y in ((12.1, 7.2), (11.2, 10), (13.2, 10.4))), hand, *fingers)


def _eye() -> Shapes:
    """Draw an eye that is rinsed."""
    lid = area("M1 13 C5 7.4 15 7.4 19 13 C15 18.6 5 18.6 1 13 Z", WHITE)
    iris = (filled(ellipse(10, 13, 3.4), SHADE), dot(10, 13, 1.5))
    return (*(drop(x, y, 1.9) for x, y in ((5.6, 3.4), (10, 1), (14.4, 3.4))), lid, *iris)


def _tell() -> Shapes:
    """Draw somebody who tells somebody else."""
    return (
        *person(0.8, 9.6),
        *person(12.2, 9.6, WHITE),
        bubble(4.4, 0.8, 12, 5.6, 2.2),
        *exclamation(10.4, 1.9, 3.6),
    )


def _doctor() -> Shapes:
    """Draw a clinician with a stethoscope, and a chair with somebody who stays in it."""
    scope = (ink_line("M3.4 11.6 C3.4 15 6.4 15 6.4 11.6", 0.6), ink_line("M4.9 14 V16", 0.6), dot(4.9, 16.8, 1.0))
    patient = (
        area("M10.4 18.6 L12.2 16 H15 L18.8 8.8 L19.6 9.6 L16.8 18.6 Z", METAL),
        filled(ellipse(16.4, 7.4, 1.9), SHADE),
    )
    body = ink_line("M15.6 9.8 L13.4 14.6 H10.6", 1.5)
    return (
        *patient,
        body,
        *all_moved(person(0, 0, WHITE), shift(1.4, 7.6)),
        *scope,
        bubble(4.8, 0.6, 7, 4.6, 1.8),
        *exclamation(8.3, 1.4, 3),
    )


def _write() -> Shapes:
    """Draw a sheet that is written on."""
    pencil = (
        area("M18.4 4.6 L16 2.8 L8.6 12.4 L8 15.8 L11 14.2 Z", SHADE),
        area("M8.3 14 L8 15.8 L9.6 15 Z", INK, 0.2),
    )
    return (*sheet(1.6, 2.4, 12.6, 16.2, 6), *pencil)


def _never_use() -> Shapes:
    """Draw a pack that is crossed out."""
    return (*pack(1.6, 3.6, 16.8, 12.8), *cross(10, 10, 8.8, 0.85))


def _other() -> Shapes:
    """Draw a pack that is left, and another one that is good."""
    return (*pack(0.6, 6, 8, 8), *cross(4.6, 10, 3.6, 0.6), *pack(11.2, 4.4, 8, 9), *tick(15.2, 15.4, 3.4, 1.0))


def _carry() -> Shapes:
    """Draw a closed box with its two grips, and the way to the sink."""
    tub = (area("M2.2 12.6 H12.8 L12 18.6 H3 Z", METAL), rounded(1, 10.4, 13, 2.2, 0.8, SHADE))
    clips = (box(2.8, 11.4, 1.8, 3, GRIP), box(10.4, 11.4, 1.8, 3, GRIP))
    sink = (
        area("M13.6 6.6 H19.6 L18.8 9.6 H14.4 Z", SHADE),
        ink_line("M18.2 6.6 V2.8 C18.2 0.8 15.4 0.8 15.4 2.8", 0.8),
    )
    return (*tub, *clips, *sink, *arrow(6.8, 9, 7.2, 4.6, 12.8, 5.6, 0.6), drop(15.4, 3.6, 1.2))


def _repack() -> Shapes:
    """Draw a pack on the sheet that it is wrapped in anew, and the arrow that goes round."""
    sheet = area("M10 1 L19 10 L10 19 L1 10 Z", WHITE)
    flap = area("M1 10 L6 5 L9.4 8.4 Z", SHADE)
    return (
        sheet,
        rounded(6, 6.6, 8, 6.8, 0.8, METAL),
        *(dot(x, 10, 0.5) for x in (8, 10, 12)),
        flap,
        *arrow(3, 17.4, 9, 20, 13.2, 15, 0.5),
    )


def _again() -> Shapes:
    """Draw a machine, and the arrow of a whole cycle."""
    return (*round_arrow(10, 10, 8.4), *machine(5.2, 6, 9.6, 8.6))


def _look() -> Shapes:
    """Draw a pack under a magnifier."""
    glass = (filled(ellipse(12.2, 11, 5.2), WHITE, 0.9), ink_line("M16 14.8 L18.4 17.6", 1.8))
    tear = ink_line("M9.6 9.4 L12 11 L11.2 12 L14.6 13.2", 0.7)
    return (*pack(1, 2.6, 12.4, 11), *glass, tear)


def _hold() -> Shapes:
    """Draw packs that stand apart behind a raised hand."""
    packs = [part for x in (0.8, 7.2, 13.6) for part in pack(x, 10.4, 5.6, 8)]
    return (*packs, *all_moved(palm(0, 0, WHITE), shift(5.4, 1)))


def _keep() -> Shapes:
    """Draw a label and an indicator strip that are put into an envelope."""
    label = (box(3, 1.2, 6.4, 9, WHITE), *(ink_line(f"M4.2 {y} H8.2", 0.45) for y in (3, 4.8, 6.6)))
    strip = (box(12, 1.2, 3.2, 9, WHITE), box(12, 4.2, 3.2, 3, GRIP, 0.3))
    return (*label, *strip, box(1, 9.4, 18, 9.4, SHADE), ink_line("M1 9.4 L10 15 L19 9.4"))


def _ask() -> Shapes:
    """Draw somebody who is asked, and decides."""
    return (*person(1.2, 9.4), bubble(5.8, 0.8, 13, 10.4, 1.6), *question(12.2, 2.4))


def _record() -> Shapes:
    """Draw a machine's printed strip with its curve."""
    curve = ink_line("M5.4 15.4 L7.4 8 H11.6 L13.4 15.4", 0.9)
    limit = ink_line("M4.4 10 H15.4", 0.4, GRIP)
    return (
        area("M3.2 1.2 H16.8 V18.4 L14.5 17.2 L12.2 18.4 L10 17.2 L7.8 18.4 L5.5 17.2 L3.2 18.4 Z", WHITE),
        limit,
        curve,
        ink_line("M5 4 H15", 0.5, GRIP),
    )


def _hot() -> Shapes:
    """Draw an open door with steam, and a hand that stays away."""
    steam = (Shape(outline=path(f"M{x} 8 C{x - 2} 5.8 {x + 2} 3.8 {x} 1.2"), line=0.7) for x in (4, 8, 12))
    return (*steam, *machine(1, 9.4, 13, 9.4), area("M15 9.4 L19 7.4 V17 L15 18.8 Z", SHADE))


def _spore() -> Shapes:
    """Draw the vial of a spore test beside its control."""

    def vial(x: float, level: float, fill: str) -> Shapes:
        glass = area(f"M{x} 5.4 H{x + 6} V15.6 C{x + 6} 19.6 {x} 19.6 {x} 15.6 Z", WHITE)
        return (
            glass,
            area(f"M{x} {level} H{x + 6} V15.6 C{x + 6} 19.6 {x} 19.6 {x} 15.6 Z", fill, 0.3),
            box(x - 0.5, 2, 7, 3.4, GRIP),
        )

    return (*vial(2.4, 9.6, METAL), *vial(11.6, 9.6, GRIP))


def _sign() -> Shapes:
    """Draw a closed machine with a sign on its door."""
    board = (box(3.4, 7.6, 9.6, 7, WHITE, 0.5), *cross(8.2, 11.1, 2.3, 1.0))
    return (*machine(0.8, 2.4, 18.4, 16), *board)


def _wait() -> Shapes:
    """Draw a clock."""
    return (
        filled(ellipse(10, 10, 8.8), WHITE, 0.8),
        ink_line("M10 4.4 V10 L14 12.6", 1.0),
        *(dot(10 + 7 * cos(radians(a)), 10 + 7 * sin(radians(a)), 0.5) for a in range(0, 360, 90)),
    )


def _gloves() -> Shapes:
    """Draw a utility glove with its long cuff."""
    glove = all_moved(palm(0, 0, SHADE), shift(5.2, 0.6))
    return (*glove, area("M6.4 12.2 H13.4 L14.4 19 H5.4 Z", SHADE), ink_line("M6 15 H13.8", 0.4))


def _tag() -> Shapes:
    """Draw an instrument with a tag tied to it."""
    tag = area("M6.4 11.4 L9 8.8 H13.4 L16 11.4 V19 H6.4 Z", WHITE)
    handle = rounded(0.8, 3, 18.4, 2.6, 1.2, METAL)
    return (handle, ink_line("M11.2 5.6 V10", 0.5), tag, dot(11.2, 10.6, 0.6), *exclamation(11.2, 12.4, 5))


def _tongs() -> Shapes:
    """Draw tongs that hold a piece of wire."""
    arms = (ink_line("M18.8 1.2 C12.6 1.2 7.4 5 5.6 12", 1.5), ink_line("M18.8 1.2 C18.6 7.4 14.6 12.2 8 14.2", 1.5))
    wire = ink_line("M1.4 11.6 C3.8 10.4 5 14.8 7 13 C8.6 11.6 9 17.4 11.4 17.8", 0.6)
    return (*arms, wire)


def _picture() -> Shapes:
    """Draw an instrument, and the drawing by which its place is found."""
    jaws = area("M3.4 8 C2.4 5.4 2.8 3 3.8 1 L4.6 6 L5.4 1 C6.4 3 6.8 5.4 5.8 8 Z", METAL)
    handles = ink_line("M4 8.6 C1.4 11.6 1.6 15.4 2.6 18.8 M5.2 8.6 C7.8 11.6 7.6 15.4 6.6 18.8", 1.0)
    plier = (handles, jaws, dot(4.6, 8, 1.1))
    return (*plier, box(10.4, 0.8, 9, 18.4, WHITE), *all_moved(plier, shift(10.3, 0)), *equals(9))


def _moist() -> Shapes:
    """Draw a covered basin whose contents are kept moist."""
    basin = (
        area("M2 10 H18 L16.6 17.6 H3.4 Z", METAL),
        ink_line("M5.2 15.4 L14.8 12.6", 0.9),
        ink_line("M5.2 12.6 L14.8 15.4", 0.9),
    )
    return (*(drop(x, y, 2.1) for x, y in ((6, 3.4), (10, 1.4), (14, 3.4))), *basin)


def _wipe() -> Shapes:
    """Draw a cloth in a gloved hand, and the wet patch behind it."""
    patch = area(
        "M0.8 16.4 C3 13.8 8 15 12 14.6 C16 14.2 19.2 15.6 19.2 17 C19.2 18.8 12 19 8 19 C4 19 0.8 18.6 0.8 16.4 Z",
        GRIP,
    )
    cloth = area("M4.4 12 L14.4 11.2 L15.6 15.2 L3.4 16 Z", WHITE)
    hand = [part.moved(turn(118, (4.5, 6)).then(shift(4.8, 2.6))) for part in palm(0, 0, SHADE)]
    return (patch, cloth, *hand)


def _spare() -> Shapes:
    """Draw a set with one empty place, and the spare that fills it."""
    tray = rounded(1, 8.6, 18, 10.4, 1.2, WHITE)
    filled_places = [rounded(x, 10.4, 2, 7, 0.9, GRIP) for x in (3, 6.6, 15)]
    empty = Shape(outline=path("M10.8 10.4 H12.8 V17.4 H10.8 Z"), line=0.35)
    return (
        tray,
        *filled_places,
        empty,
        rounded(10.8, 0.6, 2, 5.4, 0.9, GRIP),
        *arrow(11.8, 6.4, 11.8, 8.4, 11.8, 11.6, 0.45),
    )


_SYMBOLS: dict[Symbol, Callable[[], Shapes]] = {
    "stop": _stop,
    "wash": _wash,
    "eye": _eye,
    "tell": _tell,
    "doctor": _doctor,
    "write": _write,
    "never-use": _never_use,
    "other": _other,
    "carry": _carry,
    "repack": _repack,
    "again": _again,
    "look": _look,
    "hold": _hold,
    "keep": _keep,
    "ask": _ask,
    "record": _record,
    "hot": _hot,
    "spore": _spore,
    "sign": _sign,
    "wait": _wait,
    "gloves": _gloves,
    "tag": _tag,
    "tongs": _tongs,
    "picture": _picture,
    "moist": _moist,
    "wipe": _wipe,
    "spare": _spare,
}
