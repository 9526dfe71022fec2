"""How far apart two colours look, to people with usual colour vision and to people without."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Literal, get_args

from coloraide import Color

Vision = Literal["normal", "protan", "deutan", "tritan"]
VISIONS: tuple[Vision, ...] = get_args(Vision)

#: What a person without one kind of cone sees, as a matrix on linear RGB. Source: Machado, Oliveira and
#: Fernandes, IEEE Transactions on Visualization and Computer Graphics 15(6) 1291-1298 (2009), severity 1.
MACHADO: Mapping[Vision, tuple[tuple[float, float, float], ...]] = MappingProxyType(
    {
        "protan": (
            (0.152286, 1.052583, -0.204868),
            (0.114503, 0.786281, 0.099216),
            (-0.003882, -0.048116, 1.051998),
        ),
        "deutan": (
            (0.367322, 0.860646, -0.227968),
            (0.280085, 0.672501, 0.047413),
            (-0.011820, 0.042940, 0.968881),
        ),
        "tritan": (
            (1.255528, -0.076749, -0.178779),
            (-0.078411, 0.930809, 0.147602),
            (0.004733, 0.691367, 0.303900),
        ),
    }
)

Lab = tuple[float, float, float]
"""CIE L*, a*, b* under D65."""


def ciede2000(one: Lab, other: Lab) -> float:
    """Return the colour difference ΔE00 of two colours given in CIE Lab under D65.

    Source: Sharma, Wu and Dalal, Color Research & Application 30(1) 21-30 (2005). In coloraide the space `lab`
    is under D50 and would be adapted first; `lab-d65` is taken as it stands.
    """
    return _colour(one).delta_e(_colour(other), method="2000")


@lru_cache(maxsize=20_000)  # a proposal compares each colour with hundreds of others
def _colour(lab_d65: Lab) -> Color:
    return Color("lab-d65", list(lab_d65))


def seen_as(hex_: str, vision: Vision) -> tuple[float, float, float]:
    """Return the linear RGB, each 0 to 1, that stands for the colour as a person with this vision sees it."""
    red, green, blue = Color(hex_).convert("srgb-linear").coords()
    if vision == "normal":
        return red, green, blue
    seen = tuple(r * red + g * green + b * blue for r, g, b in MACHADO[vision])
    return _clip(seen[0]), _clip(seen[1]), _clip(seen[2])


@lru_cache(maxsize=20_000)
def lab(hex_: str, vision: Vision = "normal") -> Lab:
    """Return the colour in CIE Lab under D65, as a person with this vision sees it."""
    lightness, a, b = Color("srgb-linear", list(seen_as(hex_, vision))).convert("lab-d65").coords()
    return lightness, a, b


@lru_cache(maxsize=200_000)
def distance(one: str, other: str, vision: Vision = "normal") -> float:
    """Return ΔE00 between two colours given as ``#00766c``, for one kind of vision."""
    return ciede2000(lab(one, vision), lab(other, vision))


def worst_distance(one: str, other: str) -> tuple[float, Vision]:
    """Return the least ΔE00 over all four kinds of vision, and the vision for which it is the least."""
    return min((distance(one, other, vision), vision) for vision in VISIONS)


def _clip(value: float) -> float:
    return min(1.0, max(0.0, value))
