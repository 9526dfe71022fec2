"""A figure: a number that knows its unit, what it was made from, and why it is what it is."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TypeAlias

from kitdocs.practice.message import Clock, Joined, Message, Value

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
