"""The base of every record of the practice folder, and the counts and sizes that several have."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, StrictInt

from kitdocs.practice.values import Millimetres

Count = Annotated[StrictInt, Field(ge=0, le=100_000)]
CountOfOneOrMore = Annotated[StrictInt, Field(ge=1, le=100_000)]


class Record(BaseModel):
    """A record of the practice folder: frozen, and no key that it does not know."""

    model_config = ConfigDict(frozen=True, extra="forbid", use_attribute_docstrings=True)


class Size(Record):
    """A flat size."""

    width: Millimetres
    height: Millimetres


class Box(Record):
    """A box; `height` is the smallest side of a closed cassette lying flat."""

    length: Millimetres
    width: Millimetres
    height: Millimetres
