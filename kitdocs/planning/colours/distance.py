"""How far apart two colours look, to people with usual colour vision and to people without."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal, get_args

from coloraide import Color

Vision = Literal["normal", "protan", "deutan", "tritan"]
VISIONS: tuple[Vision, ...] = get_args(Vision)


@lru_cache(maxsize=20_000)  # a proposal compares each colour with hundreds of others
def seen(hex_: str, vision: Vision = "normal") -> Color:
    """Return the colour, in CIE Lab under D65, as a person with this vision sees it.

    Source for vision without one kind of cone: Machado, Oliveira and Fernandes, IEEE Transactions on Visualization and
    Computer Graphics 15(6) 1291-1298 (2009), severity 1: a matrix on linear RGB, which coloraide has.
    """
    colour = Color(hex_).convert("srgb-linear")
    if vision != "normal":
        colour = colour.filter(vision, method="machado").clip()
    return colour.convert("lab-d65")


@lru_cache(maxsize=200_000)
def distance(one: str, other: str, vision: Vision = "normal") -> float:
    """Return ΔE00 between two colours given as ``#00766c``, for one kind of vision.

    Source: Sharma, Wu and Dalal, Color Research & Application 30(1) 21-30 (2005).
    """
    return seen(one, vision).delta_e(seen(other, vision), method="2000")


def worst_distance(one: str, other: str) -> tuple[float, Vision]:
    """Return the least ΔE00 over all four kinds of vision, and the vision for which it is the least."""
    return min((distance(one, other, vision), vision) for vision in VISIONS)


def grey_distance(one: str, other: str) -> float:
    """Return ΔE00 between two colours as a grey copy has them, each as light as the colour and without its hue."""
    return _grey(one).delta_e(_grey(other), method="2000")


@lru_cache(maxsize=20_000)
def _grey(hex_: str) -> Color:
    return Color("lab-d65", [seen(hex_)["lightness"], 0, 0])
