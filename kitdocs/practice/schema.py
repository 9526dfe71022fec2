"""JSON Schema for every YAML file, generated from the model; and a way to look things up in one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cache
from types import MappingProxyType
from typing import Annotated, Any

from pydantic import AfterValidator, Field, TypeAdapter

from kitdocs.practice.locations import Path
from kitdocs.practice.model import (
    Cassette,
    Chair,
    Instrument,
    InstrumentSet,
    Pouch,
    Procedure,
    StockLine,
    Visit,
)
from kitdocs.practice.printed import PRINTED, PrintRun
from kitdocs.practice.proposal import ProposalRecord
from kitdocs.practice.room import Room
from kitdocs.practice.settings import Settings
from kitdocs.practice.values import Table

_SOME = Field(min_length=1)

#: What each file of the folder holds, by the file's stem.
SHAPES: Mapping[str, TypeAdapter[Any]] = {
    "practice": TypeAdapter(Settings),
    "chairs": TypeAdapter(Annotated[Table[Chair], _SOME]),
    "instruments": TypeAdapter(Annotated[Table[Instrument], _SOME]),
    "cassettes": TypeAdapter(Annotated[Table[Cassette], _SOME]),
    "sets": TypeAdapter(Annotated[Table[InstrumentSet], _SOME]),
    "pouches": TypeAdapter(Table[Pouch]),
    "procedures": TypeAdapter(Annotated[Table[Procedure], _SOME]),
    "room": TypeAdapter(Room),
    "proposal": TypeAdapter(ProposalRecord),
    "stock": TypeAdapter(Annotated[Mapping[str, StockLine], AfterValidator(MappingProxyType)]),
    "schedule": TypeAdapter(tuple[Visit, ...]),
    PRINTED: TypeAdapter(Annotated[Mapping[str, PrintRun], AfterValidator(MappingProxyType)]),
}

#: The files of cells that a folder may have.
TABLES = ("stock", "schedule")

#: The YAML files that a folder may have, and that kitdocs writes.
WRITTEN = ("proposal",)

#: The files every practice folder has, in the order in which a person fills them.
YAML_FILES = tuple(stem for stem in SHAPES if stem not in (*TABLES, PRINTED, *WRITTEN))

_TITLES = {
    "practice": "What holds for the whole practice",
    "chairs": "The chairs, by id",
    "instruments": "The instruments, by id",
    "cassettes": "The cassettes, by id",
    "sets": "The instrument sets, by id",
    "pouches": "The pouches, by id",
    "procedures": "The procedures, by id",
    "room": "The reprocessing room",
}


def schemas() -> Mapping[str, dict[str, Any]]:
    """Return a JSON Schema (2020-12) for each YAML file of a practice folder, by file name."""
    return {
        f"{stem}.yaml": {
            "$schema": "https://json-schema.org/draft/2020-12/schema",
            **_changed(schema_of(stem), _without_model_defaults),
            "title": _TITLES[stem],
        }
        for stem in YAML_FILES
    }


@cache
def schema_of(stem: str) -> dict[str, Any]:
    """Return the schema of one file, in which a table is an object whose keys must be ids."""
    schema: dict[str, Any] = _changed(SHAPES[stem].json_schema(), _with_ids_as_keys)
    return schema


def _changed(part: Any, change: Callable[[dict[str, Any]], dict[str, Any]]) -> Any:
    """Return a part of a schema with every object in it changed, what is inside it first."""
    if isinstance(part, list):
        return [_changed(item, change) for item in part]
    if not isinstance(part, dict):
        return part
    return change({key: _changed(value, change) for key, value in part.items()})


def _with_ids_as_keys(part: dict[str, Any]) -> dict[str, Any]:
    """Turn pydantic's 'keys of this pattern are ...' into 'keys have this pattern, and all are ...'."""
    if len(part.get("patternProperties", ())) == 1 and "properties" not in part:
        ((pattern, inner),) = part.pop("patternProperties").items()
        part |= {"propertyNames": {"pattern": pattern, "maxLength": 60}, "additionalProperties": inner}
    if part.get("type") == "object" and "minLength" in part:
        part["minProperties"] = part.pop("minLength")
    return part


def _without_model_defaults(part: dict[str, Any]) -> dict[str, Any]:
    """Drop defaults that stand in the model's units (millimetres), which nobody may write that way."""
    odd = part.get("type") == "string" and not isinstance(part.get("default", ""), str)
    if "default" in part and (odd or "$ref" in part or part["default"] is None):
        del part["default"]
    return part


def schema_at(stem: str, data: Any, path: Path) -> Mapping[str, Any]:
    """Return the part of a file's schema that describes the value at `path` (without the stem) of `data`."""
    root = schema_of(stem)
    found = _resolved(root, root, data)
    for part in path:
        data = _step(data, part)
        if isinstance(part, int):
            inner = found.get("items", {})
        else:
            inner = found.get("properties", {}).get(part) or found.get("additionalProperties") or {}
        found = _resolved(root, inner if isinstance(inner, dict) else {}, data)
    return found


def _step(data: Any, part: str | int) -> Any:
    try:
        return data[part]
    except (KeyError, IndexError, TypeError):
        return None


def _for(data: Any, choices: Iterable[Mapping[str, Any]]) -> Mapping[str, Any]:
    """Return the alternative for keys or for a list, as `data` is one; nothing when no alternative is."""
    kind = "object" if isinstance(data, dict) else "array"
    return next((choice for choice in choices if choice.get("type") == kind), {})


def _resolved(root: Mapping[str, Any], part: Mapping[str, Any], data: Any) -> Mapping[str, Any]:
    """Return a part with its references followed and its alternatives narrowed to the one that is meant."""
    while True:
        if "$ref" in part:
            beside = {key: value for key, value in part.items() if key != "$ref"}
            part = {**root["$defs"][part["$ref"].rpartition("/")[2]], **beside}
        elif "discriminator" in part:
            kinds = part["discriminator"]
            chosen = kinds["mapping"].get(str(_step(data, kinds["propertyName"])))
            if not chosen:
                return {}
            part = {"$ref": chosen}
        elif "anyOf" in part and any(choice.get("type") == "null" for choice in part["anyOf"]):
            part = next(choice for choice in part["anyOf"] if choice.get("type") != "null")
        elif isinstance(data, dict | list) and (fitting := _for(data, part.get("anyOf", ()))):
            part = fitting
        else:
            return part
