"""Every kind of instrument in two views: the whole at true size, and the working end enlarged.

Whole pliers look alike at 15 mm, their tips do not: a picture that must tell instruments apart shows
the tip, one that must show length and place shows the whole.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache, lru_cache

from kitdocs.drawings import ends, heads, neutral, others, sprung
from kitdocs.drawings.drawing import Drawing, document
from kitdocs.drawings.ends import End
from kitdocs.drawings.heads import Head
from kitdocs.drawings.hinged import LYING, levers_of
from kitdocs.drawings.outline import Affine, bounds, scale, shift
from kitdocs.drawings.shape import Shapes, all_moved, ink_bounds
from kitdocs.drawings.straight import whole_straight
from kitdocs.practice.kinds import DrawingKind

TIP_WIDTH_MM = 18.0
TIP_HEIGHT_MM = 22.0
WHOLE_LINE = 0.6
"""Lines of a whole are this share of those of a tip: 0.36 mm at true size."""
_WIDEST_TURN = 60.0
"""No lever turns further than this, in degrees."""

_HINGED: dict[DrawingKind, Callable[[], Head]] = {
    "weingart-plier": heads.weingart,
    "howe-plier": heads.howe,
    "bird-beak-plier": heads.bird_beak,
    "three-prong-plier": heads.three_prong,
    "hollow-chop-plier": heads.hollow_chop,
    "step-plier": heads.step,
    "hook-crimping-plier": heads.hook_crimping,
    "distal-end-cutter": heads.distal_end_cutter,
    "ligature-cutter": heads.ligature_cutter,
    "hard-wire-cutter": heads.hard_wire_cutter,
    "bracket-removing-plier": heads.bracket_removing,
    "band-removing-plier": heads.band_removing,
    "adhesive-removing-plier": heads.adhesive_removing,
    "separator-plier": heads.separator,
    "mathieu-needle-holder": heads.mathieu,
    "mosquito-forceps": heads.mosquito,
    "scissors": heads.scissors,
    "other-plier": neutral.other_plier,
    "other-cutter": neutral.other_cutter,
    "other-remover": neutral.other_remover,
    "other-locking": neutral.other_locking,
}
_STRAIGHT: dict[DrawingKind, Callable[[], End]] = {
    "mouth-mirror": ends.mouth_mirror,
    "explorer": ends.explorer,
    "scaler": ends.scaler,
    "periodontal-probe": ends.periodontal_probe,
    "band-pusher": ends.band_pusher,
    "band-seater": ends.band_seater,
    "ligature-director": ends.ligature_director,
    "bracket-height-gauge": ends.bracket_height_gauge,
    "cement-spatula": ends.cement_spatula,
    "hand-driver": ends.hand_driver,
    "other-straight": neutral.other_straight,
}
_OWN_TIPS: dict[DrawingKind, Callable[[], Shapes]] = {
    "cotton-plier": sprung.cotton_plier_tip,
    "bracket-holder": sprung.bracket_holder_tip,
    "tube-holder": sprung.tube_holder_tip,
    "cheek-retractor": others.cheek_retractor,
    "wire-turret": others.wire_turret,
    "photo-mirror": others.photo_mirror,
    "handpiece": others.handpiece_tip,
    "bur": others.bur,
    "strip-holder": others.strip_holder,
    "other-tweezers": neutral.other_tweezers_tip,
    "other-instrument": neutral.other_instrument,
}
_OWN_WHOLES: dict[DrawingKind, Callable[[float, float], Shapes]] = {
    "cotton-plier": sprung.whole_cotton_plier,
    "bracket-holder": sprung.whole_bracket_holder,
    "tube-holder": sprung.whole_tube_holder,
    "cheek-retractor": lambda _length, _width: all_moved(others.cheek_retractor(), LYING),
    "wire-turret": lambda _length, _width: all_moved(others.wire_turret(), LYING),
    "photo-mirror": others.whole_photo_mirror,
    "handpiece": others.whole_handpiece,
    "bur": lambda _length, _width: all_moved(others.bur(), LYING),
    "strip-holder": others.whole_strip_holder,
    "other-tweezers": neutral.whole_other_tweezers,
    "other-instrument": neutral.whole_other_instrument,
}

# Usual lengths and widths, for drawings of no one's instrument. Common practice, no source.
_USUAL_PLIER = (138.0, 50.0)
_USUAL_STRAIGHT = (170.0, 9.0)
_USUAL_SIZES: dict[DrawingKind, tuple[float, float]] = {
    "bird-beak-plier": (128.0, 50.0),
    "three-prong-plier": (126.0, 48.0),
    "mathieu-needle-holder": (140.0, 52.0),
    "mosquito-forceps": (125.0, 46.0),
    "scissors": (115.0, 60.0),
    "cotton-plier": (155.0, 11.0),
    "bracket-holder": (140.0, 11.0),
    "tube-holder": (145.0, 12.0),
    "mouth-mirror": (165.0, 22.0),
    "explorer": _USUAL_STRAIGHT,
    "scaler": _USUAL_STRAIGHT,
    "periodontal-probe": _USUAL_STRAIGHT,
    "band-pusher": _USUAL_STRAIGHT,
    "band-seater": (155.0, 14.0),
    "ligature-director": _USUAL_STRAIGHT,
    "bracket-height-gauge": (150.0, 11.0),
    "cement-spatula": _USUAL_STRAIGHT,
    "cheek-retractor": (110.0, 90.0),
    "wire-turret": (45.0, 25.0),
    "photo-mirror": (150.0, 68.0),
    "handpiece": (130.0, 24.0),
    "bur": (44.0, 6.0),
    "strip-holder": (110.0, 32.0),
    "hand-driver": (95.0, 12.0),
    "other-locking": (125.0, 46.0),
    "other-straight": _USUAL_STRAIGHT,
    "other-tweezers": (150.0, 12.0),
    "other-instrument": (120.0, 40.0),
}


def usual_size(kind: DrawingKind) -> tuple[float, float]:
    """Return a usual length and width in millimetres, closed."""
    return _USUAL_SIZES.get(kind, _USUAL_PLIER)


@cache
def tip(kind: DrawingKind) -> Drawing:
    """Draw the working end, enlarged, pointing up; every kind on the same 18 mm × 22 mm canvas."""
    shapes = all_moved(tip_shapes(kind), shift(TIP_WIDTH_MM / 2, 0))
    return document((s.element() for s in shapes), width_mm=TIP_WIDTH_MM, height_mm=TIP_HEIGHT_MM)


@lru_cache(maxsize=512)
def whole(kind: DrawingKind, length_mm: float, width_mm: float) -> Drawing:
    """Draw the closed instrument at true size, tip to the left; its ink fills length × width exactly."""
    shapes = whole_shapes(kind, length_mm, width_mm)
    return document((s.element(WHOLE_LINE) for s in shapes), width_mm=length_mm, height_mm=width_mm)


@lru_cache(maxsize=512)
def opened_shapes(kind: DrawingKind, length_mm: float, width_mm: float, open_width_mm: float) -> Shapes:
    """Draw a hinged instrument that is `width_mm` wide closed, opened until its ink fills length × open width.

    Anything else, and what is no wider open than closed, is drawn as `whole_shapes` draws it.
    """
    if kind not in _HINGED or open_width_mm <= width_mm:
        return whole_shapes(kind, length_mm, open_width_mm)
    closed = levers_of(_HINGED[kind](), length_mm, width_mm)
    closed = closed.moved(_fitting(closed.shapes, length_mm, width_mm))
    low, high = 0.0, _WIDEST_TURN
    for _ in range(20):
        middle = (low + high) / 2
        _, top, _, bottom = ink_bounds(closed.opened(middle).shapes, WHOLE_LINE)
        low, high = (middle, high) if bottom - top < open_width_mm else (low, middle)
    return _fitted(closed.opened(low).shapes, length_mm, open_width_mm)


@lru_cache(maxsize=512)
def whole_shapes(kind: DrawingKind, length_mm: float, width_mm: float) -> Shapes:
    """Draw a closed instrument as shapes, for drawings that hold several instruments."""
    if kind in _HINGED:
        shapes = levers_of(_HINGED[kind](), length_mm, width_mm).shapes
    elif kind == "bracket-height-gauge" and length_mm < 3 * width_mm:
        shapes = ends.height_gauge(length_mm, width_mm)
    elif kind in _STRAIGHT:
        shapes = whole_straight(_STRAIGHT[kind](), length_mm, width_mm)
    else:
        shapes = _OWN_WHOLES[kind](length_mm, width_mm)
    return _fitted(shapes, length_mm, width_mm)


def tip_shapes(kind: DrawingKind) -> Shapes:
    """Draw a working end as shapes, its axis on x = 0."""
    if kind in _HINGED:
        head = _HINGED[kind]()
        return (*head.stubs, *head.beaks, *head.joint)
    if kind in _STRAIGHT:
        return _STRAIGHT[kind]().shapes
    return _OWN_TIPS[kind]()


def _fitted(shapes: Shapes, length: float, width: float) -> Shapes:
    """Draw the shapes stretched until their ink touches all four sides of the box."""
    return all_moved(shapes, _fitting(shapes, length, width))


def _fitting(shapes: Shapes, length: float, width: float) -> Affine:
    """Return the stretch that makes the ink touch all four sides of the box.

    Lines keep their width while outlines stretch, so the stretch is found in a few rounds on the boxes alone.
    """
    boxes = [(*bounds([s.outline]), s.line * WHOLE_LINE / 2) for s in shapes]
    x_scale, x_shift = _stretch([(b[0], b[2], b[4]) for b in boxes], length)
    y_scale, y_shift = _stretch([(b[1], b[3], b[4]) for b in boxes], width)
    return scale(x_scale, y_scale).then(shift(x_shift, y_shift))


def _stretch(extents: Sequence[tuple[float, float, float]], room: float) -> tuple[float, float]:
    """Return the scale and shift along one axis for (from, to, half line) of shapes whose ink is to fill 0 to room."""
    by = 1.0
    for _ in range(12):
        low = min(start * by - half for start, _, half in extents)
        high = max(end * by + half for _, end, half in extents)
        span = max(end for _, end, _ in extents) - min(start for start, _, _ in extents)
        by = max(by + (room - (high - low)) / span, room / span / 10)
    return by, -min(start * by - half for start, _, half in extents)
