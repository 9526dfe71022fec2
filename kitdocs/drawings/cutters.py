"""Cutters and locking holders: their working ends."""

from __future__ import annotations

from kitdocs.drawings.head import Head, box_joint, half, plier, ticks
from kitdocs.drawings.outline import MIRROR, path, smooth
from kitdocs.drawings.shape import all_moved, black, both, metal, shade


def distal_end_cutter() -> Head:
    """A blunt head bent to the side; the cutting slot is in its front edge."""
    upper = smooth(
        "-0.2,15.2! -0.9,10 -0.2,6.2 1.6,5.1! 6.6,5.1! 6.6,2.4! 6,1.7! 1,1.4 -2.6,3.4 -3.6,8 -3.9,16.4 -3.5,18.6 -2,19.8 -0.15,20.1!"
    )
    lower = smooth(
        "0.15,15.2! -0.4,10 0.3,6.8 1.8,5.6! 6.6,5.6! 6.6,8.2! 5.8,9.1! 3.4,9.6 2.8,12 3.9,16.4 3.5,18.6 2,19.8 0.15,20.1!"
    )
    slot = black(path("M7 3.2 L3.1 5.35 L7 7.5 Z"))
    return plier(metal(upper), metal(lower), slot)


def ligature_cutter() -> Head:
    """A short fine pointed nose."""
    nose = half("0.12,15.2! 0.12,1! 0.5,2.4 1,5.6 1.6,7.4 3.5,9.6 4.3,13")
    edges = black(path("M0 0.8 L0.75 5.2 L0 6.8 L-0.75 5.2 Z"))
    return plier(*both(metal(nose)), edges)


def hard_wire_cutter() -> Head:
    """A stout blunt wedge with broad hard edges let in."""
    jaw = half("0.15,15.2! 0.15,3.6! 1.3,3.6! 4.4,6.6 5.5,9.6 5.1,13.2")
    insert = black(path("M0.3 3.4 H1.4 L3.1 8.4 L0.3 10.4 Z"))
    return plier(*both(metal(jaw), insert))


def mathieu() -> Head:
    """Short narrow serrated jaws in front of widely spread handles."""
    jaw = smooth("0.15,12! 0.15,1.6! 1.1,1.2 1.9,2.2 2.5,8 2.9,12 2.7,15.4 0.15,17.2!")
    rows = [t for y in (2.4, 3.5, 4.6, 5.7, 6.8, 7.9) for t in ((0.2, y, 1.5, y + 0.7), (0.2, y + 0.7, 1.5, y))]
    stub = path("M2.3 13.2 C4.4 14.6 8 17 8.6 22.4 L6.6 22.4 C6.2 18.6 3.4 17 0.6 16.2")
    return Head(
        beaks=both(metal(jaw), *ticks(*rows, line=0.34)),
        joint=box_joint(13.4, 2),
        stubs=both(shade(stub)),
        centre=13.4,
        handles="palm",
        real=1.6,
    )


def mosquito() -> Head:
    """Long thin jaws, a small joint and slim shanks that run to finger rings."""
    jaw = smooth("0.12,14! 0.12,0.9! 0.7,1 1.2,5 1.7,11 1.8,14.4 1.5,17 0.12,17.6!")
    rows = [(0.1, y, 0.75, y) for y in (2.2, 3.2, 4.2, 5.2, 6.2, 7.2, 8.2)]
    stub = path("M1.2 15.6 C1.9 17.6 2.5 20 2.9 22.4 L1.2 22.4 C1 20 0.7 18 0.1 16.6")
    return Head(
        beaks=both(metal(jaw), *ticks(*rows, line=0.34)),
        joint=box_joint(15.2, 1.35),
        stubs=both(shade(stub)),
        centre=15.2,
        handles="rings",
        real=1.9,
    )


def scissors() -> Head:
    """Two pointed blades that cross."""
    blade = smooth("-1.1,17.4! -0.6,14 1.2,8 3.6,1.2! 4,3.4 3.9,7 2.6,12 1.3,16.2 0.6,17.8!")
    edge = black(path("M3.6 1.2 L1.2 8 L0.1 11.3 L0.9 11.6 Z"))
    stub = path("M-1.5 15.4 C-2 17.6 -2.7 20 -3.4 22.4 L-1.5 22.4 C-1 20.4 -0.2 18.4 0.7 16.8")
    behind = (shade(blade), edge)
    front = all_moved((metal(blade), edge), MIRROR)
    return Head(
        beaks=(*behind, *front),
        joint=box_joint(15.6, 1.2),
        stubs=both(shade(stub)),
        centre=15.6,
        handles="rings",
        real=1.9,
    )
