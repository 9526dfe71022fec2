"""What is neither hinged, sprung nor held like a pencil: gauge, retractor, turret."""

from __future__ import annotations

from kitdocs.drawings.drawing import SHADE, WHITE
from kitdocs.drawings.outline import ellipse, path, ribbon, scale, shift, smooth, turn
from kitdocs.drawings.shape import FINE, Shape, Shapes, all_moved, black, both, metal, shade, white


def height_gauge_star(across: float, along: float) -> Shapes:
    """A star of four arms about the origin; each ends in a cross plate with a pin at its own height."""
    size = min(across, along) / 18
    shapes: list[Shape] = []
    for i, reach in enumerate((along / 2, across / 2, along / 2, across / 2)):
        tip = -reach / size
        pin = tip + 3.4 + 0.45 * i
        arm = metal(smooth(f"-0.9,0! -0.75,{tip + 2.2}! -0.75,{tip}! 0.75,{tip}! 0.75,{tip + 2.2}! 0.9,0!"))
        plate = metal(path(f"M-2.3 {pin - 0.6} H2.3 V{pin + 0.6} H-2.3 Z"))
        point = black(path(f"M-0.45 {pin - 0.6} H0.45 V{tip - 0.2} H-0.45 Z"))
        shapes += all_moved(all_moved((arm, plate, point), scale(size)), turn(90 * i))
    hub = (metal(ellipse(0, 0, 2.9 * size)), Shape(outline=ellipse(0, 0, 1.2 * size), fill=WHITE, line=FINE))
    return (*shapes, *hub)


def height_gauge_tip() -> Shapes:
    return all_moved(height_gauge_star(17.4, 19.6), shift(0, 11))


def cheek_retractor() -> Shapes:
    """Two rounded lip hooks held apart by a springy bow."""
    bow = shade(ribbon([(-6.6, 12, 0.9), (-6.2, 6.6, 0.9), (-3.6, 2.6, 0.9), (0, 1.6, 0.9)], cap="flat"))
    bow_right = bow.mirrored
    cup = metal(smooth("3.6,9! 8.4,9.4 8.6,15 7.6,20.4 3.4,21! 5.4,18.4 5.9,15 5.4,11.6"))
    fold = Shape(outline=smooth("4.6,9.4 7,11.6 7.1,15 6.6,19 4.6,20.6", closed=False), line=FINE)
    joined = metal(path("M-1.4 0.6 H1.4 V2.6 H-1.4 Z"))
    return (bow, bow_right, *both(cup, fold), joined)


def wire_turret() -> Shapes:
    """A turned cylinder with slots along its upper part and a grooved foot."""
    body = smooth("-6,4! -6,18.6 0,20.9 6,18.6 6,4!")
    top = ellipse(0, 4, 6, 2.6)
    slots = []
    for x, wide in ((-4.2, 0.7), (-1.9, 1.0), (0.7, 1.35), (3.8, 1.7)):
        foot = 12.6 - 0.03 * x * x
        head = 6.4 - 0.045 * x * x
        slots.append(black(path(f"M{x - wide / 2} {head} H{x + wide / 2} V{foot} H{x - wide / 2} Z")))
    rings = [
        Shape(outline=smooth(f"-6,{y}! -3.4,{y + 1.75} 0,{y + 2.3} 3.4,{y + 1.75} 6,{y}!", closed=False), line=FINE)
        for y in (12.4, 14.4, 16.4)
    ]
    bore = Shape(outline=ellipse(0, 4, 2.1, 0.95), fill=SHADE, line=FINE)
    return (metal(body), white(top), bore, *slots, *rings)
