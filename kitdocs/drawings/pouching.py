"""Packing a pouch, one picture for each step. Common practice, no source."""

from __future__ import annotations

from functools import cache

from kitdocs.drawings.drawing import GRIP, METAL, SHADE, WHITE, Drawing
from kitdocs.drawings.hinged import ACROSS
from kitdocs.drawings.outline import ellipse, ribbon, scale, shift, smooth, turn
from kitdocs.drawings.scene import INSIDE, LINE, area, arrow, box, cross, dashes, filled, ink_line, picture, tick
from kitdocs.drawings.shape import Shapes, all_moved


@cache
def pouch_steps(*, hinged: bool = True) -> tuple[Drawing, ...]:
    """Draw six pictures: look at it, slide it in, indicator, peel and fold and press, write, load without stacking.

    `hinged`: a plier that is opened and lies open in its pouch; else something with no hinge to open.
    """
    film_edge = ink_line("M38 10 V34", LINE * 1.2)  # in front of what is being slid in
    piece = _open_plier if hinged else _straight

    def lying(x: float, y: float, size: float) -> Shapes:
        """Draw it in a pouch: handle to the end that is peeled, tip to the open end."""
        return all_moved(all_moved(piece(0, 0, size), turn(180)), shift(x, y))

    looked_at = (*piece(30, 26, 1.0), *(_opening(30, 26) if hinged else ()), *tick(50, 9.5, 4.5))
    return (
        picture(looked_at),
        picture((*_pouch(open_end=True, right=38), *lying(38.5, 22, 0.66), film_edge, *arrow(57, 29, 55, 39, 43, 39))),
        picture(
            (*_pouch(open_end=True), *lying(23.5, 20.6, 0.66), *_indicator(21, 29.4), *arrow(50, 42, 40, 45, 31, 34.5))
        ),
        picture(_closing()),
        picture((*_pouch(open_end=False), *lying(20.5, 17.8, 0.42), *_writing())),
        picture(_loading()),
    )


def _open_plier(x: float, y: float, size: float) -> Shapes:
    """Draw a plier that stands open at its hinge, tip to the left."""
    jaw = smooth("-3.4,2.4 -9,1.9 -15,1.3! -15.4,0.2! -3,0.1! 0,-3 3,-2.6 3.2,1 0,3.2")
    handle = ribbon([(0, 0, 1.8), (7, -3.2, 2.1), (15, -5.6, 2.2), (23.4, -5.4, 2)])
    lower = (filled(handle, SHADE), filled(jaw, METAL))
    upper = tuple(s.moved(ACROSS) for s in lower)
    halves = (*all_moved(lower, turn(-12)), *all_moved(upper, turn(12)))
    joint = (filled(ellipse(0, 0, 3.2)), filled(ellipse(0, 0, 1.2), WHITE))
    return all_moved(all_moved((*halves, *joint), scale(size)), shift(x, y))


def _opening(x: float, y: float) -> Shapes:
    """Draw the way that the jaws of the open plier go."""
    jaws = (*arrow(-19, -1, -21.5, -4.5, -19.5, -10, 0.5), *arrow(-19, 1, -21.5, 4.5, -19.5, 10, 0.5))
    return all_moved(jaws, shift(x, y))


def _straight(x: float, y: float, size: float) -> Shapes:
    """Draw an instrument held like a pencil, tip to the left."""
    tip = ribbon([(-15.4, -3.4, 0.3), (-15, 0, 0.8), (-11, 0.4, 1), (-6, 0, 1.3)])
    handle = ribbon([(-6.5, 0, 1.4), (-3, 0, 2.2), (12, 0, 2.3), (22, 0, 2.1), (23.4, 0, 1.4)])
    rings = [ink_line(f"M{at} -1.7 V1.7", LINE) for at in (-1, 0.6, 2.2, 3.8)]
    return all_moved(all_moved((filled(tip), filled(handle, SHADE), *rings), scale(size)), shift(x, y))


def _pouch(*, open_end: bool, right: float = 50.0) -> Shapes:
    """Draw a flat pouch, film side up: the pointed factory seal is the end that is peeled, on the left."""
    body = box(3, 10, right - 3, 24, INSIDE)
    seals = (
        box(3, 10, right - 3, 2, SHADE, 0.2),
        box(3, 32, right - 3, 2, SHADE, 0.2),
        area("M9 12 L5 22 L9 32 H7 L3.2 22 L7 12 Z", SHADE, 0.2),
    )
    if open_end:
        flap = box(right, 10, 7, 24, WHITE)
        strip = box(right + 1.6, 10.6, 2.6, 22.8, GRIP, 0.2)
        return (body, *seals, flap, strip, *dashes(right, 10, right, 34))
    return (body, *seals, box(right - 6, 10, 6, 24, SHADE))


def _indicator(x: float, y: float) -> Shapes:
    """Draw a strip of internal indicator."""
    return (
        box(x, y - 1.6, 17, 3, WHITE),
        box(x + 10.5, y - 1.6, 4.6, 3, GRIP, 0.2),
        ink_line(f"M{x + 1.6} {y} H{x + 8}", 0.4),
    )


def _closing() -> Shapes:
    """Draw the open end, larger: the cover strip comes off, the flap folds on the line and is pressed flat."""
    body = area("M4 9 H38 V41 H4 Z", INSIDE, LINE)
    seals = (box(4, 9, 34, 2.6, SHADE, 0.2), box(4, 38.4, 34, 2.6, SHADE, 0.2))
    flap = box(27, 9, 11, 32, SHADE)
    strip = ribbon([(47, 12, 1.5), (48.5, 19, 1.5), (52, 25, 1.5), (51, 32, 1.5), (54, 38, 1.5)], cap="flat")
    presses = [arrow(32.5, y - 6.5, 32.5, y - 3, 32.5, y, 0.5) for y in (19, 28.5, 38)]
    fold = arrow(46, 7, 41, 1.2, 33.5, 7.2)
    return (body, *seals, flap, *dashes(38, 9, 38, 41), filled(strip, GRIP), *fold, *(s for a in presses for s in a))


def _writing() -> Shapes:
    """Draw a label with lines, and a pen on the film's edge."""
    pen = (
        area("M37.5 33.5 L48.5 20.5 L51.3 22.9 L40.3 35.9 L36.8 37.3 Z", WHITE),
        area("M37.5 33.5 L40.3 35.9 L36.8 37.3 Z", GRIP),
    )
    label = box(13, 23.2, 27, 7.8, WHITE)
    lines = [ink_line(f"M15 {y} H{end}", 0.45) for y, end in ((25.2, 37), (27.1, 34), (29, 29))]
    return (label, *lines, *pen)


def _loading() -> Shapes:
    """Draw pouches on edge side by side, with room between them; flat on top of each other is crossed out."""
    rack = ink_line("M3 40 H36 M5 40 V43 M34 40 V43", 0.8)
    packs = [area(f"M{x} 40 L{x + 2.4} 16 H{x + 4} L{x + 1.6} 40 Z", INSIDE) for x in (6, 12.5, 19, 25.5)]
    dividers = [ink_line(f"M{x} 40 L{x + 2} 24", 0.5, GRIP) for x in (4.2, 10.7, 17.2, 23.7, 30.2)]
    stack = [box(40, y, 17, 2.6, INSIDE) for y in (31.5, 34.3, 37.1)]
    return (rack, *dividers, *packs, *tick(19, 9.5, 3.4), *stack, ink_line("M39 40 H58", 0.8), *cross(48.5, 34.5, 5.5))
