"""What every record of the practice folder shares."""

from __future__ import annotations

from functools import cache
from typing import Annotated, Any

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    ModelWrapValidatorHandler,
    StrictInt,
    TypeAdapter,
    ValidationInfo,
    model_validator,
)

from kitdocs.practice.reading.unread import LENIENT, UNREAD, or_unread
from kitdocs.practice.values import Millimetres

Count = Annotated[StrictInt, Field(ge=0, le=100_000)]
CountOfOneOrMore = Annotated[StrictInt, Field(ge=1, le=100_000)]


class Record(BaseModel):
    """A record of the practice folder: frozen, and no key that it does not know."""

    model_config = ConfigDict(frozen=True, extra="forbid", use_attribute_docstrings=True)

    @model_validator(mode="wrap")
    @classmethod
    def _keep_what_can_be_read(cls, value: Any, read: ModelWrapValidatorHandler[Any], info: ValidationInfo) -> Any:
        if info.context != LENIENT or not isinstance(value, dict):
            return read(value)
        return cls.model_construct(**{name: cls._field(name, value) for name in cls.model_fields})

    @classmethod
    def _field(cls, name: str, value: dict[str, Any]) -> Any:
        """One field by itself, `UNREAD` when it is missing or wrong."""
        field = cls.model_fields[name]
        if name not in value:
            return UNREAD if field.is_required() else field.get_default(call_default_factory=True, validated_data={})
        return or_unread(value[name], lambda part: _alone(cls, name).validate_python(part, context=LENIENT))


@cache
def _alone(record: type[Record], name: str) -> TypeAdapter[Any]:
    field = record.model_fields[name]
    parts = (field.annotation, Field(), *field.metadata)
    annotated: Any = Annotated
    return TypeAdapter(annotated[parts])


class Size(Record):
    """A flat size."""

    width: Millimetres
    height: Millimetres


class Box(Record):
    """A box; `height` is the smallest side of a closed cassette lying flat."""

    length: Millimetres
    width: Millimetres
    height: Millimetres
