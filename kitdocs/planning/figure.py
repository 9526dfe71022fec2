"""A figure: a number that knows its unit, what it was made from, and why it is what it is; and the search for one."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TypeAlias

from kitdocs.practice.locations import Path
from kitdocs.practice.message import Clock, Joined, Message, Value, message
from kitdocs.practice.model import Practice
from kitdocs.practice.record import Box

Number: TypeAlias = "int | float | Decimal | Clock"
"""A figure's value; money is a `Decimal`."""

Unit: TypeAlias = "Message | str"
"""A text is a sign that every language writes alike: ``mm``, ``%``, a currency; empty where there is no unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One value that a figure was made from.

    `source` says where it is from: a place in the folder as ``procedures.yaml:12``, or a citation.
    """

    name: Message
    value: Value
    unit: Unit = ""
    source: Message | str = ""


def stated(practice: Practice, thing: str, value: Value, path: Path, unit: Unit = "", /, **names: Value) -> Input:
    """Return a value of the practice folder as ``figures.input`` calls that thing, with where it is written."""
    source = str(practice.places.value(*path))
    return Input(name=message(f"figures.input.{thing}", **names), value=value, unit=unit, source=source)


def stated_outside(practice: Practice, cassette: str, outside: Box) -> Input:
    """Return the outside measures of a cassette."""
    return stated(practice, "outside", Joined(outside.sides, " × "), ("cassettes", cassette, "outside"), "mm")


def stated_lying(practice: Practice, contents: Iterable[str]) -> tuple[Input, ...]:
    """Return the length and width of each instrument as it lies in a cassette or pouch, each once."""
    return tuple(
        stated(
            practice,
            "lying",
            Joined((practice.instruments[id_].length, practice.lying_width(id_)), " × "),
            ("instruments", id_),
            "mm",
            instrument=practice.instruments[id_].name,
        )
        for id_ in dict.fromkeys(contents)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A computed number with its reason.

    `id` is stable from run to run, as in ``stock.core``; `why` is a sentence that a person can check
    with a pencil, the formula in words included; `section` is the part of the plan it belongs to.
    """

    id: str
    name: Message
    value: Number
    unit: Unit
    why: Message | Joined
    inputs: tuple[Input, ...] = ()
    section: str


def figures_about(figures: Sequence[Figure], wanted: str) -> tuple[Figure, ...]:
    """Return the figure of that id; else all whose id has it among its parts: ``core`` finds ``stock.core`` and
    ``fit.core``.

    Several parts must stand together and in order: ``par.teal`` finds ``par.teal.bends``.
    """
    exact = tuple(figure for figure in figures if figure.id == wanted)
    parts = wanted.split(".")
    return exact or tuple(figure for figure in figures if _within(parts, figure.id.split(".")))


def nearest_ids(figures: Sequence[Figure], wanted: str) -> tuple[str, ...]:
    """Return the ids, of figures and of the things they are about, that look most like what was typed."""
    ids = [figure.id for figure in figures]
    parts = [part for id_ in ids for part in id_.split(".")]
    return tuple(difflib.get_close_matches(wanted, dict.fromkeys((*ids, *parts)), n=5, cutoff=0.5))


def _within(wanted: Sequence[str], parts: Sequence[str]) -> bool:
    return any(parts[n : n + len(wanted)] == wanted for n in range(len(parts) - len(wanted) + 1))
