"""The working ends of hinged instruments: pointing up, joint on x = 0, on the 18 mm × 22 mm tip canvas."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from kitdocs.drawings.drawing import INK
from kitdocs.drawings.outline import MIRROR, Outline, ellipse, path, polygon, smooth
from kitdocs.drawings.shape import (
    Shape,
    Shapes,
    all_moved,
    black,
    both,
    grip,
    metal,
    shade,
    stroke,
    ticks,
    white,
)

CENTRE = 17.3
"""How far below the top of the canvas the joint of a plier lies."""
SHOULDER_RIGHT = "3.9,16.4 3.5,18.6 2,19.8 0.05,20.1!"
SHOULDER_LEFT = "-3.9,16.4 -3.5,18.6 -2,19.8 -0.05,20.1!"


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    beaks: Shapes
    joint: Shapes
    stubs: Shapes
    """The beginnings of the handles, cut off by the lower edge of the tip canvas; the whole has real ones."""
    centre: float = CENTRE
    handles: Literal["plier", "rings", "bows", "palm"] = "plier"
    real: float = 1.75
    """Real millimetres to one millimetre of the canvas, for an instrument 140 mm long."""
    jaws_stay: bool = False
    """Whether the jaws stay where they are when the handles spread: seen from the front, or spread by squeezing."""


def half(inner_to_outer: str) -> Outline:
    """Return the right beak: from the inner edge above the joint, round the tip, down to the shoulder; the body is
    added."""
    return smooth(f"{inner_to_outer} {SHOULDER_RIGHT}")


def box_joint(y: float = CENTRE, radius: float = 2.5) -> Shapes:
    """Draw the round of a box joint with its slotted screw."""
    screw = radius * 0.42
    return (
        metal(ellipse(0, y, radius)),
        white(ellipse(0, y, screw)),
        stroke(path(f"M{-screw * 0.6} {y + screw * 0.6} L{screw * 0.6} {y - screw * 0.6}")),
    )


def plier_stubs() -> Shapes:
    stub = path("M3.4 17.6 C4.4 19.2 6 20.4 6.9 22.4 L3 22.4 C2.4 21.2 1.4 20.4 0.6 19.4")
    return both(shade(stub))


def plier(*beaks: Shape, jaws_stay: bool = False) -> Head:
    """Draw the head of a plier, its beaks back to front."""
    return Head(beaks=beaks, joint=box_joint(), stubs=plier_stubs(), jaws_stay=jaws_stay)


# pliers that bend, hold, squeeze and spread -------------------------------------------------------------


def weingart() -> Head:
    """Draw slim tapered beaks, bent to one side, serrated where they meet."""
    meeting = "0,15.2! -0.3,11.5 0.2,7.8 1.5,4.3 3.5,1.2!"
    left = smooth(f"{meeting} 2.7,0.75! 0.4,3.2 -1.3,6.6 -2.1,10.4 {SHOULDER_LEFT}")
    right = smooth(f"{meeting} 4.3,1.7! 2.9,4.8 2.1,8 2.2,11.2 {SHOULDER_RIGHT}")
    cuts = ticks(
        *(
            (x - 0.72 * c, y - 0.72 * s, x + 0.72 * c, y + 0.72 * s)
            for x, y, c, s in (
                (2.3, 2.95, 0.84, 0.46),
                (1.75, 3.9, 0.86, 0.42),
                (1.25, 4.9, 0.9, 0.36),
                (0.82, 5.95, 0.94, 0.3),
                (0.45, 7.05, 0.96, 0.24),
            )
        ),
        line=0.5,
    )
    return plier(metal(left), metal(right), *cuts)


def howe() -> Head:
    """Draw straight parallel beaks that end in round flat pads."""
    arm = half("0.45,15.2! 0.45,5! 1.5,5! 1.6,8 2.3,12")
    pad = path("M0.4 0.7 C4.2 0.7 4.2 6.3 0.4 6.3 Z")
    rows = ticks(*((1.1, y, 2.4 if y == 3.5 else 1.9, y) for y in (2.1, 3.5, 4.9)), line=0.45)
    return plier(*both(metal(arm), metal(pad), *rows))


def bird_beak() -> Head:
    """Draw one round cone against one square pyramid, slightly open."""
    root_left = smooth(f"-0.05,15.6! -0.15,14.4! -4.1,12.6! {SHOULDER_LEFT}")
    root_right = smooth(f"0.05,15.6! 0.15,14.4! 4.1,12.6! {SHOULDER_RIGHT}")
    cone = smooth("-1.45,1.4 -1.05,1.75 -0.35,12.6! -0.9,13.6 -2.2,14 -3.6,13.5 -4.1,12.6! -1.85,1.75")
    rings = [
        stroke(
            smooth(
                f"{x1},{y} {x1 + (x2 - x1) * 0.25},{y + sag * 0.8} {(x1 + x2) / 2},{y + sag} "
                f"{x1 + (x2 - x1) * 0.75},{y + sag * 0.8} {x2},{y}",
                closed=False,
            ),
            0.42,
        )
        for x1, x2, y, sag in ((-2.35, -0.9, 4.4, 0.55), (-2.95, -0.7, 7.2, 0.85), (-3.55, -0.52, 10, 1.15))
    ]
    near = polygon([(1.05, 1.4), (1.5, 1.4), (2.1, 14.2), (0.35, 12.7)])
    away = polygon([(1.5, 1.4), (1.95, 1.4), (4.1, 12.7), (2.1, 14.2)])
    return plier(metal(root_left), metal(root_right), metal(cone), *rings, metal(near), grip(away))


def three_prong() -> Head:
    """Draw two prongs on one beak, one on the other, which closes between them."""
    fork = smooth(
        "0,13.4 -1.5,12.2 -1.75,10 -1.75,2.6 -2.5,1.6 -3.25,2.6 -3.4,9 -3.9,16.4 -3.5,18.6 -2,19.8 0,20.1! 2,19.8"
        " 3.5,18.6 3.9,16.4 3.4,9 3.25,2.6 2.5,1.6 1.75,2.6 1.75,10 1.5,12.2"
    )
    middle = smooth("-0.75,15.2! -0.7,3.8 0,3 0.7,3.8 0.75,15.2!")
    return plier(metal(fork), grip(middle), jaws_stay=True)


def hollow_chop() -> Head:
    """Draw one jaw hollow, the other rounded to match it."""
    hollow = smooth(
        f"-0.05,15.2! -0.5,13 -2.1,10.6 -2.55,7.4 -1.7,4.2 0.1,1.6! -1.6,1.1 -4.1,3.6 -4.9,7.4 -4.4,11.6"
        f" {SHOULDER_LEFT}"
    )
    rounded = smooth(
        f"0.05,15.2! -0.1,12.6 -1.4,10.2 -1.75,7.4 -1,4.6 0.9,2.2! 2.4,3.4 2.9,6.6 2.7,11 {SHOULDER_RIGHT}"
    )
    gap = smooth("0,14.8! -2.6,10.4 -2.9,6.6 0.1,1.6! 0.9,2.2! 0.6,8 0.3,14.8!")
    return plier(black(gap), metal(hollow), metal(rounded))


def step() -> Head:
    """Draw square jaws whose meeting line makes a stair."""
    stair = "0,15.2! 0,10.4! -1.7,10.4! -1.7,6.2! 1.5,6.2! 1.5,1.6!"
    left = smooth(f"{stair} -3.3,1.6! -3.3,9.5! {SHOULDER_LEFT}")
    right = smooth(f"{stair} 3.3,1.6! 3.3,9.5! {SHOULDER_RIGHT}")
    edge = Shape(outline=path("M0 15 V10.4 H-1.7 V6.2 H1.5 V2"), line=0.95)
    return plier(metal(left), metal(right), edge)


def hook_crimping() -> Head:
    """Draw jaws like a small anvil with a keyhole across their tips, which presses a hook on to the wire."""
    jaw = half(
        "0.05,15.2! 0.05,7.6! 0.6,7.4 1.25,6.6 1.3,5.6 0.75,4.7! 0.75,1.8! 4.1,1.8! 4.1,6! 2.5,8.2 1.9,10.4 2.6,13"
    )
    slot = black(path("M-0.02 1.6 H0.75 V5.4 H-0.02 Z"))
    seat = black(path("M-0.02 4.65 C0.75 4.65 1.35 5.25 1.35 6 C1.35 6.75 0.75 7.35 -0.02 7.35 Z"))
    grooves = ticks((1.5, 6, 3.9, 6), (1.2, 3.4, 3.9, 3.4), line=0.5)
    return plier(*both(metal(jaw), slot, seat, *grooves))


def bracket_removing() -> Head:
    """Draw arched beaks that meet only in two thin chisel edges, across the top of an open oval."""
    arm = half("0.3,13.2! 1.6,11.4 2.6,8.4 2.3,5.4 0.25,3.1! 0.25,1.7! 3.1,3.1 4.6,6.6 4.1,11")
    edge = black(path("M0.25 1.4 L2.7 2.9 L1.9 4.4 L0.25 3.3 Z"))
    return plier(*both(metal(arm), edge))


def band_removing() -> Head:
    """Draw a long beak with a dome-shaped plastic pad against a short beak with a claw."""
    long_beak = smooth(
        "-0.15,15.2! -0.4,12.5 -1.7,9.5 -2.1,4.6! -3.9,4.6! -4.1,9.5 -3.9,16.4 -3.5,18.6 -2,19.8 -0.15,20.1!"
    )
    pad = grip(smooth("-5.1,4.8! -5.1,2.6 -3,0.8 -0.9,2.6 -0.9,4.8!"))
    short = half("0.15,15.2! 1.3,12.8 1.2,10.9 -0.7,9.3! 2.2,8.1 3.9,10.6 4.1,13.4")
    claw = black(smooth("-0.9,9.2! 1.2,10.9 1.5,11.3! 2.4,10.4 2,8.1!"))
    return plier(metal(long_beak), pad, metal(short), claw)


def adhesive_removing() -> Head:
    """Draw a straight beak with a round plastic pad against an arched beak that carries a flat screwed-on blade."""
    straight = smooth("-0.15,15.2! -1.1,12.5 -2.3,9.5 -2.5,5! -4.1,5! -4.4,9.5 -3.9,16.4 -3.5,18.6 -2,19.8 -0.15,20.1!")
    pad = grip(ellipse(-3.3, 3.3, 2.3))
    arch = half("0.15,15.2! 1.3,12.3 2.6,9.5 2.6,7.4 1.6,6.2! 2.1,3.6! 4.6,4.6 5.6,8 4.5,12.5")
    blade = Shape(outline=path("M-0.45 3.1 L3.3 3.4 L2.8 6.3 L-0.45 5 Z"), fill=INK, line=0.3)
    screw = Shape(outline=ellipse(1.75, 4.75, 0.62), fill="#ffffff", line=0.0)
    return plier(metal(straight), pad, metal(arch), blade, screw)


def separator() -> Head:
    """Draw long slender beaks that lie together and end in small hooks turned outwards: they spread when squeezed."""
    arm = half("0.2,15.2! 0.25,11 0.7,7 2,3.9 4.2,1.3! 5.7,2.2! 4.5,3 4.1,3.7 4.7,4.9! 3.2,6.1 2.2,8.4 2,11 2.9,14")
    lip = black(smooth("4.2,1.1! 5.9,2.2! 4.5,3 3.1,2.6!"))
    return plier(*both(metal(arm), lip), jaws_stay=True)


# cutters and locking holders ----------------------------------------------------------------------------


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
