"""Colours that stay apart: a proposal of so many, and the nearest that would do.

Colours are apart when ΔE00 is at least 10 for usual vision and for the three kinds of colour blindness. The threshold
is ours: the eight colours of Okabe and Ito (2008), widely used for this purpose, keep 10.87. A proposal of up to twelve
stays apart without colour, too, as a grey copy has it: beyond twelve, the greys of paper do not suffice for both.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations, product
from typing import TypeAlias

from kitdocs.planning.colours import MOST_COLOURS
from kitdocs.planning.colours.distance import Vision, distance, grey_distance, worst_distance
from kitdocs.planning.colours.ink import needs_outline
from kitdocs.planning.colours.names import colour_name, name_each
from kitdocs.practice.colours import NAMED
from kitdocs.practice.message import Message

#: The least ΔE00 between two colours, and between a colour and a safety colour.
APART = 10.0

#: The safety colours that cautions use, approximate in sRGB. Source: ISO 3864-4, by way of RAL 1003 and RAL 3001.
SAFETY: Mapping[str, str] = {"yellow": "#f9a800", "red": "#9b2423"}

#: Steps of red, green and blue from which a proposal is chosen.
_STEPS = (0, 40, 80, 120, 160, 200, 240)
_STARTS = 8
#: From teal on, nine plain colours of ours stay apart, as many as from any.
_FIRST = NAMED["teal"]

#: The most colours that are proposed to stay apart in grey, too, and what a ΔE00 between greys then counts as: with so
#: much, twelve colours still keep `APART`. Ours.
MOST_IN_GREY = 12
_GREY_COUNTS = 2.5

#: How far apart two colours count as when colours are chosen.
_Apart: TypeAlias = Callable[[str, str], float]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposedColour:
    """A colour of a proposal, with plain names and its distance to the nearest of the others."""

    hex: str
    name: Message
    nearest: float
    """The least ΔE00 to another colour of the proposal, over four kinds of vision."""


@cache
def candidates() -> tuple[str, ...]:
    """Return the colours from which a proposal is chosen: an even grid of red, green and blue.

    Without what is too pale for white paper, what a printer makes black but is not, and safety colours.
    """
    levels = [level for level in product(_STEPS, repeat=3) if max(level) >= 80 or max(level) == 0]
    grid = [f"#{red:02x}{green:02x}{blue:02x}" for red, green, blue in levels]
    return tuple(c for c in grid if not needs_outline(c) and safety_colour_near(c) is None)


@cache
def propose(count: int) -> tuple[ProposedColour, ...]:
    """Return `count` colours, 1 to 16, that are far apart for every kind of vision; up to 12 of them in grey, too.

    They are the same on every machine. The first two are farther apart than any other two, and so on down the list.
    Raises ValueError for any other count.
    """
    if not 1 <= count <= MOST_COLOURS:
        raise ValueError(f"{count} colours cannot be proposed; 1 to {MOST_COLOURS} can")
    apart = apart_in_grey_too if count <= MOST_IN_GREY else _apart
    grown = (_improved(_grown(start, count, apart), apart) for start in _starts())
    chosen = _farthest_first(max(grown, key=lambda colours: _worst(colours, apart)))
    names = name_each(chosen)
    return tuple(
        ProposedColour(
            hex=colour,
            name=colour_name(name),
            nearest=round(min((_apart(colour, c) for c in chosen if c != colour), default=100.0), 2),
        )
        for colour, name in zip(chosen, names, strict=True)
    )


def colours_beside(taken: Sequence[str], count: int) -> tuple[str, ...]:
    """Return `count` colours (``#00766c``), each as far as can be from those that are taken and those before it.

    Plain ones, which have a name of ours, come first, as long as one is apart from the others; then any that is printed
    well. None is near a safety colour.
    """
    chosen = [] if taken else [_FIRST][:count]
    plain = [hex_ for hex_ in NAMED.values() if not needs_outline(hex_) and safety_colour_near(hex_) is None]
    apart = {c: min(_apart(c, other) for other in (*taken, *chosen)) for c in (*plain, *candidates()) if count}
    while len(chosen) < count:
        best = max(plain, key=apart.__getitem__)
        chosen.append(best if apart[best] >= APART else max(candidates(), key=apart.__getitem__))
        apart = {colour: min(least, _apart(colour, chosen[-1])) for colour, least in apart.items()}
    return tuple(chosen)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosestPair:
    """The two of some colours that are hardest to tell apart, and for whom."""

    one: str
    other: str
    vision: Vision
    distance: float


def closest_pair(colours: Mapping[str, str]) -> ClosestPair | None:
    """Return the closest two of some colours by their id; None for fewer than two colours."""
    pairs = [(*worst_distance(colours[a], colours[b]), a, b) for a, b in combinations(colours, 2)]
    if not pairs:
        return None
    least, vision, one, other = min(pairs, key=lambda pair: pair[0])
    return ClosestPair(one=one, other=other, vision=vision, distance=least)


def safety_colour_near(hex_: str) -> str | None:
    """Return the safety colour that a colour could be taken for, by its name; None when there is none."""
    return next((name for name, safety in SAFETY.items() if distance(hex_, safety) < APART), None)


def nearest_that_would_do(hex_: str, others: Sequence[str]) -> str | None:
    """Return the colour nearest to `hex_` that is apart from all others and from the safety colours, if one is."""
    return next(
        (
            candidate
            for candidate in sorted(candidates(), key=lambda c: distance(hex_, c))
            if all(worst_distance(candidate, other)[0] >= APART for other in others)
        ),
        None,
    )


def _starts() -> tuple[str, ...]:
    every = len(candidates()) // _STARTS
    return candidates()[::every][:_STARTS]


def _grown(start: str, count: int, apart: _Apart) -> tuple[str, ...]:
    """Return a choice that always takes the candidate farthest from those already chosen."""
    chosen = [start]
    nearest = {c: apart(c, start) for c in candidates()}
    while len(chosen) < count:
        chosen.append(max(nearest, key=lambda c: nearest[c]))
        nearest = {c: min(least, apart(c, chosen[-1])) for c, least in nearest.items()}
    return tuple(chosen)


def _improved(chosen: tuple[str, ...], apart: _Apart) -> tuple[str, ...]:
    """Return the choice after exchanging one of the closest two, again and again, while that helps."""
    while len(chosen) > 1:
        best = max(_exchanges(chosen, apart), key=lambda colours: _worst(colours, apart))
        if _worst(best, apart) <= _worst(chosen, apart):
            break
        chosen = best
    return chosen


def _exchanges(chosen: tuple[str, ...], apart: _Apart) -> Iterator[tuple[str, ...]]:
    for leaving in min(combinations(chosen, 2), key=lambda pair: apart(*pair)):
        stay = tuple(c for c in chosen if c != leaving)
        yield (*stay, max(candidates(), key=lambda c: min(apart(c, other) for other in stay)))


def _worst(chosen: Sequence[str], apart: _Apart) -> float:
    return min((apart(a, b) for a, b in combinations(chosen, 2)), default=100.0)


def _farthest_first(chosen: Sequence[str]) -> tuple[str, ...]:
    """Return the same colours, ordered so that the first few are as far apart as their order allows."""
    if len(chosen) < 3:
        return tuple(chosen)
    ordered = list(max(combinations(chosen, 2), key=lambda pair: _apart(*pair)))
    while len(ordered) < len(chosen):
        left = [c for c in chosen if c not in ordered]
        ordered.append(max(left, key=lambda c: min(_apart(c, o) for o in ordered)))
    return tuple(ordered)


@cache
def apart_in_grey_too(one: str, other: str) -> float:
    """Return the least ΔE00 of two colours over four kinds of vision, or between their greys, which count more."""
    return min(_apart(one, other), _GREY_COUNTS * grey_distance(one, other))


@cache
def _apart(one: str, other: str) -> float:
    return worst_distance(one, other)[0]
