"""The appointment book: when visits are booked, how the book is filled, and how visits run over."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Discriminator, Field, Tag, WithJsonSchema

from kitdocs.practice.quantities import clock
from kitdocs.practice.record import Record
from kitdocs.practice.values import Minutes, Share, clock_text

BookKind = Literal["spread", "packed"]

Half = Literal["morning", "afternoon"]

_HALVES: Mapping[str, Half] = {"morning": "morning", "afternoon": "afternoon"}
_BETWEEN = re.compile(r"\s*(?:-|–|\bto\b)\s*")
_AS_IN = "write it as in morning, afternoon or 8:00-10:00"


@dataclass(frozen=True, slots=True)
class Window:
    """When a visit begins: in a half of the day, or from `start` on and before `end`, in minutes after midnight."""

    half: Half | None = None
    start: int = 0
    end: int = 0

    def __str__(self) -> str:
        return self.half or f"{clock_text(self.start)}-{clock_text(self.end)}"


def window(value: Any) -> Window:
    """Return a `Window`, from ``morning``, ``afternoon``, ``8:00-10:00`` or ``8 am to 10 am``."""
    if isinstance(value, Window):
        return value
    text = value.strip() if isinstance(value, str) else ""
    if half := _HALVES.get(text):
        return Window(half)
    times = _BETWEEN.split(text)
    if len(times) != 2:
        raise ValueError(f"'{value}' is not a time to book a visit; {_AS_IN}")
    start, end = map(clock, times)
    if end <= start:
        raise ValueError(f"'{value}' ends before it begins; times run from 00:00 to 23:59; half past two is 14:30")
    return Window(start=start, end=end)


AWindow = Annotated[
    Window,
    BeforeValidator(window),
    WithJsonSchema(
        {
            "type": "string",
            "pattern": r"^\s*(morning|afternoon|\S.*(-|–|\bto\b).*\S)\s*$",
            "examples": ["morning", "8:00-10:00"],
        }
    ),
]

When = Annotated[
    Annotated[AWindow, Tag("window")]
    | Annotated[
        Mapping[AWindow, Share],
        AfterValidator(MappingProxyType),
        Field(min_length=1, examples=[{"morning": "80%"}]),
        Tag("shares"),
    ],
    Discriminator(lambda written: "shares" if isinstance(written, Mapping) else "window"),
]

MinutesOver = Annotated[Minutes, Field(gt=0, le=240)]


class Overrun(Record):
    """How visits run over. The minutes that they take longer are lognormal."""

    share: Share
    """The share of visits that take longer than they are booked for."""
    median: MinutesOver
    """Half of those run over by less."""
    most: MinutesOver
    """95 % of those run over by less."""
