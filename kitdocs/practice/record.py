"""The base of every record of the practice folder, and the counts and sizes that several have."""

from __future__ import annotations

import ast
import inspect
import textwrap
from itertools import pairwise
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, GetJsonSchemaHandler, StrictInt
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema

from kitdocs.practice.values import Clock, Millimetres

Count = Annotated[StrictInt, Field(ge=0, le=100_000)]
CountOfOneOrMore = Annotated[StrictInt, Field(ge=1, le=100_000)]


class Record(BaseModel):
    """A record of the practice folder: frozen, and no key that it does not know."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    @classmethod
    def __get_pydantic_json_schema__(cls, core_schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Describe each field as the text below it does.

        Pydantic's own `use_attribute_docstrings` reads the source of every model whenever kitdocs starts.
        """
        schema = handler(core_schema)
        properties = handler.resolve_ref_schema(schema)["properties"]
        for name, text in _texts_below_fields(cls).items():
            if name in properties:
                own = properties[name].get("description", "")
                properties[name] = {**properties[name], "description": f"{text} {own}".strip()}
        return schema


class Size(Record):
    """A flat size."""

    width: Millimetres
    height: Millimetres


class TimeSpan(Record):
    """From one time of the day to another."""

    start: Clock
    end: Clock


class Box(Record):
    """A box; `height` is the smallest side of a closed cassette lying flat."""

    length: Millimetres
    width: Millimetres
    height: Millimetres

    @property
    def sides(self) -> tuple[float, float, float]:
        return self.length, self.width, self.height


def _texts_below_fields(model: type[BaseModel]) -> dict[str, str]:
    """Return the string that follows a field, by the field's name."""
    found = {}
    for parent in reversed([own for own in model.__mro__ if issubclass(own, Record) and own is not Record]):
        (definition,) = ast.parse(textwrap.dedent(inspect.getsource(parent))).body
        assert isinstance(definition, ast.ClassDef)
        for field, text in pairwise(definition.body):
            match field, text:
                case ast.AnnAssign(target=ast.Name(id=name)), ast.Expr(value=ast.Constant(value=str(below))):
                    found[name] = inspect.cleandoc(below)
    return found
