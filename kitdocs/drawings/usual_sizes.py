"""A usual length and width of each kind, for drawings of no one's instrument. Common practice, no source."""

from __future__ import annotations

from kitdocs.practice.kinds import DrawingKind

_PLIER = (138.0, 50.0)
_STRAIGHT = (170.0, 9.0)

_SIZES: dict[DrawingKind, tuple[float, float]] = {
    "bird-beak-plier": (128.0, 50.0),
    "three-prong-plier": (126.0, 48.0),
    "mathieu-needle-holder": (140.0, 52.0),
    "mosquito-forceps": (125.0, 46.0),
    "scissors": (115.0, 60.0),
    "cotton-plier": (155.0, 11.0),
    "bracket-holder": (140.0, 11.0),
    "tube-holder": (145.0, 12.0),
    "mouth-mirror": (165.0, 22.0),
    "explorer": _STRAIGHT,
    "scaler": _STRAIGHT,
    "periodontal-probe": _STRAIGHT,
    "band-pusher": _STRAIGHT,
    "band-seater": (155.0, 14.0),
    "ligature-director": _STRAIGHT,
    "bracket-height-gauge": (150.0, 11.0),
    "cement-spatula": _STRAIGHT,
    "cheek-retractor": (110.0, 90.0),
    "wire-turret": (45.0, 25.0),
    "photo-mirror": (150.0, 68.0),
    "handpiece": (130.0, 24.0),
    "bur": (44.0, 6.0),
    "strip-holder": (110.0, 32.0),
    "hand-driver": (95.0, 12.0),
}


def usual_size(kind: DrawingKind) -> tuple[float, float]:
    """Return a usual length and width in millimetres, closed."""
    return _SIZES.get(kind, _PLIER)
