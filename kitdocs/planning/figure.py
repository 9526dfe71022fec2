"""A figure: a number that knows its unit, what made it, and why it is what it is."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One number that a figure was made from.

    `source` says where it is from: a place in the folder as ``procedures.yaml:12``, or a citation.
    """

    name: str
    value: str | int | float
    unit: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A computed number with its reason.

    `id` is stable from run to run, as in ``stock.core``; `why` is a sentence that a person can check
    with a pencil, the formula in words included; `section` is the part of the plan it belongs to.
    """

    id: str
    name: str
    value: int | float | str
    unit: str
    why: str
    inputs: tuple[Input, ...] = ()
    section: str
