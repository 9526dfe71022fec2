"""Problems with the colours that a practice has chosen for its chairs and for the tape of its sets.

Colour is never the only cue: chairs and sets have marks too. So a pair that is hard to tell apart is a warning.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations, pairwise
from typing import Literal

from kitdocs.planning.colours.distance import Vision, worst_distance
from kitdocs.planning.colours.looks import MARKS
from kitdocs.planning.colours.names import colour_name, name_each
from kitdocs.planning.colours.palette import (
    APART,
    SAFETY,
    closest_pair,
    nearest_that_would_do,
    safety_colour_near,
)
from kitdocs.planning.figure import Figure, Input
from kitdocs.practice.colours import Colour
from kitdocs.practice.message import Fixed, Message, message
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules.looking import warning

Kind = Literal["chairs", "sets"]


def colour_problems(practice: Practice) -> tuple[Problem, ...]:
    """Warnings: chairs, or tapes of sets, too close in colour to each other or to a safety colour; chairs in a row."""
    found = [
        problem
        for kind, colours in _colours(practice)
        for problem in (*_too_close(practice, kind, colours), *_near_safety(practice, kind, colours))
    ]
    return (*found, *_alike_beside(practice))


def colour_figures(practice: Practice) -> tuple[Figure, ...]:
    """Return the distance of the two colours that are hardest to tell apart, for chairs and for tapes."""
    figures = (_figure(practice, kind, colours) for kind, colours in _colours(practice))
    return tuple(figure for figure in figures if figure)


def _colours(practice: Practice) -> Iterator[tuple[Kind, Mapping[str, Colour]]]:
    yield "chairs", {c: chair.colour for c, chair in practice.chairs.items()}
    yield "sets", {s: kit.colour for s, kit in practice.sets.items() if kit.colour is not None}


def _one_of_each(colours: Mapping[str, Colour]) -> Mapping[str, Colour]:
    """Return the first chair or set of each colour: one colour twice is the reader's to judge, or a choice."""
    first: dict[str, str] = {}
    for id_, chosen in colours.items():
        first.setdefault(chosen.hex, id_)
    return {id_: colours[id_] for id_ in first.values()}


def _alike_beside(practice: Practice) -> Iterator[Problem]:
    """Chairs beside each other that share a colour or a mark, where there are more chairs than marks."""
    if len(practice.chairs) <= len(MARKS):
        return  # an error of the reader's
    for (id_, chair), (later, other) in pairwise(practice.chairs.items()):
        for field, same in (("colour", chair.colour.hex == other.colour.hex), ("mark", chair.mark == other.mark)):
            if same:
                yield warning(practice, f"figures.warning.one-{field}-beside", ("chairs", later, field), id=id_)


def _too_close(practice: Practice, kind: Kind, colours: Mapping[str, Colour]) -> Iterator[Problem]:
    for one, other in combinations(_one_of_each(colours), 2):
        least, vision = worst_distance(colours[one].hex, colours[other].hex)
        if least < APART:
            yield warning(
                practice,
                "figures.warning.colours-too-close",
                (kind, other, "colour"),
                remedy=_remedy(colours, other),
                colour=colours[other].name,
                other=colours[one].name,
                id=one,
                eyes=eyes(vision),
                distance=Fixed(min(least, APART - 0.1)),  # never rounded up to the threshold
                apart=APART,
            )


def _near_safety(practice: Practice, kind: Kind, colours: Mapping[str, Colour]) -> Iterator[Problem]:
    for id_, chosen in colours.items():
        safety = safety_colour_near(chosen.hex)
        if safety:
            yield warning(
                practice,
                "figures.warning.colour-near-safety-colour",
                (kind, id_, "colour"),
                remedy=_remedy(colours, id_),
                colour=chosen.name,
                safety=message(f"colour.{safety}"),
                hex=SAFETY[safety],
            )


def eyes(vision: Vision) -> Message:
    """Return the people whose colour vision is meant: ``red-blind eyes (protan)``."""
    return message(f"figures.eyes.{vision}")


def _remedy(colours: Mapping[str, Colour], changing: str) -> Message:
    """Return the nearest colour that would do, as it is written in the folder."""
    others = [chosen.hex for id_, chosen in colours.items() if id_ != changing]
    found = nearest_that_would_do(colours[changing].hex, others)
    if found is None:
        return message("figures.warning.colours-too-close.no-remedy")
    taken = {chosen.name.in_language("en").lower() for id_, chosen in colours.items() if id_ != changing}
    (name,) = name_each([found], taken)
    written = f"{{name: {str(colour_name(name)).capitalize()}, hex: '{found}'}}"
    return message("figures.warning.colours-too-close.remedy", written=written)


def _figure(practice: Practice, kind: Kind, colours: Mapping[str, Colour]) -> Figure | None:
    pair = closest_pair({id_: chosen.hex for id_, chosen in _one_of_each(colours).items()})
    if pair is None:
        return None
    names = practice.chairs if kind == "chairs" else practice.sets
    return Figure(
        id=f"colours.{kind}",
        name=message(f"figures.colours.{kind}"),
        value=round(pair.distance, 1),
        unit="ΔE00",
        why=message(
            "figures.colours.why",
            colour=colours[pair.one].name,
            thing=names[pair.one].name,
            other_colour=colours[pair.other].name,
            other_thing=names[pair.other].name,
            eyes=eyes(pair.vision),
            apart=APART,
        ),
        inputs=tuple(
            Input(
                name=message("figures.input.colour", thing=names[id_].name),
                value=colours[id_].hex,
                source=message("figures.input.colour-source", place=str(practice.places.value(kind, id_, "colour"))),
            )
            for id_ in (pair.one, pair.other)
        ),
        section="colours",
    )
