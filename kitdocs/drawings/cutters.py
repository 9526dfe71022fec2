"""Cutters and locking holders: their working ends."""

from __future__ import annotations

from kitdocs.drawings.head import Head, box_joint, half, plier, ticks
from kitdocs.drawings.outline import MIRROR, path, smooth
from kitdocs.drawings.shape import all_moved, black, both, metal, shade, stroke


def distal_end_cutter() -> Head:
    """Draw a blunt head bent to the side; the cutting slot is in its front edge."""
    upper = smooth(
        "-0.05,15.2! -1.4,11.4 -1.3,7.6 0.2,5.4 2,5! 6.4,5! 6.4,2! 5.6,1.2! 1.2,1.2! -2.6,2.9 -4.3,6.6 -4.4,11.6"
        " -3.9,16.4 -3.5,18.6 -2,19.8 -0.05,20.1!"
    )
    lower = smooth(
        "0.05,15.2! -1.1,11.4 -0.9,7.8 0.4,5.9 2.1,5.5! 6.4,5.5! 6.4,8.3! 5.4,9.2! 3.4,9.4 2.3,11.2 2.9,13.6"
        " 3.9,16.4 3.5,18.6 2,19.8 0.05,20.1!"
    )
    slot = black(path("M6.75 2.7 L2.6 5.25 L6.75 7.8 Z"))
    return plier(metal(upper), metal(lower), slot)


def ligature_cutter() -> Head:
    """Draw a short fine pointed nose."""
    nose = half("0.12,15.2! 0.12,1! 0.5,2.4 1,5.6 1.6,7.4 3.5,9.6 4.3,13")
    edge = black(path("M-0.02 0.8 L0.75 5.2 L-0.02 6.8 Z"))
    return plier(*both(metal(nose), edge))


def hard_wire_cutter() -> Head:
    """Draw a stout blunt wedge with hard cutting edges let in."""
    jaw = half("0.05,15.2! 0.05,3! 1.5,3! 5.2,10.2! 5.3,12.2! 4.4,14.6!")
    bevel = stroke(path("M1.5 3 L2.5 10.6 L0.1 13"))
    insert = black(path("M0 2.7 H1.35 L1.15 8.6 L0 10.4 Z"))
    return plier(*both(metal(jaw), shade(path("M1.5 3 L5.2 10.2 L2.5 10.6 Z")), bevel, insert))


def mathieu() -> Head:
    """Draw short narrow serrated jaws in front of widely spread handles."""
    jaw = smooth("0.15,12! 0.15,1.6! 1.1,1.2 1.9,2.2 2.5,8 2.9,12 2.7,14.2 1.7,15.6 0.05,16!")
    rows = [(0.5, y, 1.5, y - 0.8) for y in (3.4, 4.8, 6.2, 7.6, 9)]
    stub = path("M2.3 13.2 C4.4 14.6 8 17 8.6 22.4 L6.6 22.4 C6.2 18.6 3.4 17 0.6 16.2")
    return Head(
        beaks=both(metal(jaw), *ticks(*rows, line=0.45)),
        joint=box_joint(13.4, 2),
        stubs=both(shade(stub)),
        centre=13.4,
        handles="palm",
        real=1.6,
    )


def mosquito() -> Head:
    """Draw long thin jaws, a small joint and slim shanks that run to finger rings."""
    jaw = smooth("0.05,14! 0.05,0.8! 0.8,1 1.5,5 2.1,11 2.3,14.4 1.8,16.4 0.05,16.9!")
    rows = [(0.05, y, 0.95, y) for y in (2.2, 3.2, 4.2, 5.2, 6.2, 7.2, 8.2, 9.2)]
    stub = path("M1.5 15.6 C2.3 17.6 3 20 3.4 22.4 L1.5 22.4 C1.3 20 0.9 18 0.1 16")
    return Head(
        beaks=both(metal(jaw), *ticks(*rows, line=0.36)),
        joint=box_joint(15, 1.6),
        stubs=both(shade(stub)),
        centre=15,
        handles="rings",
        real=1.8,
    )


def scissors() -> Head:
    """Draw two pointed blades that cross."""
    blade = smooth("-1.2,15.4! -0.7,13.6 1.4,8 4.2,1! 4.8,3.4 4.5,7.4 3,12 1.2,15.8!")
    edge = black(smooth("4.2,1! 1.5,7.8 -0.5,13.2! 1.5,9.6 3.4,4.6"))
    stub = path("M0.4 16.4 C-0.7 18.4 -1.6 20.4 -2.1 22.4 L-4.3 22.4 C-3.6 20 -2.4 17.8 -1.2 15.6")
    front = all_moved((shade(stub), metal(blade), edge), MIRROR)
    return Head(
        beaks=(shade(blade), edge, *front[1:]),
        joint=box_joint(15.4, 1.6),
        stubs=(shade(stub), front[0]),
        centre=15.4,
        handles="bows",
        real=1.8,
    )
