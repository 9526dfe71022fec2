"""What is wrong with the colours that a practice has chosen for its chairs and for the tape of its sets.

Colour is never the only cue: chairs and sets have marks too. So a pair that is hard to tell apart is a warning.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Literal

from kitdocs.planning.colours.distance import Vision, worst_distance
from kitdocs.planning.colours.names import name_each
from kitdocs.planning.colours.palette import (
    APART,
    SAFETY,
    closest_pair,
    nearest_that_would_do,
    safety_colour_near,
)
from kitdocs.planning.figure import Figure, Input
from kitdocs.practice.colours import Colour
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules.looking import warning

Kind = Literal["chairs", "sets"]

EYES: Mapping[Vision, str] = {
    "normal": "usual colour vision",
    "protan": "red-blind eyes (protan)",
    "deutan": "green-blind eyes (deutan)",
    "tritan": "blue-blind eyes (tritan)",
}

_SOURCE = "CIEDE2000 (Sharma 2005) after Machado (2009), severity 1"


def colour_problems(practice: Practice) -> tuple[Problem, ...]:
    """Warnings: chairs, or tapes of sets, too close in colour to each other or to a safety colour."""
    return tuple(
        problem
        for kind, colours in _colours(practice)
        for problem in (*_too_close(practice, kind, colours), *_near_safety(practice, kind, colours))
    )


def colour_figures(practice: Practice) -> tuple[Figure, ...]:
    """The distance of the two colours that are hardest to tell apart, for chairs and for tapes."""
    figures = (_figure(practice, kind, colours) for kind, colours in _colours(practice))
    return tuple(figure for figure in figures if figure)


def _colours(practice: Practice) -> Iterator[tuple[Kind, Mapping[str, Colour]]]:
    yield "chairs", {c: chair.colour for c, chair in practice.chairs.items()}
    yield "sets", {s: kit.colour for s, kit in practice.sets.items() if kit.colour is not None}


def _too_close(practice: Practice, kind: Kind, colours: Mapping[str, Colour]) -> Iterator[Problem]:
    for one, other in combinations(colours, 2):
        # The same colour twice is a rule of the reader's for chairs, and somebody's choice for tapes.
        if colours[one].hex == colours[other].hex:
            continue
        least, vision = worst_distance(colours[one].hex, colours[other].hex)
        if least < APART:
            yield warning(
                practice,
                "colours-too-close",
                (kind, other, "colour"),
                f"{colours[other].name} and {colours[one].name} of '{one}' look alike to {EYES[vision]}: "
                f"ΔE00 is {_below(least)}, and {APART:g} is needed",
                _remedy(colours, other),
            )


def _near_safety(practice: Practice, kind: Kind, colours: Mapping[str, Colour]) -> Iterator[Problem]:
    for id_, chosen in colours.items():
        safety = safety_colour_near(chosen.hex)
        if safety:
            yield warning(
                practice,
                "colour-near-safety-colour",
                (kind, id_, "colour"),
                f"{chosen.name} looks like the safety {safety} {SAFETY[safety]} (ISO 3864-4), "
                "which is kept for cautions",
                _remedy(colours, id_),
            )


def _remedy(colours: Mapping[str, Colour], changing: str) -> str:
    """The nearest colour that would do, as it is written in the folder."""
    others = [chosen.hex for id_, chosen in colours.items() if id_ != changing]
    found = nearest_that_would_do(colours[changing].hex, others)
    if found is None:
        return "no colour is apart from all the others: use fewer colours, and the marks"
    taken = {chosen.name.in_language("en").lower() for id_, chosen in colours.items() if id_ != changing}
    ((english, _),) = name_each([found], taken)
    return f"the nearest colour that would do is {{name: {english.capitalize()}, hex: '{found}'}}"


def _below(distance: float) -> str:
    """A distance below the threshold, never rounded up to it."""
    return f"{min(distance, APART - 0.1):.1f}"


def _figure(practice: Practice, kind: Kind, colours: Mapping[str, Colour]) -> Figure | None:
    pair = closest_pair({id_: chosen.hex for id_, chosen in colours.items()})
    if pair is None:
        return None
    names = practice.chairs if kind == "chairs" else practice.sets
    told = {id_: f"{chosen.name} ({names[id_].name})" for id_, chosen in colours.items()}
    what = "chair colours" if kind == "chairs" else "tape colours of sets"
    return Figure(
        id=f"colours.{kind}",
        name=f"Distance of the two closest {what}",
        value=round(pair.distance, 1),
        unit="ΔE00",
        why=(
            f"of all pairs and four kinds of colour vision, {told[pair.one]} and {told[pair.other]} are "
            f"the hardest to tell apart, to {EYES[pair.vision]}; at least {APART:g} is wanted"
        ),
        inputs=tuple(
            Input(
                name=f"colour of {names[id_].name}",
                value=colours[id_].hex,
                source=f"{practice.places.value(kind, id_, 'colour')}; {_SOURCE}",
            )
            for id_ in (pair.one, pair.other)
        ),
        section="colours",
    )
