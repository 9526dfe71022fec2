"""How far apart two colours look, to people with usual colour vision and to people without."""

from __future__ import annotations

from functools import lru_cache
from math import atan2, cos, degrees, exp, hypot, radians, sin, sqrt
from typing import Literal, TypeAlias, get_args

Vision = Literal["normal", "protan", "deutan", "tritan"]
VISIONS: tuple[Vision, ...] = get_args(Vision)

#: Red, green and blue, X, Y and Z, or L*, a* and b*.
Coordinates: TypeAlias = tuple[float, float, float]
Matrix: TypeAlias = tuple[Coordinates, Coordinates, Coordinates]

#: Linear RGB to XYZ, by the primaries and the white of IEC 61966-2-1 (sRGB).
_TO_XYZ: Matrix = (
    (506752 / 1228815, 87881 / 245763, 12673 / 70218),
    (87098 / 409605, 175762 / 245763, 12673 / 175545),
    (7918 / 409605, 87881 / 737289, 1001167 / 1053270),
)
_WHITE: Coordinates = (0.3127 / 0.3290, 1.0, 0.3583 / 0.3290)

#: What linear RGB becomes without one kind of cone. Source: Machado, Oliveira and Fernandes, IEEE Transactions on
#: Visualization and Computer Graphics 15(6) 1291-1298 (2009), severity 1.
_WITHOUT: dict[Vision, Matrix] = {
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "tritan": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}


def linear(hex_: str, vision: Vision = "normal") -> Coordinates:
    """Return the linear red, green and blue, 0 to 1, of a colour as a person with this vision sees it."""
    red, green, blue = (_linear(int(hex_[place : place + 2], 16) / 255) for place in (1, 3, 5))
    if vision == "normal":
        return red, green, blue
    red, green, blue = (min(1.0, max(0.0, part)) for part in _by(_WITHOUT[vision], (red, green, blue)))
    return red, green, blue


@lru_cache(maxsize=20_000)  # a proposal compares each colour with hundreds of others
def seen(hex_: str, vision: Vision = "normal") -> Coordinates:
    """Return the colour, in CIE Lab under D65, as a person with this vision sees it. Source: CIE 15."""
    x, y, z = (_root(part / white) for part, white in zip(_by(_TO_XYZ, linear(hex_, vision)), _WHITE, strict=True))
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


@lru_cache(maxsize=200_000)
def distance(one: str, other: str, vision: Vision = "normal") -> float:
    """Return ΔE00 between two colours given as ``#00766c``, for one kind of vision."""
    return ciede2000(seen(one, vision), seen(other, vision))


def worst_distance(one: str, other: str) -> tuple[float, Vision]:
    """Return the least ΔE00 over all four kinds of vision, and the vision for which it is the least."""
    return min((distance(one, other, vision), vision) for vision in VISIONS)


def ciede2000(one: Coordinates, other: Coordinates) -> float:
    """Return ΔE00 between two colours in CIE Lab.

    Source: Sharma, Wu and Dalal, Color Research & Application 30(1) 21-30 (2005); the names are those of the paper.
    """
    (l1, a1, b1), (l2, a2, b2) = one, other
    g = 0.5 * (1 - _share((hypot(a1, b1) + hypot(a2, b2)) / 2))
    c1, c2 = hypot((1 + g) * a1, b1), hypot((1 + g) * a2, b2)
    h1, h2 = (degrees(atan2(b, (1 + g) * a)) % 360 for a, b in ((a1, b1), (a2, b2)))
    grey = c1 * c2 == 0
    turn = 0.0 if grey else (h2 - h1 + 180) % 360 - 180
    if turn == -180 and h2 > h1:
        turn = 180.0
    hue = h1 + h2 if grey else ((h1 + h2) / 2 + (180 if abs(h1 - h2) > 180 else 0)) % 360
    lightness, chroma = (l1 + l2) / 2, (c1 + c2) / 2
    t = (
        1
        - 0.17 * cos(radians(hue - 30))
        + 0.24 * cos(radians(2 * hue))
        + 0.32 * cos(radians(3 * hue + 6))
        - 0.20 * cos(radians(4 * hue - 63))
    )
    far = (lightness - 50) ** 2
    s_l = 1 + 0.015 * far / sqrt(20 + far)
    s_c, s_h = 1 + 0.045 * chroma, 1 + 0.015 * chroma * t
    r_t = -2 * _share(chroma) * sin(radians(60 * exp(-(((hue - 275) / 25) ** 2))))
    by_l, by_c = (l2 - l1) / s_l, (c2 - c1) / s_c
    by_h = 2 * sqrt(c1 * c2) * sin(radians(turn / 2)) / s_h
    return sqrt(by_l**2 + by_c**2 + by_h**2 + r_t * by_c * by_h)


def _share(chroma: float) -> float:
    return sqrt(chroma**7 / (chroma**7 + 25.0**7))


def _linear(encoded: float) -> float:
    """Return the linear part of red, green or blue. Source: IEC 61966-2-1."""
    return encoded / 12.92 if encoded <= 0.04045 else ((encoded + 0.055) / 1.055) ** 2.4


def _root(part: float) -> float:
    return part ** (1 / 3) if part > (6 / 29) ** 3 else (part * (29 / 3) ** 3 + 16) / 116


def _by(matrix: Matrix, parts: Coordinates) -> Coordinates:
    first, second, third = (sum(factor * part for factor, part in zip(row, parts, strict=True)) for row in matrix)
    return first, second, third
